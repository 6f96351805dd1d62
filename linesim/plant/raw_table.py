"""The rows of a table as a plant hands it over.

Nothing is judged here. Cells of a text stay text; those of a workbook keep the kind they have
there (number, date, time), since a workbook knows more than its picture shows.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from linesim.scenario.faults import Fault, ScenarioFaults

Cell = str | int | float | dt.datetime | dt.date | dt.time | dt.timedelta | None

MOST_COLUMNS = 200
_MOST_ROWS = 60_000


@dataclass(frozen=True)
class RawRow:
    """One row: the line of the file (or of the sheet) it stands on, from 1, and its cells."""

    line: int
    cells: tuple[Cell, ...]

    @property
    def empty(self) -> bool:
        return not any(map(written, self.cells))

    @property
    def shown(self) -> str:
        return "; ".join(filter(None, map(written, self.cells)))[:70]

    def at(self, place: int | None) -> Cell:
        """The cell in a column (from 0); None where there is no such column, or nothing in it."""
        return self.cells[place] if place is not None and place < len(self.cells) else None


@dataclass(frozen=True)
class RawTable:
    """All rows of a file in order, headings included, and how the file was read."""

    file: str
    rows: tuple[RawRow, ...]
    read_as: str
    """In words: "Windows-1252, semicolons", "workbook, sheet 'July'"."""


def raw_table(name: str, rows: Iterable[tuple[int, Sequence[Cell]]], read_as: str) -> RawTable:
    """The table of these lines and cells; raises ``ScenarioFaults`` where they are too many."""
    taken: list[RawRow] = []
    for line, cells in rows:
        if len(taken) == _MOST_ROWS:
            raise refused(name, "has too many rows", f"at most {_MOST_ROWS:,}", line)
        stripped = (cell.strip() if isinstance(cell, str) else cell for cell in cells)
        taken.append(RawRow(line, tuple(stripped)))
    return RawTable(name, tuple(taken), read_as)


def written(cell: Cell) -> str:
    """A cell as people would write it, without blanks around it."""
    if cell is None:
        return ""
    if isinstance(cell, dt.datetime):
        return cell.isoformat(sep=" ")
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return " ".join(str(cell).split())


def refused(
    name: str, problem: str, right: str, line: int | None = None, field: str = ""
) -> ScenarioFaults:
    return ScenarioFaults([Fault(name, line, field, "", problem, right)])
