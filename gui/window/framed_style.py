"""Fusion with frames that are seen in the dark, too.

Fusion frames fields in a darker shade of the window. On a dark window that cannot be told from
the window itself; WCAG 2.1 (1.4.11) asks for a contrast of 3 for what shows where a control is.
"""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPalette, QPen
from PySide6.QtWidgets import (
    QProxyStyle,
    QStyle,
    QStyleOption,
    QStyleOptionComplex,
    QStyleOptionSpinBox,
    QWidget,
)

_DARK = 128
_SIMPLE = (
    QStyle.PrimitiveElement.PE_FrameLineEdit,
    QStyle.PrimitiveElement.PE_IndicatorCheckBox,
)
_COMPLEX = (QStyle.ComplexControl.CC_SpinBox, QStyle.ComplexControl.CC_ComboBox)


class FramedStyle(QProxyStyle):
    """Fusion; in the dark with a light line around every field and box."""

    def __init__(self) -> None:
        super().__init__("Fusion")

    def drawPrimitive(
        self,
        element: QStyle.PrimitiveElement,
        option: QStyleOption,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """Draw it, and the line over Fusion's own where that is too dark."""
        super().drawPrimitive(element, option, painter, widget)
        if element in _SIMPLE:
            _frame(option, painter)

    def drawComplexControl(
        self,
        control: QStyle.ComplexControl,
        option: QStyleOptionComplex,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """Fields with buttons in them have the line, too."""
        super().drawComplexControl(control, option, painter, widget)
        if control in _COMPLEX and not (
            isinstance(option, QStyleOptionSpinBox) and not option.frame
        ):
            _frame(option, painter)


def _frame(option: QStyleOption, painter: QPainter) -> None:
    palette: QPalette = option.palette
    state: QStyle.StateFlag = option.state
    window = palette.color(QPalette.ColorRole.Window)
    # Where the focus is Fusion draws the line in the colour of what is chosen.
    if window.lightness() >= _DARK or state & QStyle.StateFlag.State_HasFocus:
        return
    colour = QColor(palette.color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.Text))
    if not state & QStyle.StateFlag.State_Enabled:
        colour.setAlphaF(0.5)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    area = QRectF(option.rect).adjusted(0.5, 0.5, -0.5, -0.5)
    painter.drawRoundedRect(area, 2, 2)
    painter.restore()
