"""Rows of a workbook: read with openpyxl, but only where it cannot do harm.

A workbook is a zip file of XML parts. A few kB can unpack to hundreds of MB, and a cell may say
that it stands in column three hundred million. So the parts are measured before they are read,
and no more rows and columns are taken than a table of a plant can have.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from itertools import islice, pairwise
from typing import Any, NoReturn
from xml.etree.ElementTree import ParseError

from linesim.plant.raw_table import MOST_COLUMNS, Cell, RawTable, raw_table, refused

_MOST_ROWS_OF_A_SHEET = 1_048_576
"""What the format allows."""
_MOST_PARTS = 2000
_LARGEST_PART = 150_000_000
_LONGEST_ROW = 4_000_000
_MOST_TAGS = {"strings": 1_000_000, "other": 400_000}
_CHUNK = 1_000_000
_ROW = re.compile(rb"<(?:\w+:)?row[\s/>]")
_NEVER_READ = ("xl/media/", "xl/drawings/", "xl/charts/", "xl/pivotcache/", "xl/pivottables/")
_DAMAGED = "is damaged, or no workbook"


class _WorkbookError(ValueError):
    """A workbook that cannot be read: ``problem`` and what would be ``right``."""

    def __init__(self, problem: str, right: str) -> None:
        self.problem, self.right = problem, right
        super().__init__(problem)


def workbook_table(name: str, raw: bytes, sheet: str | None) -> RawTable:
    """The table of *sheet*, or else of the first sheet with rows; those with nothing are left out.

    Raises :class:`ScenarioFaults` where the workbook is damaged, has no such sheet, or is no table
    of a plant.
    """
    try:
        for each in _sheets(raw, sheet):
            table = raw_table(name, _rows(each), f"workbook, sheet {each.title!r}")
            if sum(not row.empty for row in table.rows) > 1:
                return table
    except _WorkbookError as error:
        raise refused(name, error.problem, error.right) from None
    raise refused(name, "is a workbook without rows", "a table with a row for each stop")


def refuse_old_workbook(name: str, raw: bytes, sheet: str | None) -> NoReturn:
    """Raise :class:`ScenarioFaults`: the old format is not read."""
    raise refused(name, "is a workbook of the old kind (.xls)", "save it as .xlsx or as CSV")


def _sheets(raw: bytes, sheet: str | None) -> list[Any]:
    _measure(raw)
    book = _opened(raw)
    names = [each.title for each in book.worksheets]
    if sheet is not None and sheet not in names:
        raise _WorkbookError(f"has no sheet {sheet!r}", "one of " + ", ".join(names))
    return [each for each in book.worksheets if sheet in (None, each.title)]


def _opened(raw: bytes) -> Any:
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            # Styles and extensions that do not matter here are no news for the user.
            warnings.simplefilter("ignore")
            return load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
    except _what_damage_raises():
        raise _damaged() from None


def _rows(sheet: Any) -> Iterator[tuple[int, Sequence[Cell]]]:
    # The size that a sheet says it has may be wrong, and would cut off what lies beyond.
    sheet.reset_dimensions()
    rows = sheet.iter_rows(
        max_row=_MOST_ROWS_OF_A_SHEET, max_col=MOST_COLUMNS + 1, values_only=True
    )
    number, nothing = 0, (None,) * (MOST_COLUMNS + 1)
    while taken := _taken(rows):
        for cells in taken:
            number += 1
            if cells == nothing:
                continue
            width = len(cells)
            while width and cells[width - 1] is None:
                width -= 1
            if width > MOST_COLUMNS:
                raise _WorkbookError("has too many columns", f"at most {MOST_COLUMNS}")
            yield number, [c if isinstance(c, Cell) else str(c) for c in cells[:width]]


def _taken(rows: Iterator[Sequence[Any]]) -> list[Sequence[Any]]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return list(islice(rows, 500))
    except _what_damage_raises():
        raise _damaged() from None


def _what_damage_raises() -> tuple[type[Exception], ...]:
    """openpyxl names no errors of its own for a damaged part: what it was doing just fails.

    A number that is none is a ValueError, an attribute that is not known a TypeError, a style or
    a text that is not there an IndexError, and so on.
    """
    from openpyxl.utils.exceptions import InvalidFileException

    return (
        InvalidFileException,
        zipfile.BadZipFile,
        zlib.error,
        ParseError,
        EOFError,
        OSError,
        LookupError,
        ValueError,
        TypeError,
        AttributeError,
        ArithmeticError,
        NotImplementedError,
        RuntimeError,  # encrypted
    )


def _damaged() -> _WorkbookError:
    return _WorkbookError(_DAMAGED, "an XLSX workbook that opens, or a CSV file")


def _measure(raw: bytes) -> None:
    """Refuse what would take more memory or time than any workbook of a plant."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as parts:
            if len(parts.infolist()) > _MOST_PARTS:
                raise _too_large()
            for part in parts.infolist():
                _measure_part(parts, part)
    except _WorkbookError:
        raise
    except _what_damage_raises():
        raise _damaged() from None


def _measure_part(parts: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    name = part.filename.lower()
    if part.file_size > _LARGEST_PART:
        raise _too_large()
    if name.startswith(_NEVER_READ):
        return
    is_sheet = "sheets/" in name
    most_tags = _MOST_TAGS["strings" if "sharedstrings" in name else "other"]
    tags = since_row = 0
    with parts.open(part) as source:
        while block := source.read(_CHUNK):
            tags += block.count(b"<")
            rows = [0, *(match.start() for match in _ROW.finditer(block)), len(block)]
            steps = [after - before for before, after in pairwise(rows)]
            longest = max(since_row + steps[0], *steps)
            since_row = steps[-1] if len(steps) > 1 else longest
            if longest > _LONGEST_ROW if is_sheet else tags > most_tags:
                raise _too_large()


def _too_large() -> _WorkbookError:
    return _WorkbookError(
        "unpacks to more than any log or table of counts holds",
        "a workbook with nothing but the table; or save it as CSV",
    )
