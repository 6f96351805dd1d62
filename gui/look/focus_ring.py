"""The ring around what has the keyboard, for what the style does not draw."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from gui.look.current_palette import palette_of

ROUND = 4.0
"""Radius of the corners of controls and cards, px."""
RING = 2.0
"""Width of the ring around what has the focus, px."""


def draw_ring(painter: QPainter, area: QRectF, colour: QColor, width: float = RING) -> None:
    """A ring that lies within the area."""
    inner = width / 2
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(area.adjusted(inner, inner, -inner, -inner), ROUND, ROUND)
    painter.restore()


def draw_focus(widget: QWidget) -> None:
    """The ring along the edges of a widget that has the keyboard; to be called as it is painted."""
    if widget.hasFocus():
        painter = QPainter(widget)
        draw_ring(painter, QRectF(widget.rect()), QColor(palette_of(widget).curve))
        painter.end()
