"""A page about what is on screen, for printer, PDF and picture: words and drawings, no widgets.

It is in light colours whatever the window has, and says of itself what it is: which line, which
run or question, what its figures rest on, and what they must not be taken for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from PySide6.QtCore import QBuffer, QMarginsF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)
from PySide6.QtPrintSupport import QPrinter

from gui.look import LIGHT

PAGE = QSize(1120, 763)
"""Points of a page: as A4 on its side, within its margins."""
SHARPNESS = 2.0
_DPI = 300
_MARGIN_MM = 12.0
_TITLE_PX, _WORDS_PX, _FIGURE_PX, _SMALL_PX = 24, 13, 16, 11
_AROUND = 16
"""What a picture has around the page; a printer has its margins."""
LOOK = replace(LIGHT, ground=LIGHT.paper)
_GAP = 8.0
_WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)

Draw = Callable[[QPainter, QSize], None]


@dataclass(frozen=True)
class PrintedPage:
    """What stands on it, top to bottom; ``drawings`` with the part of the height that each has."""

    title: str
    words: tuple[str, ...] = ()
    figures: tuple[tuple[str, str], ...] = ()
    basis: str = ""
    drawings: tuple[tuple[int, Draw], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass
class _Column:
    """Words one below the other."""

    painter: QPainter
    font: QFont
    width: float
    y: float = 0.0
    fonts: dict[tuple[int, bool], QFont] = field(default_factory=dict)

    def sized(self, pixels: int, *, bold: bool = False) -> QFont:
        font = self.fonts.setdefault((pixels, bold), QFont(self.font))
        font.setPixelSize(pixels)
        font.setBold(bold)
        return font

    def height(self, words: str, pixels: int) -> float:
        """What the words need."""
        metrics = QFontMetricsF(self.sized(pixels))
        return metrics.boundingRect(QRectF(0, 0, self.width, 1e4), _WRAP, words).height()

    def write(self, words: str, pixels: int, *, bold: bool = False, quiet: bool = False) -> None:
        """Write words, and go on below them."""
        if not words:
            return
        font = self.sized(pixels, bold=bold)
        self.painter.setFont(font)
        self.painter.setPen(QColor(LOOK.quiet) if quiet else QColor(LOOK.text))
        area = QRectF(0, self.y, self.width, 1e4)
        taken = QFontMetricsF(font).boundingRect(area, _WRAP, words)
        self.painter.drawText(area, _WRAP, words)
        self.y += taken.height() + 2

    def write_figures(self, figures: tuple[tuple[str, str], ...]) -> None:
        """Figures beside each other, each under its name."""
        if not figures:
            return
        each = self.width / len(figures)
        high = 0.0
        for number, (name, value) in enumerate(figures):
            x, y = number * each, self.y + 4
            for words, pixels, quiet in ((name, _SMALL_PX, True), (value, _FIGURE_PX, False)):
                font = self.sized(pixels)
                self.painter.setFont(font)
                self.painter.setPen(QColor(LOOK.quiet) if quiet else QColor(LOOK.text))
                area = QRectF(x, y, each - _GAP, 1e4)
                self.painter.drawText(area, _WRAP, words)
                y += QFontMetricsF(font).boundingRect(area, _WRAP, words).height()
            high = max(high, y - self.y)
        self.y += high + 2


def paint_page(painter: QPainter, page: PrintedPage, font: QFont) -> None:
    """Paint it into an area of ``PAGE`` points with its corner at (0, 0)."""
    column = _Column(painter, font, float(PAGE.width()))
    column.write(page.title, _TITLE_PX, bold=True)
    column.write(" ".join(page.words), _WORDS_PX)
    column.write_figures(page.figures)
    column.write(page.basis, _SMALL_PX, quiet=True)
    notes = " ".join(page.notes)
    foot = PAGE.height() - column.height(notes, _SMALL_PX)
    room = foot - column.y - _GAP * (len(page.drawings) + 1)
    parts = sum(part for part, _ in page.drawings)
    top = column.y + _GAP
    for part, draw in page.drawings:
        size = QSize(PAGE.width(), int(room * part / parts))
        painter.save()
        painter.translate(0, top)
        painter.setClipRect(QRectF(0, 0, size.width(), size.height()))
        painter.setFont(column.sized(_WORDS_PX))
        draw(painter, size)
        painter.restore()
        top += size.height() + _GAP
    column.y = foot
    column.write(notes, _SMALL_PX, quiet=True)


def _image_of(page: PrintedPage, font: QFont) -> QImage:
    """The page as a picture."""
    around = QSize(2 * _AROUND, 2 * _AROUND)
    image = QImage((PAGE + around) * SHARPNESS, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(SHARPNESS)
    image.fill(QColor(LOOK.ground))
    painter = QPainter(image)
    painter.translate(_AROUND, _AROUND)
    paint_page(painter, page, font)
    painter.end()
    return image


def png_bytes(page: PrintedPage, font: QFont) -> bytes:
    """The page as PNG."""
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    _image_of(page, font).save(buffer, "PNG")
    return bytes(buffer.data().data())


def pdf_bytes(page: PrintedPage, font: QFont) -> bytes:
    """The page as PDF."""
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setCreator("linesim")
    writer.setTitle(page.title)
    writer.setResolution(_DPI)
    writer.setPageLayout(page_layout())
    draw_page(page, font, writer)
    return bytes(buffer.data().data())


def page_layout() -> QPageLayout:
    """A4 on its side."""
    margins = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
    return QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4),
        QPageLayout.Orientation.Landscape,
        margins,
        QPageLayout.Unit.Millimeter,
    )


def draw_page(page: PrintedPage, font: QFont, device: QPdfWriter | QPrinter) -> bool:
    """Draw it as large as the device's page takes it; False where the device cannot be begun."""
    painter = QPainter()
    if not painter.begin(device):
        return False
    room = device.pageLayout().paintRectPixels(device.resolution())
    scale = min(room.width() / PAGE.width(), room.height() / PAGE.height())
    painter.scale(scale, scale)
    paint_page(painter, page, font)
    return painter.end()
