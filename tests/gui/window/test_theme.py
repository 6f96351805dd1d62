"""Fields are seen and what stands in them can be read, in the light and in the dark."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QLineEdit,
    QSpinBox,
    QStyle,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gui.look import DARK, LIGHT, Palette
from gui.window.framed_style import ICON_COLOUR, FramedStyle
from gui.window.theme import qt_palette


def luminance(colour: QColor) -> float:
    """Relative luminance as in WCAG 2.1."""
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: QColor, other: QColor) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("look", [LIGHT, DARK])
@pytest.mark.parametrize("role", ["WindowText", "Text", "ButtonText", "PlaceholderText"])
def test_words_have_the_contrast_that_small_letters_need(look: Palette, role: str) -> None:
    palette = qt_palette(look)
    words = palette.color(QPalette.ColorRole[role])
    for ground in (QPalette.ColorRole.Base, QPalette.ColorRole.Window):
        assert contrast(words, palette.color(ground)) >= 4.5


@pytest.mark.parametrize("field", [QLineEdit, QSpinBox, QCheckBox])
def test_a_field_has_a_frame_in_the_dark(qtbot: QtBot, field: type[QWidget]) -> None:
    """WCAG 2.1, 1.4.11: a contrast of 3 shows where a control is."""
    palette = qt_palette(DARK)
    window = QWidget()
    qtbot.addWidget(window)
    window.setPalette(palette)
    shown = field()
    style = FramedStyle()
    style.setParent(window)
    shown.setStyle(style)
    QVBoxLayout(window).addWidget(shown)
    window.resize(200, 60)
    window.show()
    window.setFocus()
    QApplication.processEvents()
    image = shown.grab().toImage()
    ground = palette.color(QPalette.ColorRole.Window)
    middle = image.height() // 2
    edge = max(contrast(image.pixelColor(x, middle), ground) for x in range(4))
    assert edge >= 3


_INSTALLS = """
import gc, sys
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QSpinBox, QVBoxLayout, QWidget
from gui.look import PlainLabel
from gui.window.framed_style import ICON_COLOUR, FramedStyle
from gui.window.theme import follow_system

app = QApplication(sys.argv[:1])
app.setQuitOnLastWindowClosed(False)
alive = []
for time in range(50):
    window = QWidget()
    column = QVBoxLayout(window)
    for kind in (PlainLabel, QSpinBox, QComboBox, QCheckBox):
        column.addWidget(kind())
    window.setVisible(time % 2 == 0)
    alive.append(window)
    app.setStyle(FramedStyle() if time % 7 else "Fusion")
    follow_system(app, ("dark", "light")[time % 2])
    for each in alive:
        each.grab()
    if time % 3 == 2:
        alive.pop(0).deleteLater()
    if time % 5 == 4:
        del alive[0], window
        gc.collect()
    app.processEvents()
print(time + 1, len(alive) > 10)
"""


def test_the_look_is_given_again_and_again_with_widgets_alive_and_gone() -> None:
    """In a program of its own: what goes wrong here ends it, and may do so only at its end."""
    top = Path(__file__).resolve().parents[3]
    ended = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", _INSTALLS],
        cwd=top,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stdout.split()) == (0, ["50", "True"]), ended.stderr


def test_the_style_has_no_hand_in_the_making_of_widgets() -> None:
    """Qt polishes every widget there is, those that are going, too; Python must not be asked."""
    assert not {"polish", "unpolish", "eventFilter"} & set(vars(FramedStyle))


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_the_buttons_of_a_dock_are_seen(qapp: QApplication, look: Palette) -> None:
    icons = QStyle.StandardPixmap
    window = qt_palette(look).color(QPalette.ColorRole.Window)
    assert contrast(QColor(ICON_COLOUR), window) >= 3
    style = FramedStyle()
    for which in (icons.SP_TitleBarCloseButton, icons.SP_TitleBarNormalButton):
        image = style.standardIcon(which).pixmap(10, 10).toImage()
        drawn = [image.pixelColor(x, y) for x in range(10) for y in range(10)]
        solid = [each for each in drawn if each.alpha() > 200]
        assert len(solid) >= 6
        assert all(contrast(each, window) >= 2.8 for each in solid)
