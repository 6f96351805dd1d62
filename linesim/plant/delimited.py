"""A table as text: in some encoding, with some sign between its columns."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress

from linesim.plant.raw_table import MOST_COLUMNS, RawTable, raw_table, refused
from linesim.scenario.faults import ScenarioFaults

_TIME = re.compile(r"\d[:.]\d\d")
_SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars"}


def text_table(name: str, raw: bytes, sheet: str | None = None) -> RawTable:
    """The table of a text; one has no sheets, so *sheet* says nothing.

    Raises :class:`ScenarioFaults` where it is none.
    """
    text, encoding = decoded(raw, name)
    separator = _separator_of(text)
    read_as = f"{encoding}, {_SEPARATORS[separator]} between columns"
    return raw_table(name, _rows(name, text, separator), read_as)


def _rows(name: str, text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    line, separators, widest = 1, 0, 1
    at: list[str] = []

    def lines() -> Iterator[str]:
        # A row of more columns than any table has is not even begun.
        nonlocal separators
        for number, words in enumerate(io.StringIO(text, newline=""), 1):
            separators += words.count(separator)
            at.append(words)
            if separators > MOST_COLUMNS:
                if len(at) > 1:
                    raise _open_quote(name, line)
                # Separators within quotes count, too: a text with so many of them is no cause.
                raise refused(name, "has too many columns", f"at most {MOST_COLUMNS}", number)
            yield words

    reader = csv.reader(lines(), delimiter=separator)
    try:
        for cells in reader:
            if len(at) > 1 and any(_has_rows(cell, separator, widest) for cell in cells):
                raise _open_quote(name, line)
            yield line, cells
            widest = max(widest, len(cells))
            line, separators = reader.line_num + 1, 0
            at.clear()
    except csv.Error as error:
        raise refused(name, f"cannot be read as CSV: {error}", "a plain table", line) from None


def _has_rows(cell: str, separator: str, columns: int) -> bool:
    """Whether rows of the table stand in a cell; a remark of several lines has none."""
    below = cell.splitlines()[1:]
    return any(each.count(separator) >= columns - 1 and _TIME.search(each) for each in below)


def _open_quote(name: str, line: int) -> ScenarioFaults:
    problem = "a quote is opened and not closed, so that the rows below it are lost"
    return refused(name, problem, "a quote at the end of the text, too, or none", line)


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
    for encoding, words in (("utf-8", "UTF-8"), ("cp1252", "Windows-1252")):
        with suppress(UnicodeDecodeError):
            return raw.decode(encoding), words
    return raw.decode("latin-1"), "Latin-1"


def _separator_of(text: str) -> str:
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
