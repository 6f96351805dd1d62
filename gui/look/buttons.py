"""The one filled button of a page."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QPushButton, QStyle, QStyleOptionButton, QWidget

from gui.look.current_palette import palette_of
from gui.look.flat_style import draw_inner_ring
from gui.look.focus_ring import ROUND
from gui.look.palette import mixed
from gui.look.spacing import FAR

_UNDER_HAND = 0.15


class PrimaryButton(QPushButton):
    """What is to be pressed next on a page: filled, where all others are outlined."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        wide = self.fontMetrics().horizontalAdvance(text.replace("&", ""))
        self.setMinimumWidth(wide + 2 * FAR)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Words on the fill; the ring of the focus lies inside it."""
        if not self.isEnabled():
            super().paintEvent(event)
            return
        option = QStyleOptionButton()
        self.initStyleOption(option)
        look, painter = palette_of(self), QPainter(self)
        flag = QStyle.StateFlag
        over = option.state & (flag.State_MouseOver | flag.State_Sunken)
        fill = mixed(look.curve, look.text, _UNDER_HAND) if over else look.curve
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QColor(fill))
        painter.setBrush(QColor(fill))
        area = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(area, ROUND, ROUND)
        if option.state & flag.State_HasFocus:
            draw_inner_ring(painter, self.rect(), QColor(look.on_curve))
        palette = QPalette(option.palette)
        palette.setColor(QPalette.ColorRole.ButtonText, QColor(look.on_curve))
        option.palette = palette
        self.style().drawControl(QStyle.ControlElement.CE_PushButtonLabel, option, painter, self)
