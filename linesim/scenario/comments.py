"""The comments of a scenario file, by the field or table that they stand beside or above."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from linesim.scenario.faults import Path
from linesim.scenario.positions import positions

OUTDATED = "before the fit: "
"""How a comment begins that was said of a value which a fit has replaced."""


_BEHIND = re.compile(r"""(?:[^#"']++|"(?:[^"\\]|\\.)*+"|'[^']*+')*+#(.*)""")
"""A row up to the first # that is not within quotes, and what stands behind it."""


def comments(text: str) -> dict[Path, str]:
    """Comment of each field: the one after it on its line, else those right above it.

    A table has the comment after its heading or right above it. What was said of a value that is
    no longer there (:func:`outdated`) is no comment of the one that is.

    >>> comments("[bridge]\\nlength_m = 7  # measured in May\\n")
    {('bridge', 'length_m'): 'measured in May'}
    """
    rows, at = _rows_and_paths(text)
    found: dict[Path, str] = {}
    for row, path in at.items():
        above = [_bare(each) for each in rows[first_comment_above(rows, row) : row]]
        said = _behind(rows[row]) or " ".join(part for part in above if part)
        if said and not said.startswith(OUTDATED):
            found[path] = said
    return found


def outdated(text: str, paths: Collection[Path]) -> str:
    """The text with the comments beside and right above *paths* marked as said before a fit.

    What lies within such a path is meant with it; the comment of its table's heading is not.

    >>> outdated("[bridge]\\nlength_m = 7  # measured in May\\n", [("bridge", "length_m")])
    '[bridge]\\nlength_m = 7  # before the fit: measured in May\\n'
    """
    plain, at = _rows_and_paths(text)
    rows = text.split("\n")
    for row, path in at.items():
        if not any(path[: len(other)] == other for other in paths):
            continue
        first = first_comment_above(plain, row)
        if said := _behind(plain[row]):
            rows[row] = _marked(rows[row], said)
        elif first < row:
            rows[first] = _marked(rows[first], _bare(plain[first]))
    return "\n".join(rows)


def first_comment_above(rows: Sequence[str], row: int) -> int:
    """Where the comments begin that end right above a row; the row itself where there are none."""
    while row > 0 and rows[row - 1].lstrip().startswith("#"):
        row -= 1
    return row


def _marked(row: str, said: str) -> str:
    """A row whose comment is marked; one that is marked stays as it is."""
    if said.startswith(OUTDATED):
        return row
    at = row.rindex(said)
    return row[:at] + OUTDATED + row[at:]


def _rows_and_paths(text: str) -> tuple[list[str], dict[int, Path]]:
    """The rows of a text, and by number of row (from 0) what stands there.

    Of several paths on a row (an inline table and its parts) the outermost is meant.
    """
    plain = text.replace("\r\n", "\n").removeprefix("\ufeff")
    at: dict[int, Path] = {}
    for path, line in positions(plain).items():
        if line - 1 not in at or len(path) < len(at[line - 1]):
            at[line - 1] = path
    return plain.split("\n"), at


def _behind(row: str) -> str:
    match = _BEHIND.match(row)
    return _bare(match[1]) if match else ""


def _bare(comment: str) -> str:
    return comment.strip("# \t")
