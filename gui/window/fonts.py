"""A system without fonts: the window brings its own."""

from __future__ import annotations

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFont, QFontDatabase, QFontMetrics
from PySide6.QtWidgets import QApplication

import linesim

_POINTS = 9


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
