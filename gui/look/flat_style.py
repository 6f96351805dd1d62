"""Fusion made flat: controls are light areas with one line around them, the focus is a ring.

Fusion frames fields in a darker shade of the window, which cannot be told from a dark window;
WCAG 2.1 (1.4.11) asks for a contrast of 3 for what shows where a control is.
"""

from __future__ import annotations

import re

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QGuiApplication, QIcon, QPainter, QPalette, QPen, QPixmap
from PySide6.QtWidgets import (
    QProxyStyle,
    QStyle,
    QStyleOption,
    QStyleOptionButton,
    QStyleOptionComboBox,
    QStyleOptionComplex,
    QStyleOptionSpinBox,
    QWidget,
)

from gui.look.current_palette import look_of
from gui.look.focus_ring import RING, ROUND, draw_ring
from gui.look.icons import icon_of
from gui.look.palette import ON_BOTH

_THIN = 1.4
"""Of the ring around a part of what has the focus: a tab, a cell, the words beside a box, px."""
_IN_TAB = 3
"""How far its ring lies in a tab, px."""
_ICON_PX, _SIGN_PX, _SHARPNESS = 10, 32, 3
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
_OF_FILES = {
    QStyle.StandardPixmap.SP_ArrowBack: "back",
    QStyle.StandardPixmap.SP_ArrowForward: "forward",
    QStyle.StandardPixmap.SP_FileDialogToParent: "up",
}
_OF_DIALOGS = {
    icon for icon in QStyle.StandardPixmap if re.fullmatch(r"SP_Dialog\w+Button", icon.name)
}
_SIGNS = {
    QStyle.StandardPixmap.SP_MessageBoxQuestion: ("?", False),
    QStyle.StandardPixmap.SP_MessageBoxInformation: ("i", False),
    QStyle.StandardPixmap.SP_MessageBoxWarning: ("!", True),
    QStyle.StandardPixmap.SP_MessageBoxCritical: ("!", True),
}
"""The letter of a sign, and whether something is wrong."""
_FIELDS = (
    QStyle.PrimitiveElement.PE_FrameLineEdit,
    QStyle.PrimitiveElement.PE_IndicatorCheckBox,
)
_Role, _Flag = QPalette.ColorRole, QStyle.StateFlag


