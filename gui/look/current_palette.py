"""Which palette a widget is shown in: light or dark, as the system has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gui.look.palette import DARK, LIGHT, Palette

if TYPE_CHECKING:
    from PySide6.QtGui import QPalette
    from PySide6.QtWidgets import QWidget


def palette_of(widget: QWidget) -> Palette:
    """Light or dark, by the widget's own window colour; ask again when its palette changes."""
    return look_of(widget.palette())


def look_of(palette: QPalette) -> Palette:
    """The colours of our own that go with Qt's."""
    ground = palette.color(palette.ColorRole.Window)
    return DARK if ground.lightness() < 128 else LIGHT
