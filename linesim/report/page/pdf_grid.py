"""A table in a print: columns as wide as they need, long ones over several pages."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer, Table

from linesim.report.page.colours import LIGHT
from linesim.report.page.html import unbroken
from linesim.report.page.model import Grid
from linesim.report.page.pdf_fonts import REGULAR, drawable
from linesim.report.page.pdf_styles import (
    CELL,
    FIGURE_CELL,
    FIGURE_HEAD,
    FONT,
    HEAD,
    SMALL,
    TABLE_TITLE,
    WIDTH,
    paragraph,
)

_GAP = 9.0
"""Room beside the text of a cell, in points."""
_SHORT = 14
"""So many rows are not parted by the end of a page."""


def grid_flowables(block: Grid) -> Iterable[Flowable]:
    """The title, the table and its note."""
    head = [
        paragraph(name, HEAD if n in block.left else FIGURE_HEAD)
        for n, name in enumerate(block.columns)
    ]
    rows = [
        [paragraph(cell, CELL if n in block.left else FIGURE_CELL) for n, cell in enumerate(row)]
        for row in block.rows
    ]
    table = Table(
        [head, *rows],
        colWidths=_widths(block),
        repeatRows=1,
        hAlign="LEFT",
        # A cell taller than a page is broken across pages, not refused.
        splitInRow=1,
    )
    table.setStyle(
        [
            FONT,
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("LINEBELOW", (0, 0), (-1, 0), 0.75, HexColor(LIGHT["faint"])),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, HexColor(LIGHT["grid"])),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 8),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ]
    )
    note = [paragraph(block.note, SMALL)] if block.note else []
    note.insert(0, Spacer(1, 4))
    whole = [paragraph(block.title, TABLE_TITLE), table, *note]
    if len(block.rows) <= _SHORT:
        return [KeepTogether(whole)]
    return [CondPageBreak(60), *whole]


def _widths(block: Grid) -> list[float]:
    """Widths of columns in points: as the texts want, words giving way where there is no room.

    No column is narrower than its longest word or figure, as long as there is room for all.
    """
    wanted, least = [], []
    for n, name in enumerate(block.columns):
        texts = [unbroken(row[n]) for row in block.rows]
        longest = max(_width(part) for text in [*texts, name] for part in [*text.split(" "), ""])
        # A heading may take two lines, not more.
        widest = max([0.62 * _width(name), *(_width(text) for text in texts)])
        wanted.append(_GAP + max(widest, longest, 20.0))
        least.append(wanted[n] if n in block.names else _GAP + max(longest, 20.0))
    if sum(wanted) <= WIDTH:
        return wanted
    if sum(least) >= WIDTH:
        return _cut_down(least)
    # A word column asks for no more than a good third, so that one long note starves no other.
    most = 0.38 * WIDTH
    asked = [
        max(0.0, (min(w, most) if n in block.left else w) - least[n]) for n, w in enumerate(wanted)
    ]
    share = min(1.0, (WIDTH - sum(least)) / (sum(asked) or 1.0))
    return [low + more * share for low, more in zip(least, asked, strict=True)]


def _cut_down(widths: list[float]) -> list[float]:
    """The widths, the widest of them cut so that all have room together."""
    ordered, most = sorted(widths), WIDTH
    for count, narrowest in enumerate(ordered):
        most = (WIDTH - sum(ordered[:count])) / (len(ordered) - count)
        if narrowest >= most:
            break
    return [min(each, most) for each in widths]


def _width(text: str) -> float:
    return float(pdfmetrics.stringWidth(drawable(text), REGULAR, 7))
