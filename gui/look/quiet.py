"""A text colour that steps back and can still be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor

if TYPE_CHECKING:
    from gui.look.palette import Palette


def quiet_text(palette: Palette) -> QColor:
    """Half way between what lies behind and the text: enough contrast for small letters."""
    behind, text = QColor(palette.ghost), QColor(palette.text)
    return QColor(
        (behind.red() + text.red()) // 2,
        (behind.green() + text.green()) // 2,
        (behind.blue() + text.blue()) // 2,
    )
