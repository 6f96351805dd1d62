"""A light area with one hairline around it: what is in it belongs together."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame

from gui.look.current_palette import palette_of
from gui.look.focus_ring import ROUND


class Card(QFrame):
    """Draws itself; what is put into it has no ground of its own."""

    def paintEvent(self, event: QPaintEvent) -> None:
        look, painter = palette_of(self), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(look.grid), 1.0))
        painter.setBrush(QColor(look.ground))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), ROUND, ROUND)
