"""How a table fits a page of text: figures stay whole, no text takes more than four lines.

Columns that find no room are left out, those of the highest rank first, or go on below.
"""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import NamedTuple

GAP = 2
"""Blanks between two columns."""
MOST_LINES = 4
"""No text of a table takes more lines than this, ..."""
_LEAST_TEXT = 20
"""... and none is broken to lines of fewer letters."""
CUT = "…"


class Fitted(NamedTuple):
    """A column by its number, and how wide it is."""

    column: int
    width: int


class Layout(NamedTuple):
    """Columns side by side, block by block, and the numbers of those that are left out."""

    blocks: list[list[Fitted]]
    left_out: list[int]


def layout(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    words: Sequence[bool],
    width: int,
    ranks: Sequence[int] | None = None,
) -> Layout:
    """How the columns fit; the first one stands in each block.

    ``words`` says which columns may be broken between words; figures are not. Heads always may.
    Where ``ranks`` are given and not all columns find room side by side, those with a rank are left
    out, the highest first and of one rank the last. What has none goes on below.

    >>> heads, rows, words = ["", "reams", "money"], [["a", "1,000", "2,000"]], [True, False, False]
    >>> layout(heads, rows, words, 20).blocks
    [[Fitted(column=0, width=1), Fitted(column=1, width=5), Fitted(column=2, width=5)]]
    >>> len(layout(heads, rows, words, 12).blocks)
    2
    >>> layout(heads, rows, words, 12, ranks=[0, 1, 0])
    Layout(blocks=[[Fitted(column=0, width=1), Fitted(column=2, width=5)]], left_out=[1])
    """
    most = [_most(heads, rows, n) for n in range(len(heads))]
    figures = max((most[n] for n in range(1, len(heads)) if not words[n]), default=0)
    # Beside the first column there is room for the widest figure.
    first = max(1, width - GAP - max(figures, min(_LEAST_TEXT, width // 3)))
    least = [
        _narrowest(heads, rows, n, most[n], first if n == 0 else width) if words[n] else most[n]
        for n in range(len(heads))
    ]
    shown = list(range(len(heads)))
    while _total([least[n] for n in shown]) > width:
        ranked = [n for n in shown[1:] if ranks is not None and ranks[n]]
        if not ranked:
            break
        shown.remove(max(ranked, key=lambda n: (ranks[n] if ranks else 0, n)))
    # Narrow the longest text first, and only as far as it must.
    while _total([most[n] for n in shown]) > width:
        loose = [n for n in shown if most[n] > least[n]]
        if not loose:
            break
        most[max(loose, key=lambda n: most[n])] -= 1
    found: list[list[Fitted]] = []
    for n in shown[1:]:
        fitted = Fitted(n, min(most[n], max(1, width - most[0] - GAP)))
        if not found or _total([each.width for each in [*found[-1], fitted]]) > width:
            found.append([Fitted(0, most[0])])
        found[-1].append(fitted)
    blocks = [_with_room_for_heads(heads, each, width) for each in found or [[Fitted(0, most[0])]]]
    return Layout(blocks, [n for n in range(len(heads)) if n not in shown])


def broken(text: str, width: int, most_lines: int | None = MOST_LINES) -> str:
    """A text on lines of that width, as many at most: what is longer ends in an ellipsis.

    >>> broken("a bridge of 40 m", 9)
    'a bridge\\nof 40 m'
    >>> broken("one two three four five six", 5)
    'one\\ntwo\\nthree\\nfour…'
    """
    return "\n".join(wrap(text, width, max_lines=most_lines, placeholder=CUT))


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def _most(heads: Sequence[str], rows: Sequence[Sequence[str]], n: int) -> int:
    cells = max((len(row[n]) for row in rows), default=0)
    return max(cells, _longest_word(heads[n]), 1)


def _narrowest(
    heads: Sequence[str], rows: Sequence[Sequence[str]], n: int, most: int, widest: int
) -> int:
    """So wide that no text takes too many lines, where ``widest`` is enough for that."""
    texts = [row[n] for row in rows]
    width = min(most, max(_LEAST_TEXT, *map(_longest_word, texts), _longest_word(heads[n])))
    while width < min(most, widest) and any(len(wrap(text, width)) > MOST_LINES for text in texts):
        width += 1
    return min(width, widest)


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
