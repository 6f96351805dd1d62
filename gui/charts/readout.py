"""The figure that is pointed at, in words beside its point."""

from __future__ import annotations

from typing import Any, NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem

from gui.look import Palette

_AWAY = 12.0
_AROUND = 6.0
_RING = 5.0
_FLAGS = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)


class Spot(NamedTuple):
    """A place of a plot, 0 to 1 across and up, and what it says; ``box`` is what belongs to it."""

    place: QPointF
    words: str
    box: QRectF | None = None


class ReadOut(QGraphicsItem):
    """Words in a frame, and a ring around what they are of, in pixels of the scene."""

    def __init__(self) -> None:
        super().__init__()
        self.words = ""
        self._look: Palette | None = None
        self._font = QFont()
        self._point, self._frame = QPointF(), QRectF()
        self._around: QRectF | None = None
        self.setZValue(100)
        self.setVisible(False)

    def dress(self, look: Palette, font: QFont) -> None:
        """In these colours and letters."""
        self._look, self._font = look, font
        self.update()

    def say(self, words: str, point: QPointF, room: QRectF, around: QRectF | None = None) -> None:
        """Say it beside the point, within the room; with a frame ``around`` what it is of."""
        self.prepareGeometryChange()
        self.words, self._point, self._around = words, point, around
        wide = room.width() - 2 * _AROUND - 2
        size = QFontMetricsF(self._font).boundingRect(QRectF(0, 0, wide, 1e4), _FLAGS, words)
        frame = QRectF(0, 0, size.width() + 2 * _AROUND + 2, size.height() + _AROUND)
        right = point.x() + _AWAY + frame.width() <= room.right()
        above = point.y() - _AWAY - frame.height() >= room.top()
        frame.moveLeft(point.x() + _AWAY if right else point.x() - _AWAY - frame.width())
        frame.moveTop(point.y() - _AWAY - frame.height() if above else point.y() + _AWAY)
        frame.moveLeft(max(room.left(), min(frame.left(), room.right() - frame.width())))
        frame.moveTop(max(room.top(), min(frame.top(), room.bottom() - frame.height())))
        self._frame = frame
        self.setVisible(True)
        self.update()

    def quiet(self) -> None:
        """Say nothing."""
        self.words = ""
        self.setVisible(False)

    @property
    def frame(self) -> QRectF:
        """Where the words stand."""
        return self._frame

    def boundingRect(self) -> QRectF:
        """Frame and ring."""
        ring = QRectF(-_RING, -_RING, 2 * _RING, 2 * _RING).translated(self._point)
        ring = ring if self._around is None else self._around
        return self._frame.united(ring).adjusted(-2, -2, 2, 2)

    def paint(self, p: QPainter, *_: Any) -> None:
        """Ring or dots around what is read, frame, words."""
        if self._look is None:
            return
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.setPen(QPen(QColor(self._look.text), 1.5))
        if self._around is None:
            p.drawEllipse(self._point, _RING, _RING)
        else:
            p.setPen(QPen(QColor(self._look.text), 1, Qt.PenStyle.DotLine))
            p.drawRect(self._around)
        p.setPen(QPen(QColor(self._look.ghost), 1))
        p.setBrush(QColor(self._look.ground))
        p.drawRoundedRect(self._frame, 2, 2)
        p.setPen(QColor(self._look.text))
        p.setFont(self._font)
        inner = self._frame.adjusted(_AROUND, _AROUND / 2, -_AROUND, 0)
        p.drawText(inner, _FLAGS, self.words)
