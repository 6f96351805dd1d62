"""Sizes, styles and plain text of a print."""

from __future__ import annotations

from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph as Words

from linesim.report.page.colours import LIGHT
from linesim.report.page.html import unbroken
from linesim.report.page.pdf_fonts import BOLD, REGULAR, drawable

MARGIN = 48.0
PADDING = 6.0
WIDTH = A4[0] - 2 * (MARGIN + PADDING)
TALLEST = 600.0
# Named for cells without text too: else the library names a font that is not embedded.
FONT = ("FONTNAME", (0, 0), (-1, -1), REGULAR)
INK, QUIET = HexColor(LIGHT["ink"]), HexColor(LIGHT["quiet"])


def style(size: float, *, bold: bool = False, quiet: bool = False, **more: Any) -> ParagraphStyle:
    """Text of a size in points; ``more`` is what the library's styles take."""
    return ParagraphStyle(
        f"{size}{bold}{quiet}{sorted(more.items())}",
        fontName=BOLD if bold else REGULAR,
        bulletFontName=REGULAR,
        fontSize=size,
        leading=size * 1.35,
        textColor=QUIET if quiet else INK,
        **more,
    )


TITLE = style(18, bold=True, spaceAfter=2)
HEADING = style(11, bold=True, spaceBefore=7, spaceAfter=3)
TABLE_TITLE = style(9, bold=True, spaceBefore=8, spaceAfter=3)
BODY = style(8.2, spaceAfter=2)
SMALL = style(7.5, quiet=True, spaceAfter=3)
CELL = style(7, splitLongWords=1)
FIGURE_CELL = style(7, alignment=2)
HEAD = style(7, quiet=True)
FIGURE_HEAD = style(7, quiet=True, alignment=2)


def paragraph(text: str, look: ParagraphStyle, lead: str = "") -> Words:
    """A paragraph of plain text: nothing in it is taken for mark-up."""
    text = unbroken(text)
    first = f'<font name="{BOLD}">{escape(drawable(lead))}</font> ' if lead else ""
    return Words(first + escape(drawable(text)), look)
