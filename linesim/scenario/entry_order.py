"""Changing the order of a list of tables in a file, comments and all."""

from __future__ import annotations

import re
from collections.abc import Mapping

from linesim.scenario.comments import first_comment_above
from linesim.scenario.faults import Path
from linesim.scenario.loading import parse
from linesim.scenario.writing import update

_HEADING = re.compile(r"[ \t]*\[")


def move_entry(text: str, table: str, index: int, to: int) -> str:
    """The text of a scenario file with entry *index* of the list *table* at place *to*.

    What is written of an entry goes with it: its comments, and those that stand right above its
    heading. What parts the entries stays where it is. Both places count from 0. Lines end in
    ``\\n`` in *text* and in the result.

    Raises :class:`ScenarioFaults` where *text* is not TOML, ``KeyError`` where there is no such
    list or place.
    """
    data, _ = parse(text, "scenario")
    entries = data.get(table)
    if not isinstance(entries, list) or not all(0 <= at < len(entries) for at in (index, to)):
        raise KeyError(f"{table}[{index}] cannot be moved to place {to}")
    while index != to:
        other = index + 1 if index < to else index - 1
        text = _swapped(text, table, min(index, other))
        index = other
    return text


def _swapped(text: str, table: str, first: int) -> str:
    """With entries *first* and the one after it in each other's place."""
    data, lines = parse(text, "scenario")
    rows = text.split("\n")
    starts = _starts(rows, lines)
    if not all((table, at) in starts for at in (first, first + 1)):
        # Written in one line, as an array: only the values can change places.
        one, two = data[table][first], data[table][first + 1]
        return update(text, {f"{table}[{first}]": two, f"{table}[{first + 1}]": one})
    (a, b), (c, d) = (_block(rows, starts, (table, at)) for at in (first, first + 1))
    if c < b:
        return text
    return "\n".join(rows[:a] + rows[c:d] + rows[b:c] + rows[a:b] + rows[d:])


def _starts(rows: list[str], lines: Mapping[Path, int]) -> dict[Path, int]:
    """Row (from 0) on which each table or entry begins, with the comments right above it."""
    starts = {}
    for path, line in lines.items():
        whole = len(path) == 1 or (len(path) == 2 and isinstance(path[1], int))
        if whole and _HEADING.match(rows[line - 1]):
            starts[path] = first_comment_above(rows, line - 1)
    return starts


def _block(rows: list[str], starts: Mapping[Path, int], path: Path) -> tuple[int, int]:
    """First row of an entry and the row after its last one that is not empty."""
    first = starts[path]
    last = min((row for row in starts.values() if row > first), default=len(rows))
    while last > first + 1 and not rows[last - 1].strip():
        last -= 1
    return first, last
