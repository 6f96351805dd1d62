"""Light, dark, or as the system has it: every colour of Qt's comes from the table of our own.

No style sheet: colours are the application's palette, shapes are drawn by ``FlatStyle``. All roles
are set, in every group: one that is left out is the system's, and stays light when all turns dark.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from gui.look.flat_style import FlatStyle
from gui.look.icons import recolour_icons
from gui.look.palette import DARK, LIGHT, Palette, mixed

COLOURS = ("system", "light", "dark")
_CHOSEN = "colours"


def use_colours(app: QApplication, colours: str = "system") -> None:
    """Give the application its colours; of the system, now and whenever the system's change.

    Widgets have them with the next turn of the event loop: Qt hands a palette on by an event.
    """
    # A style of our own is given before there are widgets, or not at all: taking the place of
    # one that widgets still draw with has ended the program.
    first = app.property(_CHOSEN) is None
    if first:
        app.setStyle("Fusion" if QApplication.allWidgets() else FlatStyle())
        app.styleHints().colorSchemeChanged.connect(lambda _: _give(app))
    app.setProperty(_CHOSEN, colours)
    _give(app)


def colours_in_use(app: QApplication) -> str:
    """What was chosen, one of ``COLOURS``."""
    return str(app.property(_CHOSEN) or "system")


def _give(app: QApplication) -> None:
    chosen = colours_in_use(app)
    system = app.styleHints().colorScheme() == Qt.ColorScheme.Dark
    dark = system if chosen == "system" else chosen == "dark"
    app.setPalette(qt_palette(DARK if dark else LIGHT))
    recolour_icons()


def qt_palette(look: Palette) -> QPalette:
    """Qt's colours from ours."""
    role = QPalette.ColorRole
    roles = {
        role.Window: look.panel,
        role.Base: look.ground,
        role.AlternateBase: mixed(look.ground, look.panel, 0.6),
        role.Button: look.ground,
        role.ToolTipBase: look.ground,
        role.WindowText: look.text,
        role.Text: look.text,
        role.ButtonText: look.text,
        role.ToolTipText: look.text,
        role.BrightText: look.trouble,
        role.PlaceholderText: look.faint,
        role.Light: mixed(look.panel, look.ground, 0.5),
        role.Midlight: look.tint,
        role.Mid: look.grid,
        role.Dark: look.edge,
        role.Shadow: look.edge,
        role.Highlight: look.curve,
        role.Accent: look.curve,
        role.HighlightedText: look.on_curve,
        role.Link: look.curve,
        role.LinkVisited: look.curve,
    }
    palette = QPalette()
    group = QPalette.ColorGroup
    for each, colour in roles.items():
        for state in (group.Active, group.Inactive, group.Disabled):
            palette.setColor(state, each, QColor(colour))
    for each in (role.Text, role.WindowText, role.ButtonText):
        palette.setColor(group.Disabled, each, QColor(look.ghost))
    palette.setColor(group.Disabled, role.Highlight, QColor(look.grid))
    palette.setColor(group.Disabled, role.HighlightedText, QColor(look.text))
    return palette
