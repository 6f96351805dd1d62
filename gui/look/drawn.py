"""A drawing on screen that speaks when pointed at, as a picture to paste and as an SVG file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QEvent, QIODevice, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QHelpEvent, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

import linesim
from gui.look.current_palette import palette_of
from gui.look.palette import LIGHT, Palette
from gui.look.tool_tip import plain_tip

Spot = tuple[QRectF, str]
"""A place of a drawing, and what it says when pointed at."""

_PICTURE = QSize(960, 560)
_SHARPNESS = 2.0
_MARGIN = 10.0


class Drawn(QWidget):
    """Draws what ``draw`` says; a picture of it is in light colours, with ``source`` below it."""

    source = ""
    """Where the figures come from."""
    names_itself = True
    """Whether its title is part of the drawing; else a picture has it above."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spots: list[Spot] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def draw(
        self, painter: QPainter, room: QRectF, look: Palette, *, on_screen: bool
    ) -> list[Spot]:
        """Draw into ``room``; gives the places that have something to say when pointed at."""
        raise NotImplementedError

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        look = palette_of(self)
        painter.fillRect(self.rect(), QColor(look.ground))
        self._spots = self.draw(painter, QRectF(self.rect()), look, on_screen=True)
        painter.end()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            said = next((words for box, words in self._spots if box.contains(event.pos())), "")
            QToolTip.showText(event.globalPos(), plain_tip(said), self)
            return True
        return super().event(event)

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark follow the system."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.update()

    def picture(self) -> QImage:
        """The drawing as a picture."""
        size = self._paper_size()
        image = QImage(size * _SHARPNESS, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(_SHARPNESS)
        image.fill(QColor(LIGHT.ground))
        painter = QPainter(image)
        self.print_into(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return image

    def svg(self) -> bytes:
        """The drawing as SVG."""
        from PySide6.QtSvg import QSvgGenerator

        size = self._paper_size()
        room = QBuffer()
        room.open(QIODevice.OpenModeFlag.WriteOnly)
        maker = QSvgGenerator()
        maker.setOutputDevice(room)
        maker.setSize(size)
        maker.setViewBox(QRectF(0, 0, size.width(), size.height()))
        maker.setTitle(self.accessibleName())
        maker.setDescription(self.source)
        painter = QPainter(maker)
        self.print_into(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return bytes(room.data().data())

    def save_svg(self, path: Path) -> None:
        """Write the drawing as SVG. Raises ``OSError`` where that is not possible."""
        linesim.files.write_bytes(path, self.svg())

    def _paper_size(self) -> QSize:
        return _PICTURE.expandedTo(QSize(0, self.minimumHeight() + 40))

    def print_into(self, painter: QPainter, room: QRectF) -> None:
        """Draw it for paper: in light colours, with its title and where its figures come from."""
        font = QFont(self.font())
        # In points it would grow with the sharpness of the printer.
        font.setPixelSize(QFontInfo(font).pixelSize())
        painter.setFont(font)
        height = painter.fontMetrics().height()
        foot = QRectF(_MARGIN, room.bottom() - height - 6, room.width() - 2 * _MARGIN, height + 4)
        above = 0 if self.names_itself else height + 8
        if above:
            self._print_title(painter, QRectF(_MARGIN, 4, room.width() - 2 * _MARGIN, height + 4))
        painter.translate(0, above)
        self.draw(painter, room.adjusted(0, 0, 0, -height - 4 - above), LIGHT, on_screen=False)
        painter.translate(0, -above)
        painter.setPen(QColor(LIGHT.text))
        painter.drawText(foot, int(Qt.AlignmentFlag.AlignLeft), self.source)

    def _print_title(self, painter: QPainter, box: QRectF) -> None:
        font = painter.font()
        bold = QFont(font)
        bold.setBold(True)
        painter.setFont(bold)
        painter.setPen(QColor(LIGHT.text))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft), self.accessibleName())
        painter.setFont(font)
