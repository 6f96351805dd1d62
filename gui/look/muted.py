"""A text colour that steps back and can still be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor

from gui.look.palette import mixed

if TYPE_CHECKING:
    from gui.look.palette import Palette


def muted_text(palette: Palette) -> QColor:
    """Half way between what lies behind and the text: enough contrast for small letters."""
    return QColor(mixed(palette.ghost, palette.text, 0.5))


def placeholder_text(palette: Palette) -> QColor:
    """Quieter still, for what stands where nothing has been typed; enough contrast to be read."""
    return QColor(mixed(palette.ghost, palette.text, 0.36))
