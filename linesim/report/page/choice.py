"""What stands behind page one, and what only in the appendix. The rule is here and nowhere else.

Everything that could be shown has a round. Blocks come in by their rounds, in a round in the order
of the report, until the next would not fit on :data:`MOST_PAGES`. What does not come in, and what
is of the last round, stands in the appendix, under the same headings.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cache

from linesim.report.page.model import Block, Grid, Section

MOST_PAGES = 5
"""Of evidence, behind page one."""
LEAST_FILLED = 1 / 3
"""Of a page: one with less on it is not made."""
_LONG = 24
"""A table with more rows is read by who looks something up."""


class Round(IntEnum):
    """When a block comes in."""

    ANSWER = 0
    """What each study says, its first picture and its first table, and how sure that is."""
    LINE = 1
    """The line, its typical shift, and what it loses, as pictures."""
    DOUBT = 2
    """What is not known, what was fitted from logs, and the inputs that the answer hangs on."""
    CAUSES = 3
    """What the losses are made of."""
    MORE = 4
    """The other pictures, tables and notes of the studies."""
    APPENDIX = 5
    """Every input, all tables of the line, words for figures, digests."""


@dataclass(frozen=True)
class Part:
    """A section to be: a heading, and what may stand under it, each with its round."""

    name: str
    title: str
    blocks: tuple[tuple[Round, Block], ...]


def part(name: str, title: str, *rounds: tuple[Round, Iterable[Block]]) -> Part:
    """Blocks in their order, round by round; long tables stand in the appendix."""
    blocks = tuple((_round(of, block), block) for of, each in rounds for block in each)
    return Part(name, title, blocks)


def _round(of: Round, block: Block) -> Round:
    return Round.APPENDIX if isinstance(block, Grid) and len(block.rows) > _LONG else of


def chosen(
    parts: Sequence[Part], filled: Callable[[tuple[Section, ...]], Sequence[float]]
) -> tuple[tuple[Section, ...], tuple[Section, ...]]:
    """The sections of the evidence, and those of the appendix.

    ``filled`` says of each page that sections would take how much of it they fill.
    """
    every = [(of, n, m) for n, each in enumerate(parts) for m, (of, _) in enumerate(each.blocks)]
    ranked = [(n, m) for of, n, m in sorted(every) if of < Round.APPENDIX]

    @cache
    def pages(count: int) -> Sequence[float]:
        return filled(_sections(parts, set(ranked[:count])))

    def too_long(count: int) -> bool:
        return len(pages(count)) > MOST_PAGES

    count = bisect_right(range(1, len(ranked) + 1), False, key=too_long)
    while count and min(pages(count)) < LEAST_FILLED:
        count -= 1
    inside = set(ranked[:count])
    rest = {(n, m) for _, n, m in every} - inside
    return _sections(parts, inside), _sections(parts, rest, "-more")


def _sections(
    parts: Sequence[Part], which: set[tuple[int, int]], ending: str = ""
) -> tuple[Section, ...]:
    found = []
    for n, each in enumerate(parts):
        blocks = tuple(block for m, (_, block) in enumerate(each.blocks) if (n, m) in which)
        if blocks:
            found.append(Section(each.name + ending, each.title, blocks))
    return tuple(found)
