"""The tables of an answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from linesim.interactive import frame, html_table
from linesim.report.answers.cells import Bounded, Cell, Column, Figure, Found, cell_of

_Row = TypeVar("_Row")


@dataclass(frozen=True)
class AnswerTable:
    """Rows of cells under columns; ``name`` is what a file of it is called."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    @classmethod
    def of(
        cls,
        name: str,
        title: str,
        rows: Iterable[_Row],
        *columns: tuple[str | Column, Callable[[_Row], Found]],
    ) -> AnswerTable:
        """A table of what each column, or a plain one of that name, finds in a row."""
        heads = [Column(head) if isinstance(head, str) else head for head, _ in columns]
        fills = [fill for _, fill in columns]
        cells = (
            tuple(cell_of(fill(row), head.unit) for head, fill in zip(heads, fills, strict=True))
            for row in rows
        )
        return cls(name, title, tuple(heads), tuple(cells))

    @property
    def header(self) -> list[str]:
        """Headings with units; a figure's half width, or its two ends, have columns of their own.

        Output in reams a week of some lines is ``output [reams/week]`` and
        ``output [reams/week] half width``.
        """
        header = []
        for column, more in zip(self.columns, self._spread(), strict=True):
            name = f"{column.name} [{column.unit}]" if column.unit else column.name
            header += [name, *(f"{name} {what}" for what in more)]
        return header

    @property
    def flat_rows(self) -> list[list[str | int | float | None]]:
        """Rows that go with :attr:`header`; None where there is nothing."""
        spread = self._spread()
        return [
            [plain for cell, more in zip(row, spread, strict=True) for plain in _plain(cell, more)]
            for row in self.rows
        ]

    def _spread(self) -> list[tuple[str, ...]]:
        """What else a column of figures with intervals takes: a half width, or two ends."""
        found: list[tuple[str, ...]] = []
        for n in range(len(self.columns)):
            cells = [row[n] for row in self.rows]
            bounded = any(isinstance(cell, Bounded) for cell in cells)
            figures = [cell for cell in cells if isinstance(cell, Figure)]
            wide = ("half width", "not known")[: 1 + any(f.doubt for f in figures)]
            found.append(("low", "high") if bounded else wide if figures else ())
        return found

    def to_frame(self, library: str | None = None) -> Any:
        """The table as a frame of pandas or polars, or of ``library``: see :func:`frame`."""
        rows = self.flat_rows
        columns = {name: [row[n] for row in rows] for n, name in enumerate(self.header)}
        return frame(columns, library)

    def texts(self, row: Iterable[Cell]) -> list[str]:
        """The cells of a row for people."""
        return [column.text(cell) for column, cell in zip(self.columns, row, strict=True)]

    def html(self) -> str:
        """The table for a notebook."""
        rows = (self.texts(row) for row in self.rows)
        return html_table(self.title, (column.heading for column in self.columns), rows)

    _repr_html_ = html


def _plain(cell: Cell, more: tuple[str, ...]) -> list[str | int | float | None]:
    if isinstance(cell, Bounded):
        return list(cell)
    if isinstance(cell, Figure):
        parts: list[str | int | float | None] = [cell.mean, cell.half_width, cell.doubt]
        return parts[: 1 + len(more)]
    return [cell, *(None for _ in more)]
