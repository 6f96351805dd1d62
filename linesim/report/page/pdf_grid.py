"""A table in a print: columns as wide as they need, long ones over several pages."""

from __future__ import annotations

from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import Flowable

from linesim.report.page.model import Grid
from linesim.report.page.pdf_styles import (
    COLOURS,
    REGULAR,
    WIDTH,
    drawable,
    paragraph,
    style,
    table,
)
from linesim.report.unbroken import unbroken

_GAP = 9.0
"""Room beside the text of a cell, in points."""
_SHORT = 14
"""So many rows are not parted by the end of a page."""
LEAST_OF_LONG = 90.0
"""The title and the first rows of a long table, in points."""
_SIZE = 7.0


def is_short(block: Grid) -> bool:
    """Whether the end of a page does not part its rows."""
    return len(block.rows) <= _SHORT


def grid_flowables(block: Grid, width: float = WIDTH, size: float = _SIZE) -> list[Flowable]:
    """The title, the table and its note, in a width and with letters of a size, in points."""
    title = paragraph(block.title, style(size + 1.5, bold=True, spaceBefore=7, spaceAfter=2))
    words, figures = style(size, splitLongWords=1), style(size, alignment=2)
    words_head, figures_head = style(size, quiet=True), style(size, quiet=True, alignment=2)
    looks = [words if n in block.left else figures for n in range(len(block.columns))]
    heads = [words_head if look is words else figures_head for look in looks]
    grid = table(
        [
            list(map(paragraph, block.columns, heads)),
            *(list(map(paragraph, row, looks)) for row in block.rows),
        ],
        _widths(block, width, size),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.75, COLOURS["faint"]),
        ("LINEBELOW", (0, 1), (-1, -1), 0.4, COLOURS["grid"]),
        padding=(1.5, 8, 1.5, 0),
        repeatRows=1,
        hAlign="LEFT",
        # A cell taller than a page is broken across pages, not refused.
        splitInRow=1,
        spaceAfter=3,
    )
    whole = [title, grid]
    if block.note:
        whole.append(paragraph(block.note, style(size, quiet=True, spaceAfter=3)))
    return whole


def _widths(block: Grid, room: float, size: float) -> list[float]:
    """Widths of columns in points: as the texts want, words giving way where there is no room.

    No column is narrower than its longest word or figure, as long as there is room for all.
    """
    wanted, least = [], []
    for n, name in enumerate(block.columns):
        texts = [unbroken(row[n]) for row in block.rows]
        longest = max(
            _width(size, part) for text in [*texts, name] for part in [*text.split(" "), ""]
        )
        # A heading may take two lines, not more.
        widest = max([0.62 * _width(size, name), *(_width(size, text) for text in texts)])
        wanted.append(_GAP + max(widest, longest, 20.0))
        least.append(wanted[n] if n in block.names else _GAP + max(longest, 20.0))
    if sum(wanted) <= room:
        return wanted
    if sum(least) >= room:
        most = room
        while sum(min(each, most) for each in least) > room:
            most *= 0.99
        return [min(each, most) for each in least]
    # A word column asks for no more than a good third, so that one long note starves no other.
    most = 0.38 * room
    asked = [
        max(0.0, (min(w, most) if n in block.left else w) - least[n]) for n, w in enumerate(wanted)
    ]
    share = min(1.0, (room - sum(least)) / (sum(asked) or 1.0))
    return [low + more * share for low, more in zip(least, asked, strict=True)]


def _width(size: float, text: str) -> float:
    return float(pdfmetrics.stringWidth(drawable(text), REGULAR, size))
