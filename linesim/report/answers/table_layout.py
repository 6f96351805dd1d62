"""How a table fits a page of text: figures stay whole, columns that find no room go below."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import NamedTuple

GAP = 2
"""Blanks between two columns."""
_LEAST_TEXT = 20
"""Words are broken to lines of at least so many letters before columns are moved below, ..."""
_MOST_LINES = 4
"""... and to no more lines than this, where half the page is enough for that."""


class Fitted(NamedTuple):
    """A column by its number, and how wide it is."""

    column: int
    width: int


def blocks(
    heads: Sequence[str], rows: Sequence[Sequence[str]], words: Sequence[bool], width: int
) -> list[list[Fitted]]:
    """Columns side by side, block by block; the first column stands in each block.

    ``words`` says which columns may be broken between words; figures are not. Heads always may.

    >>> blocks(["", "reams", "money"], [["a", "1,000", "2,000"]], [True, False, False], 20)
    [[Fitted(column=0, width=1), Fitted(column=1, width=5), Fitted(column=2, width=5)]]
    >>> len(blocks(["", "reams", "money"], [["a", "1,000", "2,000"]], [True, False, False], 12))
    2
    """
    most = [_most(heads, rows, n) for n in range(len(heads))]
    # Narrow the longest text first, and only as far as it must.
    while _total(most) > width:
        loose = [
            n
            for n, each in enumerate(most)
            if words[n] and each > _narrowest(heads, rows, n, width)
        ]
        if not loose:
            break
        most[max(loose, key=lambda n: most[n])] -= 1
    found: list[list[Fitted]] = []
    for n in range(1, len(heads)):
        fitted = Fitted(n, min(most[n], max(1, width - most[0] - GAP)))
        if not found or _total([each.width for each in [*found[-1], fitted]]) > width:
            found.append([Fitted(0, most[0])])
        found[-1].append(fitted)
    return [_with_room_for_heads(heads, each, width) for each in found or [[Fitted(0, most[0])]]]


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def _most(heads: Sequence[str], rows: Sequence[Sequence[str]], n: int) -> int:
    cells = max((len(row[n]) for row in rows), default=0)
    return max(cells, _longest_word(heads[n]), 1)


def _narrowest(heads: Sequence[str], rows: Sequence[Sequence[str]], n: int, page: int) -> int:
    texts = [row[n] for row in rows]
    width = max(_LEAST_TEXT, *map(_longest_word, texts), _longest_word(heads[n]))
    while width < page // 2 and any(len(wrap(text, width)) > _MOST_LINES for text in texts):
        width += 1
    return width


def _longest_word(text: str) -> int:
    return max((len(word) for word in text.split()), default=0)


def _with_room_for_heads(heads: Sequence[str], block: list[Fitted], width: int) -> list[Fitted]:
    """Heads on as few lines as the room that is left allows."""
    room = width - _total([each.width for each in block])
    found = list(block)
    while room > 0:
        tight = [n for n, each in enumerate(found) if len(heads[each.column]) > each.width]
        if not tight:
            break
        n = max(tight, key=lambda n: len(heads[found[n].column]) / found[n].width)
        found[n] = found[n]._replace(width=found[n].width + 1)
        room -= 1
    return found
