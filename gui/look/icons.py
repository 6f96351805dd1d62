"""Line icons of our own, in the colour of the words beside them.

Each is an SVG file on a grid of 24 with lines of 1.6; only its shape counts, the colour is the
palette's. ``set_icon`` remembers what has an icon, and ``recolour_icons`` draws them anew where
light has become dark.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from weakref import WeakKeyDictionary

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QAction, QColor, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtWidgets import QAbstractButton
from shiboken6 import isValid

_FOLDER = Path(__file__).parent / "icons"
_GRID = 24
_SHARPNESS = 2
_PROGRAM_PX = (32, 64, 128)
_Target = QAction | QAbstractButton
_dressed: WeakKeyDictionary[_Target, str] = WeakKeyDictionary()


def set_icon(target: _Target, name: str) -> None:
    """Give an action or a button an icon, which follows light and dark."""
    _dressed[target] = name
    target.setIcon(icon_of(name))


def recolour_icons() -> None:
    """Draw all icons in the colours of the application as they are now."""
    for target, name in list(_dressed.items()):
        if isValid(target):
            target.setIcon(icon_of(name))


def draw_icon(painter: QPainter, name: str, box: QRectF, colour: QColor) -> None:
    """Draw an icon into a square."""
    ratio = painter.device().devicePixelRatio()
    painter.drawPixmap(box.topLeft(), _pixmap(name, round(box.width()), ratio, colour.rgb()))


def program_icon() -> QIcon:
    """The icon of the program, for windows and task bars."""
    icon = QIcon()
    for size in _PROGRAM_PX:
        icon.addPixmap(_drawn("linesim", size, 1.0))
    return icon


def icon_of(name: str) -> QIcon:
    """An icon in the colours of the application as they are now."""
    palette = QGuiApplication.palette()
    icon = QIcon()
    for mode, group in (
        (QIcon.Mode.Normal, QPalette.ColorGroup.Active),
        (QIcon.Mode.Disabled, QPalette.ColorGroup.Disabled),
    ):
        colour = palette.color(group, QPalette.ColorRole.ButtonText)
        icon.addPixmap(_pixmap(name, _GRID, _SHARPNESS, colour.rgb()), mode)
    return icon


@cache
def _pixmap(name: str, size: int, ratio: float, colour: int) -> QPixmap:
    pixmap = _drawn(name, size, ratio)
    painter = QPainter(pixmap)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceIn)
    painter.fillRect(0, 0, size, size, QColor.fromRgb(colour))
    painter.end()
    return pixmap


def _drawn(name: str, size: int, ratio: float) -> QPixmap:
    from PySide6.QtSvg import QSvgRenderer

    pixmap = QPixmap(QSize(size, size) * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    QSvgRenderer(str(_FOLDER / f"{name}.svg")).render(painter, QRectF(0, 0, size, size))
    painter.end()
    return pixmap