class FlatStyle(QProxyStyle):
    """Fusion, with buttons and choices drawn flat and a line around every field and box."""

    def __init__(self) -> None:
        super().__init__("Fusion")

    def drawPrimitive(
        self,
        element: QStyle.PrimitiveElement,
        option: QStyleOption,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """Buttons and the focus are ours; fields are Fusion's, and the line lies over its own."""
        if element == QStyle.PrimitiveElement.PE_PanelButtonCommand:
            fill = _fill_of_default(option)
            draw_area(painter, option, fill)
            if fill is not None and option.state & _Flag.State_HasFocus:
                draw_inner_ring(painter, option.rect, option.palette.color(_Role.HighlightedText))
            return
        if element == QStyle.PrimitiveElement.PE_FrameFocusRect:
            if option.state & _Flag.State_KeyboardFocusChange:
                chosen = option.state & _Flag.State_Selected
                role = _Role.HighlightedText if chosen else _Role.Highlight
                draw_ring(painter, QRectF(option.rect), option.palette.color(role), _THIN)
            return
        super().drawPrimitive(element, option, painter, widget)
        if element in _FIELDS:
            _frame(option, painter)
        elif element == QStyle.PrimitiveElement.PE_Frame and option.state & _Flag.State_HasFocus:
            draw_ring(painter, QRectF(option.rect), option.palette.color(_Role.Highlight))

    def drawControl(
        self,
        element: QStyle.ControlElement,
        option: QStyleOption,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """Words on the filled button of a dialog are as on any fill; the ring in a tab is seen."""
        if element == QStyle.ControlElement.CE_PushButtonLabel and _fill_of_default(option):
            palette = QPalette(option.palette)
            palette.setColor(_Role.ButtonText, palette.color(_Role.HighlightedText))
            option.palette = palette
        super().drawControl(element, option, painter, widget)
        by_keys = _Flag.State_HasFocus | _Flag.State_KeyboardFocusChange
        if element == QStyle.ControlElement.CE_TabBarTabLabel and option.state & by_keys == by_keys:
            area = QRectF(option.rect).adjusted(_IN_TAB, _IN_TAB, -_IN_TAB, -_IN_TAB)
            draw_ring(painter, area, option.palette.color(_Role.Highlight), _THIN)

    def drawComplexControl(
        self,
        control: QStyle.ComplexControl,
        option: QStyleOptionComplex,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """A choice is a button with an angle; what can be typed into has both, and the line."""
        which = QStyle.ComplexControl
        if control == which.CC_ComboBox:
            assert isinstance(option, QStyleOptionComboBox)
            if not option.editable and option.frame:
                draw_area(painter, option)
                _angle(painter, option)
                return
            option.subControls &= ~QStyle.SubControl.SC_ComboBoxArrow
        super().drawComplexControl(control, option, painter, widget)
        framed = not isinstance(option, QStyleOptionSpinBox) or option.frame
        if framed and control in (which.CC_SpinBox, which.CC_ComboBox):
            _frame(option, painter)
        if control == which.CC_ComboBox:
            _angle(painter, option)

    def standardIcon(
        self,
        which: QStyle.StandardPixmap,
        option: QStyleOption | None = None,
        widget: QWidget | None = None,
    ) -> QIcon:
        """Fusion's own for docks and questions for files are dark in the dark, too.

        On buttons of dialogs the desktop's are in colours that mean something else here.
        """
        if which in _OF_DIALOGS:
            return QIcon()
        if which in _SIGNS:
            return _sign(which)
        if which in _OF_FILES:
            return icon_of(_OF_FILES[which])
        lines = _DOCK_ICONS.get(which)
        return super().standardIcon(which, option, widget) if lines is None else _icon(lines)


def draw_area(painter: QPainter, option: QStyleOption, fill: QColor | None = None) -> None:
    """The area of a button: filled as said, else as its state wants it."""
    palette: QPalette = option.palette
    state: QStyle.StateFlag = option.state
    usable = bool(state & _Flag.State_Enabled)
    if fill is None:
        down = state & (_Flag.State_Sunken | _Flag.State_On)
        over = usable and state & _Flag.State_MouseOver
        fill = palette.color(_Role.Midlight if down or over else _Role.Button)
    _outline(painter, option, fill)


def draw_inner_ring(painter: QPainter, area: QRect, colour: QColor) -> None:
    """The ring of the focus where a fill would hide the one around it."""
    draw_ring(painter, QRectF(area).adjusted(3, 3, -3, -3), colour, RING / 2)


def _fill_of_default(option: QStyleOption) -> QColor | None:
    """The button of a dialog that Return presses is filled, as the one of a page is."""
    default = QStyleOptionButton.ButtonFeature.DefaultButton
    if not isinstance(option, QStyleOptionButton) or not option.features & default:
        return None
    return option.palette.color(_Role.Highlight) if option.state & _Flag.State_Enabled else None


def _frame(option: QStyleOption, painter: QPainter) -> None:
    _outline(painter, option, None)


def _outline(painter: QPainter, option: QStyleOption, fill: QColor | None) -> None:
    """A line around a control, a ring where the focus is."""
    palette: QPalette = option.palette
    state: QStyle.StateFlag = option.state
    usable = bool(state & _Flag.State_Enabled)
    focus = usable and bool(state & _Flag.State_HasFocus)
    line = palette.color(_Role.Highlight if focus else _Role.Dark if usable else _Role.Mid)
    width = RING if focus else 1.0
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(line, width))
    painter.setBrush(Qt.BrushStyle.NoBrush if fill is None else fill)
    inner = width / 2
    painter.drawRoundedRect(
        QRectF(option.rect).adjusted(inner, inner, -inner, -inner), ROUND, ROUND
    )
    painter.restore()


def _angle(painter: QPainter, option: QStyleOption) -> None:
    """The angle of a choice, at its end."""
    area = QRectF(option.rect)
    mirrored = option.direction == Qt.LayoutDirection.RightToLeft
    middle = QPointF(area.left() + 12 if mirrored else area.right() - 12, area.center().y())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(option.palette.color(_Role.ButtonText), 1.4))
    low, side = QPointF(0, 2), QPointF(4, -2)
    painter.drawPolyline([middle - QPointF(4, 2), middle + low, middle + side])
    painter.restore()


def _sign(which: QStyle.StandardPixmap) -> QIcon:
    """What stands beside a message: a sign in a ring, or in a triangle where something is wrong."""
    letter, wrong = _SIGNS[which]
    pixmap = QPixmap(QSize(_SIGN_PX, _SIGN_PX) * _SHARPNESS)
    pixmap.setDevicePixelRatio(_SHARPNESS)
    pixmap.fill(Qt.GlobalColor.transparent)
    look = look_of(QGuiApplication.palette())
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = QColor(look.trouble if wrong else look.curve)
    painter.setPen(QPen(colour, RING))
    area = QRectF(2, 2, _SIGN_PX - 4, _SIGN_PX - 4)
    if wrong:
        painter.drawPolygon([QPointF(_SIGN_PX / 2, 3), area.bottomRight(), area.bottomLeft()])
        area.translate(0, 4)
    else:
        painter.drawEllipse(area)
    font = painter.font()
    font.setPixelSize(_SIGN_PX // 2)
    font.setBold(True)
    painter.setFont(font)
    painter.drawText(area, Qt.AlignmentFlag.AlignCenter, letter)
    painter.end()
    return QIcon(pixmap)


def _icon(lines: list[tuple[int, int, int, int]]) -> QIcon:
    pixmap = QPixmap(QSize(_ICON_PX, _ICON_PX) * _SHARPNESS)
    pixmap.setDevicePixelRatio(_SHARPNESS)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(ON_BOTH), 1.6))
    for line in lines:
        painter.drawLine(*line)
    painter.end()
    return QIcon(pixmap)
