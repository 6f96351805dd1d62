"""The comments of a scenario file, by the field or table that they stand beside or above."""

from __future__ import annotations

from collections.abc import Collection

from linesim.scenario.faults import Path
from linesim.scenario.positions import positions

OUTDATED = "before the fit: "
"""How a comment begins that was said of a value which a fit has replaced."""


def comments(text: str) -> dict[Path, str]:
    """Comment of each field: the one after it on its line, else those right above it.

    A table has the comment after its heading or right above it. What was said of a value that is
    no longer there (:func:`outdated`) is no comment of the one that is.

    >>> comments("[bridge]\\nlength_m = 7  # measured in May\\n")
    {('bridge', 'length_m'): 'measured in May'}
    """
    lines, at = _lines_and_paths(text)
    found: dict[Path, str] = {}
    for line, path in at.items():
        said = _after(lines[line - 1]) or _above(lines, line - 1)
        if said and not said.startswith(OUTDATED):
            found[path] = said
    return found


def outdated(text: str, paths: Collection[Path]) -> str:
    """The text with the comments beside and right above *paths* marked as said before a fit.

    What lies within such a path is meant with it; the comment of its table's heading is not.

    >>> outdated("[bridge]\\nlength_m = 7  # measured in May\\n", [("bridge", "length_m")])
    '[bridge]\\nlength_m = 7  # before the fit: measured in May\\n'
    """
    lines, at = _lines_and_paths(text)
    rows = text.split("\n")
    for line, path in at.items():
        if not any(path[: len(other)] == other for other in paths):
            continue
        said = _after(lines[line - 1])
        if said:
            rows[line - 1] = _marked(rows[line - 1], said)
            continue
        first = line - 1
        while first > 0 and lines[first - 1].lstrip().startswith("#"):
            first -= 1
        if first < line - 1:
            rows[first] = _marked(rows[first], lines[first].strip("# \t"))
    return "\n".join(rows)


def _marked(row: str, said: str) -> str:
    """A row whose comment is marked; one that is marked stays as it is."""
    if said.startswith(OUTDATED):
        return row
    at = row.rindex(said)
    return row[:at] + OUTDATED + row[at:]


def _lines_and_paths(text: str) -> tuple[list[str], dict[int, Path]]:
    """The lines of a text, and by number of line what stands there.

    Of several paths on a line (an inline table and its parts) the outermost is meant.
    """
    plain = text.replace("\r\n", "\n").removeprefix("\ufeff")
    at: dict[int, Path] = {}
    for path, line in positions(plain).items():
        if line not in at or len(path) < len(at[line]):
            at[line] = path
    return plain.split("\n"), at


def _after(line: str) -> str:
    """What stands behind the first # that is not within quotes."""
    quote = ""
    escaped = False
    for number, sign in enumerate(line):
        if quote:
            if escaped:
                escaped = False
            elif sign == "\\" and quote == '"':
                escaped = True
            elif sign == quote:
                quote = ""
        elif sign in "\"'":
            quote = sign
        elif sign == "#":
            return line[number:].strip("# \t")
    return ""


def _above(lines: list[str], index: int) -> str:
    """The comment lines that end right above a line."""
    found: list[str] = []
    index -= 1
    while index >= 0 and lines[index].lstrip().startswith("#"):
        found.append(lines[index].strip("# \t"))
        index -= 1
    return " ".join(reversed([part for part in found if part]))
