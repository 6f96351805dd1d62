"""A table as a plant hands it over: text in some encoding with some separator, or a workbook.

Nothing is judged here. Cells of a text file stay text; cells of a workbook keep the kind they
have there (number, date, time), since a workbook knows more than its picture shows.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import os
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from linesim.plant.workbook import WorkbookError, workbook_sheets
from linesim.scenario.faults import Fault, ScenarioFaults

Cell = str | int | float | dt.datetime | dt.date | dt.time | dt.timedelta | None

LARGEST_FILE_BYTES = 50_000_000
MOST_ROWS = 60_000
MOST_COLUMNS = 200
_SEPARATORS = (";", "\t", ",", "|")
_ZIP, _OLD_WORKBOOK = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"


@dataclass(frozen=True)
class RawRow:
    """One row: the line of the file (or of the sheet) it stands on, from 1, and its cells."""

    line: int
    cells: tuple[Cell, ...]

    @property
    def empty(self) -> bool:
        """True where nothing stands in any cell."""
        return not any(written(cell) for cell in self.cells)


@dataclass(frozen=True)
class RawTable:
    """All rows of a file in order, headings included, and how the file was read."""

    file: str
    rows: tuple[RawRow, ...]
    read_as: str
    """In words: "Windows-1252, semicolons", "workbook, sheet 'July'"."""


def read_table(path: str | os.PathLike[str], *, sheet: str | None = None) -> RawTable:
    """Read a CSV file or an XLSX workbook (its first sheet with rows, unless *sheet* is given).

    Raises :class:`ScenarioFaults` where there is no such file, or none that holds a table.
    """
    name = os.fspath(path)
    raw = _bytes(name)
    if raw.startswith(_ZIP):
        return _workbook(name, raw, sheet)
    if raw.startswith(_OLD_WORKBOOK):
        raise refused(name, "is a workbook of the old kind (.xls)", "save it as .xlsx or as CSV")
    text, encoding = decoded(raw, name)
    separator = separator_of(text)
    rows: list[RawRow] = []
    lines = _Lines(name, text, separator)
    reader = csv.reader(lines, delimiter=separator)
    line = 1
    try:
        for cells in reader:
            rows.append(RawRow(line, tuple(cell.strip() for cell in cells)))
            line = reader.line_num + 1
            lines.row_ends()
            _check_count(name, rows)
    except csv.Error as error:
        raise refused(name, f"cannot be read as CSV: {error}", "a plain table", line) from None
    words = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars"}[separator]
    return RawTable(name, tuple(rows), f"{encoding}, {words} between columns")


class _Lines:
    """The lines of a text; a row of more columns than any table has is not even begun."""

    def __init__(self, name: str, text: str, separator: str) -> None:
        self._name, self._separator = name, separator
        self._lines = io.StringIO(text, newline="")
        self._columns = self._number = 0

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        self._number += 1
        self._columns += line.count(self._separator)
        if self._columns > MOST_COLUMNS:
            # Separators within quotes count, too: a text with so many of them is no cause.
            raise refused(
                self._name, "has too many columns", f"at most {MOST_COLUMNS}", self._number
            )
        return line

    def row_ends(self) -> None:
        """What comes now is another row."""
        self._columns = 0


def decoded(raw: bytes, name: str = "log") -> tuple[str, str]:
    """The text of *raw* and the name of its encoding.

    By rule: a byte-order mark is believed; a file in which every other byte is mostly zero is
    UTF-16; what reads as UTF-8 is UTF-8 (text in another encoding with any letter outside ASCII
    hardly ever does); the rest is Windows-1252, which is Latin-1 with more signs. Raises
    :class:`ScenarioFaults` for what is no text at all.
    """
    marks = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
    for mark, encoding in marks:
        if raw.startswith(mark):
            text, words = raw.decode(encoding, errors="replace"), encoding.upper()
            return text, "UTF-8 with mark" if words == "UTF-8-SIG" else words
    head = raw[:4000]
    zeros = head[0::2].count(0), head[1::2].count(0)
    if max(zeros) > len(head) / 4:
        encoding = "utf-16-be" if zeros[0] > zeros[1] else "utf-16-le"
        return raw.decode(encoding, errors="replace"), "UTF-16"
    if 0 in head:
        raise refused(name, "is neither text nor a workbook", "a CSV file or an XLSX workbook")
    try:
        return raw.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        pass
    try:
        return raw.decode("cp1252"), "Windows-1252"
    except UnicodeDecodeError:
        return raw.decode("latin-1"), "Latin-1"


def separator_of(text: str) -> str:
    """The sign between columns: the one that cuts most rows into the same number of cells.

    Semicolon and tab go before the comma: where they are used, the comma is a decimal comma.
    """
    best, best_score = ",", 0.0
    sample = text[:200_000]
    for separator in _SEPARATORS:
        try:
            reader = csv.reader(io.StringIO(sample, newline=""), delimiter=separator)
            widths = Counter(len(cells) for cells, _ in zip(reader, range(400), strict=False))
        except csv.Error:
            continue
        wide = {width: count for width, count in widths.items() if width > 1}
        if not wide:
            continue
        score = max(wide.values()) / sum(widths.values()) + (0.0 if separator == "," else 0.25)
        if score > best_score:
            best, best_score = separator, score
    return best


def written(cell: Cell) -> str:
    """A cell as people would write it, without blanks around it."""
    if cell is None:
        return ""
    if isinstance(cell, dt.datetime):
        return cell.isoformat(sep=" ")
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return " ".join(str(cell).split())


def refused(name: str, problem: str, right: str, line: int | None = None) -> ScenarioFaults:
    """The error for a file that cannot be used."""
    return ScenarioFaults([Fault(name, line, "", "", problem, right)])


def _bytes(name: str) -> bytes:
    try:
        if not Path(name).is_file():
            there = Path(name).exists()
            raise refused(
                name,
                "is not a file" if there else "there is no such file",
                "the path of a CSV file or an XLSX workbook",
            )
        with open(name, "rb") as source:
            raw = source.read(LARGEST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, ScenarioFaults):
            raise
        why = (error.strerror if isinstance(error, OSError) else None) or "not a usable path"
        raise refused(name, f"cannot be read: {why}", "a file that can be read") from None
    if len(raw) > LARGEST_FILE_BYTES:
        limit = LARGEST_FILE_BYTES // 1_000_000
        raise refused(name, "is too big", f"at most {limit} MB; give a shorter stretch of time")
    if not raw.strip(b"\x00 \r\n\t"):
        raise refused(name, "is empty", "a table with a row for each stop")
    return raw


def _workbook(name: str, raw: bytes, sheet: str | None) -> RawTable:
    try:
        for title, cells in workbook_sheets(raw, sheet, MOST_COLUMNS):
            rows = []
            for number, row in cells:
                rows.append(RawRow(number, tuple(_known(cell) for cell in row)))
                _check_count(name, rows)
            if sum(not row.empty for row in rows) > 1:
                return RawTable(name, tuple(rows), f"workbook, sheet {title!r}")
    except WorkbookError as error:
        raise refused(name, error.problem, error.right) from None
    raise refused(name, "is a workbook without rows", "a table with a row for each stop")


def _known(cell: object) -> Cell:
    kinds = (str, int, float, dt.datetime, dt.date, dt.time, dt.timedelta)
    if cell is None or isinstance(cell, kinds):
        return cell.strip() if isinstance(cell, str) else cell
    return str(cell)


def _check_count(name: str, rows: Sequence[RawRow]) -> None:
    if len(rows) > MOST_ROWS:
        raise refused(name, "has too many rows", f"at most {MOST_ROWS:,}", rows[-1].line)
