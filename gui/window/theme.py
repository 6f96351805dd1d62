"""Light or dark, as the system has it, in the colours of ``gui.look``."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from gui.look import DARK, LIGHT, Palette
from gui.look.muted import placeholder_text
from gui.window.framed_style import FramedStyle

_SCHEMES = {
    "light": Qt.ColorScheme.Light,
    "dark": Qt.ColorScheme.Dark,
    "system": Qt.ColorScheme.Unknown,
}


def follow_system(app: QApplication, colours: str = "system") -> None:
    """Give the application its colours, now and whenever the system's change."""
    # A style of our own is given before there are widgets, or not at all: taking the place of
    # one that widgets still draw with has ended the program.
    if not app.property("framed"):
        fresh = not QApplication.allWidgets()
        app.setStyle(FramedStyle() if fresh else "Fusion")
        app.setProperty("framed", fresh)
    hints = app.styleHints()
    # Without it the offscreen platform knows no scheme and keeps light.
    if colours != "system":
        hints.setColorScheme(_SCHEMES[colours])
    dark = colours == "dark" or (colours == "system" and hints.colorScheme() == Qt.ColorScheme.Dark)
    app.setPalette(qt_palette(DARK if dark else LIGHT))
    if colours == "system" and not app.property("follows system"):
        app.setProperty("follows system", True)
        hints.colorSchemeChanged.connect(
            lambda scheme: app.setPalette(
                qt_palette(DARK if scheme == Qt.ColorScheme.Dark else LIGHT)
            )
        )


def qt_palette(look: Palette) -> QPalette:
    """Qt's colours from ours: grey, with one quiet colour for what is chosen."""
    ground, text = QColor(look.ground), QColor(look.text)
    grid, ghost, curve = QColor(look.grid), QColor(look.ghost), QColor(look.curve)
    dark = ground.lightnessF() < 0.5
    panel = ground.lighter(125) if dark else ground.darker(104)
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: panel,
        QPalette.ColorRole.Base: ground,
        QPalette.ColorRole.AlternateBase: panel,
        QPalette.ColorRole.Button: panel,
        QPalette.ColorRole.ToolTipBase: ground,
        QPalette.ColorRole.WindowText: text,
        QPalette.ColorRole.Text: text,
        QPalette.ColorRole.ButtonText: text,
        QPalette.ColorRole.ToolTipText: text,
        QPalette.ColorRole.PlaceholderText: placeholder_text(look),
        QPalette.ColorRole.Mid: grid,
        QPalette.ColorRole.Highlight: curve,
        QPalette.ColorRole.HighlightedText: ground,
        QPalette.ColorRole.Link: curve,
    }
    for role, colour in roles.items():
        palette.setColor(role, colour)
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.WindowText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, ghost)
    palette.setColor(QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText, ghost)
    return palette
