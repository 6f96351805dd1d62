"""The comments of a scenario file, by the field or table that they stand beside or above."""

from __future__ import annotations

from linesim.scenario.faults import Path
from linesim.scenario.positions import positions


def comments(text: str) -> dict[Path, str]:
    """Comment of each field: the one after it on its line, else those right above it.

    A table has the comment after its heading or right above it.

    >>> comments("[bridge]\\nlength_m = 7  # measured in May\\n")
    {('bridge', 'length_m'): 'measured in May'}
    """
    lines = text.replace("\r\n", "\n").removeprefix("\ufeff").split("\n")
    # Of several paths on a line (an inline table and its parts) the outermost is meant.
    at: dict[int, Path] = {}
    for path, line in positions(text.replace("\r\n", "\n").removeprefix("\ufeff")).items():
        if line not in at or len(path) < len(at[line]):
            at[line] = path
    found: dict[Path, str] = {}
    for line, path in at.items():
        said = _after(lines[line - 1]) or _above(lines, line - 1)
        if said:
            found[path] = said
    return found


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
