"""The sheets of a print: margins, footers, and "page 2 of 7" once the last page is known."""

from __future__ import annotations

from typing import Any

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import SimpleDocTemplate

from linesim.report.page.pdf_fonts import REGULAR
from linesim.report.page.pdf_styles import MARGIN, PADDING, QUIET, WIDTH


class PageDocument(SimpleDocTemplate):  # type: ignore[misc]
    """Hands its footer to the canvas that writes the pages."""

    footer = ""

    def handle_documentBegin(self) -> None:  # noqa: N802 - the library's name
        super().handle_documentBegin()
        self.canv.footer = self.footer


class NumberedCanvas(Canvas):  # type: ignore[misc]
    """Writes "page 2 of 7" when the last page is known."""

    footer = ""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - the library's name
        """Keep the page until all are known."""
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Number the pages and write them."""
        pages = self._pages
        for number, page in enumerate(pages, 1):
            self.__dict__.update(page)
            self.setFillColor(QUIET)
            self.setFont(REGULAR, 7)
            self.drawString(MARGIN + PADDING, 30, _fitting(self.footer, WIDTH - 80))
            self.drawRightString(A4[0] - MARGIN - PADDING, 30, f"page {number} of {len(pages)}")
            super().showPage()
        super().save()


def _fitting(text: str, width: float) -> str:
    while text and pdfmetrics.stringWidth(text, REGULAR, 7) > width:
        text = text[:-2].rstrip() + "…"
    return text
