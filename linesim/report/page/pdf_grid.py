"""A table in a print: columns as wide as they need, long ones over several pages."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import CondPageBreak, Flowable, Spacer, Table

from linesim.report.page.colours import LIGHT
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
    said,
)


def grid_flowables(block: Grid) -> Iterable[Flowable]:
    """The title, the table and its note."""
    head = [
        said(name, HEAD if n in block.left else FIGURE_HEAD) for n, name in enumerate(block.columns)
    ]
    rows = [
        [said(cell, CELL if n in block.left else FIGURE_CELL) for n, cell in enumerate(row)]
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
    note = [said(block.note, SMALL)] if block.note else []
    note.insert(0, Spacer(1, 4))
    return [CondPageBreak(60), said(block.title, TABLE_TITLE), table, *note]


def _widths(block: Grid) -> list[float]:
    """Widths of columns in points: as the texts want, words giving way where there is no room."""
    wanted = []
    for n, name in enumerate(block.columns):
        texts = [row[n] for row in block.rows]
        widest = max([pdfmetrics.stringWidth(drawable(t), REGULAR, 7) for t in texts], default=0.0)
        longest = max(pdfmetrics.stringWidth(part, REGULAR, 7) for part in [*name.split(), ""])
        # A heading may take two lines, not more.
        heading = 0.62 * pdfmetrics.stringWidth(drawable(name), REGULAR, 7)
        wanted.append(9.0 + max(widest, longest, heading, 20.0))
    if sum(wanted) <= WIDTH:
        return wanted
    words = [n for n in range(len(wanted)) if n in block.left and n not in block.names]
    fixed = sum(w for n, w in enumerate(wanted) if n not in words)
    if not words or fixed > 0.7 * WIDTH:
        return [w * WIDTH / sum(wanted) for w in wanted]
    # A word column asks for no more than a good third, so that one long note starves no other.
    asked = {n: min(wanted[n], 0.38 * WIDTH) for n in words}
    share = min(1.0, (WIDTH - fixed) / sum(asked.values()))
    return [asked[n] * share if n in words else w for n, w in enumerate(wanted)]
