"""Fusion with frames that are seen in the dark, too.

Fusion frames fields in a darker shade of the window. On a dark window that cannot be told from
the window itself; WCAG 2.1 (1.4.11) asks for a contrast of 3 for what shows where a control is.
"""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPalette, QPen, QPixmap
from PySide6.QtWidgets import (
    QProxyStyle,
    QStyle,
    QStyleOption,
    QStyleOptionComplex,
    QStyleOptionSpinBox,
    QWidget,
)

_DARK = 128
ICON_COLOUR = "#7d848a"
"""Seen on light and dark alike: an icon is made once, and the colours may change."""
_ICON_PX, _SHARPNESS = 10, 3
_CROSS = [(2, 2, 8, 8), (2, 8, 8, 2)]
_TWO_WINDOWS = [
    *((3, 1, 9, 1), (9, 1, 9, 7), (3, 1, 3, 3), (7, 7, 9, 7)),
    *((1, 3, 7, 3), (7, 3, 7, 9), (7, 9, 1, 9), (1, 9, 1, 3)),
]
_DOCK_ICONS = {
    QStyle.StandardPixmap.SP_TitleBarCloseButton: _CROSS,
    QStyle.StandardPixmap.SP_DockWidgetCloseButton: _CROSS,
    QStyle.StandardPixmap.SP_TitleBarNormalButton: _TWO_WINDOWS,
}
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

    def standardIcon(
        self,
        which: QStyle.StandardPixmap,
        option: QStyleOption | None = None,
        widget: QWidget | None = None,
    ) -> QIcon:
        """Fusion's own for the title of a dock are dark in the dark, too."""
        lines = _DOCK_ICONS.get(which)
        return super().standardIcon(which, option, widget) if lines is None else _icon(lines)


def _icon(lines: list[tuple[int, int, int, int]]) -> QIcon:
    pixmap = QPixmap(QSize(_ICON_PX, _ICON_PX) * _SHARPNESS)
    pixmap.setDevicePixelRatio(_SHARPNESS)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(ICON_COLOUR), 1.6))
    for line in lines:
        painter.drawLine(*line)
    painter.end()
    return QIcon(pixmap)


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
