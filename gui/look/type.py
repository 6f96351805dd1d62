"""Letters: three sizes from one base, and digits as wide as one another.

The base is the system's own, times what the View menu says. A label takes its size from its class:
Qt gives each class of widgets a font, and gives all of them another when the base changes.
"""

from __future__ import annotations

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QFontMetrics
from PySide6.QtWidgets import QApplication, QWidget

import linesim

_POINTS = 9
_BASE, _CHOSEN = "base font", "text size"
_BOLD, _PLAIN = QFont.Weight.DemiBold, QFont.Weight.Normal
_SIZES = {
    "PageTitle": (1.6, _BOLD),
    "FigureLabel": (1.9, _PLAIN),
    # To be read from some metres away.
    "WallFigure": (4.5, _BOLD),
    "WallText": (2.0, _PLAIN),
}
"""How many times as large as text, and how heavy, by the class of the label. A figure is what is
looked for on a page, more than its title."""
TEXT_SIZES = {"normal": 1.0, "smaller": 0.9, "larger": 1.25, "much larger": 1.5, "for a wall": 2.0}
"""What the View menu offers: how many times as large as the system's."""
_MOST_LETTERS = 180
"""In a longer line the eye loses the beginning of the next."""
_LEAST_ON_WALL, _LINES_ON_WALL = 1.5, 44
"""On a wall two metres high a line is then 45 mm: letters of 25 mm can be read from some 6 m."""


def ensure_usable_font(app: QApplication) -> bool:
    """Give the application the embedded fonts where the system's has no letters; True if so.

    Without it every letter would be an empty box.
    """
    if QFontMetrics(app.font()).inFont("a"):
        return False
    families = []
    for data in linesim.report.embedded_fonts():
        number = QFontDatabase.addApplicationFontFromData(QByteArray(data))
        families += QFontDatabase.applicationFontFamilies(number)
    if families:
        app.setFont(QFont(families[0], _POINTS))
    return bool(families)


def use_text_size(app: QApplication, size: str = "normal") -> None:
    """Give all letters this size, a name of ``TEXT_SIZES``; those on screen change at once."""
    base = app.property(_BASE)
    if base is None:
        base = QFont(app.font())
        # Columns of figures stand still while they change.
        base.setFeature(QFont.Tag("tnum"), 1)
        app.setProperty(_BASE, base)
    app.setProperty(_CHOSEN, size)
    font = QFont(base)
    font.setPointSizeF(base.pointSizeF() * TEXT_SIZES[size])
    app.setFont(font)
    for kind, (times, weight) in _SIZES.items():
        own = QFont(font)
        own.setPointSizeF(font.pointSizeF() * times)
        own.setWeight(weight)
        app.setFont(own, kind)


def wall_size(app: QApplication, high_px: int) -> str:
    """The size in which a screen so high has few enough lines to be read from across a room."""
    large = [each for each, times in TEXT_SIZES.items() if times >= _LEAST_ON_WALL]
    use = text_size(app)
    normal_px = QFontInfo(app.font()).pixelSize() / TEXT_SIZES[use]
    fitting = [each for each in large if high_px >= _LINES_ON_WALL * normal_px * TEXT_SIZES[each]]
    return max(fitting or large[:1], key=TEXT_SIZES.__getitem__)


def line_px(widget: QWidget) -> int:
    """The longest line of text that is still read with ease, in the letters of the widget."""
    return _MOST_LETTERS * widget.fontMetrics().averageCharWidth()


def fixed_font() -> QFont:
    """Letters as wide as one another, for columns: as large as all others are now."""
    font = QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)
    font.setPointSizeF(QApplication.font().pointSizeF())
    return font


def text_size(app: QApplication) -> str:
    """The size in use, a name of ``TEXT_SIZES``."""
    return str(app.property(_CHOSEN) or "normal")
