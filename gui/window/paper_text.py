"""A text with pictures laid out on a printer's pages."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QMarginsF, QSizeF, QUrl
from PySide6.QtGui import QColor, QImage, QPageLayout, QPageSize, QPainter, QTextDocument
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer

import linesim
from gui.look import LIGHT

_PAGE, _MARGIN = QSizeF(794, 1123), 48.0
"""Of A4, in 96ths of an inch; the text is scaled to the printer's page."""
_SHARPNESS = 4
"""Dots of a picture for each of the page's own, of which 96 make an inch."""
_STYLE = (
    "* { font-size: 8pt; } h2 { font-size: 12pt; } td, th { font-size: 7pt; }"
    f" small {{ font-size: 7pt; color: {LIGHT.quiet}; }}"
)


def upright_layout() -> QPageLayout:
    """A4 as a text is printed."""
    return QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4), QPageLayout.Orientation.Portrait, QMarginsF()
    )


def print_text(text: linesim.report.RichText, printer: QPrinter) -> None:
    """Print it on as many pages as it takes."""
    document = QTextDocument()
    document.setDefaultStyleSheet(_STYLE)
    for name, svg in text.pictures.items():
        document.addResource(
            QTextDocument.ResourceType.ImageResource.value, QUrl(name), _image(svg)
        )
    document.setHtml(text.html)
    document.setPageSize(_PAGE)
    document.setDocumentMargin(_MARGIN)
    document.print_(printer)


def _image(svg: bytes) -> QImage:
    drawn = QSvgRenderer(QByteArray(svg))
    image = QImage(drawn.defaultSize() * _SHARPNESS, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    drawn.render(painter)
    painter.end()
    return image
