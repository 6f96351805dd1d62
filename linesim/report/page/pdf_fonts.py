"""The fonts that are embedded in a print: DejaVu Sans, which has more scripts than most."""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from linesim.report.fonts import embedded_fonts

REGULAR, BOLD = "LinesimSans", "LinesimSans-Bold"
_INSTEAD = "\ufffd"


@lru_cache(maxsize=1)
def prepare_fonts() -> frozenset[int]:
    """Make the fonts known to the PDF library; gives the signs that the regular one has."""
    for name, data in zip((REGULAR, BOLD), embedded_fonts(), strict=True):
        pdfmetrics.registerFont(TTFont(name, BytesIO(data)))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR)
    signs = pdfmetrics.getFont(REGULAR).face.charToGlyph
    return frozenset(int(sign) for sign in signs)


def drawable(text: str) -> str:
    """The text with a replacement sign for each sign that the font does not have."""
    known = prepare_fonts()
    return "".join(s if ord(s) in known or s == "\n" else _INSTEAD for s in text)
