"""A table in a print: columns as wide as they need, long ones over several pages."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from linesim.report.page.html import unbroken
from linesim.report.page.model import Grid
from linesim.report.page.pdf_styles import (
    COLOURS,
    REGULAR,
    SMALL,
    WIDTH,
    drawable,
    paragraph,
    style,
    table,
)

_GAP = 9.0
"""Room beside the text of a cell, in points."""
_SHORT = 14
"""So many rows are not parted by the end of a page."""
_TITLE = style(9, bold=True, spaceBefore=8, spaceAfter=3)
_WORDS, _FIGURES = style(7, splitLongWords=1), style(7, alignment=2)
_WORDS_HEAD, _FIGURES_HEAD = style(7, quiet=True), style(7, quiet=True, alignment=2)


def grid_flowables(block: Grid) -> Iterable[Flowable]:
    """The title, the table and its note."""
    looks = [_WORDS if n in block.left else _FIGURES for n in range(len(block.columns))]
    heads = [_WORDS_HEAD if look is _WORDS else _FIGURES_HEAD for look in looks]
    grid = table(
        [
            list(map(paragraph, block.columns, heads)),
            *(list(map(paragraph, row, looks)) for row in block.rows),
        ],
        _widths(block),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.75, COLOURS["faint"]),
        ("LINEBELOW", (0, 1), (-1, -1), 0.4, COLOURS["grid"]),
        padding=(1.5, 8, 1.5, 0),
        repeatRows=1,
        hAlign="LEFT",
        # A cell taller than a page is broken across pages, not refused.
        splitInRow=1,
    )
    whole = [paragraph(block.title, _TITLE), grid, Spacer(1, 4)]
    if block.note:
        whole.append(paragraph(block.note, SMALL))
    return [KeepTogether(whole)] if len(block.rows) <= _SHORT else [CondPageBreak(60), *whole]


def _widths(block: Grid) -> list[float]:
    """Widths of columns in points: as the texts want, words giving way where there is no room.

    No column is narrower than its longest word or figure, as long as there is room for all.
    """
    wanted, least = [], []
    for n, name in enumerate(block.columns):
        texts = [unbroken(row[n]) for row in block.rows]
        longest = max(_width(part) for text in [*texts, name] for part in [*text.split(" "), ""])
        # A heading may take two lines, not more.
        widest = max([0.62 * _width(name), *map(_width, texts)])
        wanted.append(_GAP + max(widest, longest, 20.0))
        least.append(wanted[n] if n in block.names else _GAP + max(longest, 20.0))
    if sum(wanted) <= WIDTH:
        return wanted
    if sum(least) >= WIDTH:
        most = WIDTH
        while sum(min(each, most) for each in least) > WIDTH:
            most *= 0.99
        return [min(each, most) for each in least]
    # A word column asks for no more than a good third, so that one long note starves no other.
    most = 0.38 * WIDTH
    asked = [
        max(0.0, (min(w, most) if n in block.left else w) - least[n]) for n, w in enumerate(wanted)
    ]
    share = min(1.0, (WIDTH - sum(least)) / (sum(asked) or 1.0))
    return [low + more * share for low, more in zip(least, asked, strict=True)]


def _width(text: str) -> float:
    return float(pdfmetrics.stringWidth(drawable(text), REGULAR, 7))
