"""Fonts, sizes and plain text of a print.

The fonts are embedded: DejaVu Sans, which has more scripts than most.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph, Table

from linesim.report.colours import LIGHT
from linesim.report.plain import embedded_fonts
from linesim.report.unbroken import unbroken

REGULAR, BOLD = "LinesimSans", "LinesimSans-Bold"
MARGIN = 54.0
WIDTH = A4[0] - 2 * MARGIN
TOP, BOTTOM = 34.0, 46.0
PADDING = 6.0
"""That a frame of the library has."""
HEIGHT = A4[1] - TOP - BOTTOM - 2 * PADDING
COLOURS = {name: HexColor(value) for name, value in LIGHT.items()}


@lru_cache(maxsize=1)
def prepare_fonts() -> frozenset[int]:
    """Make the fonts known to the PDF library; gives the signs that the regular one has."""
    for name, data in zip((REGULAR, BOLD), embedded_fonts(), strict=True):
        pdfmetrics.registerFont(TTFont(name, BytesIO(data)))
    pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)
    return frozenset(map(int, pdfmetrics.getFont(REGULAR).face.charToGlyph))


def drawable(text: str) -> str:
    """The text with a replacement sign for each sign that the font does not have."""
    known = prepare_fonts()
    return "".join(s if ord(s) in known or s == "\n" else "\ufffd" for s in text)


def style(size: float, *, bold: bool = False, quiet: bool = False, **more: Any) -> ParagraphStyle:
    """Text of a size in points; ``more`` is what the library's styles take."""
    return ParagraphStyle(
        f"{size}{bold}{quiet}{sorted(more.items())}",
        fontName=BOLD if bold else REGULAR,
        bulletFontName=REGULAR,
        bulletFontSize=size,
        fontSize=size,
        leading=size * 1.35,
        textColor=COLOURS["quiet" if quiet else "ink"],
        **more,
    )


BODY = style(8.2, spaceAfter=2)
SMALL = style(7.5, quiet=True, spaceAfter=3)


class _Text(Paragraph):  # type: ignore[misc]
    """Its lines are broken once for a width: a report is laid out many times until it fits."""

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        # What was parted at the end of a page holds its lines in another way.
        known = hasattr(self, "blPara") and not hasattr(self, "_splitpara")
        if known and self.width == width:
            return self.width, self.height
        wrapped: tuple[float, float] = super().wrap(width, height)
        return wrapped


def paragraph(text: str, look: ParagraphStyle, lead: str = "", bullet: str = "") -> Paragraph:
    """A paragraph of plain text: nothing in it is taken for mark-up."""
    first = f"<b>{escape(drawable(lead))}</b> " if lead else ""
    return _Text(first + escape(drawable(unbroken(text))), look, bulletText=bullet or None)


def table(
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    *looks: tuple[Any, ...],
    padding: tuple[float, float, float, float],
    **options: Any,
) -> Table:
    """A table with ``looks`` as the library has them, and room above, right, below and left."""
    all_cells = (0, 0), (-1, -1)
    names = ("TOPPADDING", "RIGHTPADDING", "BOTTOMPADDING", "LEFTPADDING")
    # The font is named for cells without text too: else one is named that is not embedded.
    look: list[tuple[Any, ...]] = [("FONTNAME", *all_cells, REGULAR), ("VALIGN", *all_cells, "TOP")]
    look += [(name, *all_cells, room) for name, room in zip(names, padding, strict=True)]
    return Table(rows, colWidths=widths, style=[*look, *looks], **options)
