"""Fields are seen and what stands in them can be read, in the light and in the dark."""

from __future__ import annotations

import itertools
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QStyle,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gui.look import (
    DARK,
    LIGHT,
    FigureLabel,
    PageTitle,
    Palette,
    PlainLabel,
    PrimaryButton,
    colours_in_use,
    qt_palette,
    set_icon,
    text_size,
    use_colours,
    use_text_size,
)
from gui.look.flat_style import FlatStyle
from gui.look.palette import ON_BOTH
from tests.gui.look.test_palette import contrast as contrast_of


@pytest.fixture(autouse=True)
def _light_afterwards(qapp: QApplication) -> Iterator[None]:
    before, font = colours_in_use(qapp), text_size(qapp)
    yield
    use_colours(qapp, before)
    use_text_size(qapp, font)


def contrast(one: QColor, other: QColor) -> float:
    return contrast_of(one.name(), other.name())


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_every_role_of_qt_has_a_colour_of_ours(look: Palette) -> None:
    """What is left out is the system's, and stays light when all turns dark."""
    palette, ours = qt_palette(look), set(_colours(look))
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive):
        for role in QPalette.ColorRole:
            if role not in (QPalette.ColorRole.NoRole, QPalette.ColorRole.NColorRoles):
                assert palette.isBrushSet(group, role), role
    for role in ("Window", "Base", "Button", "ToolTipBase"):
        assert palette.color(QPalette.ColorRole[role]).name() in ours
    for role in ("WindowText", "Text", "ButtonText", "ToolTipText", "PlaceholderText", "Link"):
        words = palette.color(QPalette.ColorRole[role])
        for ground in (QPalette.ColorRole.Base, QPalette.ColorRole.Window):
            assert contrast(words, palette.color(ground)) >= 4.5


def _colours(look: Palette) -> list[str]:
    return [each for each in vars(look).values() if isinstance(each, str)]


def test_colours_change_at_once_and_back(qtbot: QtBot, qapp: QApplication) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    button, words, primary = QPushButton(), PlainLabel("words"), PrimaryButton("Start")
    set_icon(button, "halt")
    column = QVBoxLayout(window)
    for part in (button, words, primary):
        column.addWidget(part)
    window.show()
    for colours, look in (("dark", DARK), ("light", LIGHT), ("dark", DARK)):
        use_colours(qapp, colours)
        QApplication.processEvents()
        image = window.grab().toImage()
        assert image.pixelColor(1, 1).name() == look.panel
        drawn = {
            primary.grab().toImage().pixelColor(x, primary.height() // 2).name()
            for x in range(4, 12)
        }
        assert drawn == {look.curve}
        icon = button.icon().pixmap(24, 24).toImage()
        places = itertools.product(range(icon.width()), range(icon.height()))
        darkest = max((icon.pixelColor(*at) for at in places), key=QColor.alpha)
        assert contrast(QColor(darkest.rgb()), QColor(look.text)) < 1.05


def test_letters_change_at_once(qtbot: QtBot, qapp: QApplication) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    labels = PlainLabel("text"), PageTitle("title"), FigureLabel("76.7")
    for label in labels:
        column.addWidget(label)
    window.show()
    found = []
    for size in ("normal", "much larger", "smaller"):
        use_text_size(qapp, size)
        QApplication.processEvents()
        found.append([label.font().pointSizeF() for label in labels])
        assert found[-1][0] < found[-1][1] < found[-1][2]
        assert labels[0].height() >= labels[0].fontMetrics().height()
    for normal, larger, smaller in zip(*found, strict=True):
        assert larger == pytest.approx(1.5 * normal)
        assert smaller == pytest.approx(0.9 * normal)
    assert qapp.font().featureValue(QFont.Tag("tnum")) == 1


@pytest.mark.parametrize("field", [QLineEdit, QSpinBox, QCheckBox])
def test_a_field_has_a_frame_in_the_dark(qtbot: QtBot, field: type[QWidget]) -> None:
    """WCAG 2.1, 1.4.11: a contrast of 3 shows where a control is."""
    palette = qt_palette(DARK)
    window = QWidget()
    qtbot.addWidget(window)
    window.setPalette(palette)
    shown = field()
    style = FlatStyle()
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
from gui.look import use_colours
from gui.look.flat_style import FlatStyle

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
    app.setStyle(FlatStyle() if time % 7 else "Fusion")
    use_colours(app, ("dark", "light")[time % 2])
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
    assert not {"polish", "unpolish", "eventFilter"} & set(vars(FlatStyle))


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_the_buttons_of_a_dock_are_seen(qapp: QApplication, look: Palette) -> None:
    icons = QStyle.StandardPixmap
    window = qt_palette(look).color(QPalette.ColorRole.Window)
    assert contrast(QColor(ON_BOTH), window) >= 3
    style = FlatStyle()
    for which in (icons.SP_TitleBarCloseButton, icons.SP_TitleBarNormalButton):
        image = style.standardIcon(which).pixmap(10, 10).toImage()
        drawn = [image.pixelColor(x, y) for x in range(10) for y in range(10)]
        solid = [each for each in drawn if each.alpha() > 200]
        assert len(solid) >= 6
        assert all(contrast(each, window) >= 2.8 for each in solid)


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_the_arrows_of_a_question_for_a_file_are_seen(qapp: QApplication, colours: str) -> None:
    icons = QStyle.StandardPixmap
    use_colours(qapp, colours)
    try:
        for which in (icons.SP_ArrowBack, icons.SP_ArrowForward, icons.SP_FileDialogToParent):
            image = FlatStyle().standardIcon(which).pixmap(24, 24).toImage()
            drawn = [image.pixelColor(x, y) for x in range(24) for y in range(24)]
            solid = [each for each in drawn if each.alpha() > 200]
            window = qapp.palette().color(QPalette.ColorRole.Window)
            assert len(solid) >= 12
            assert all(contrast(each, window) >= 4.5 for each in solid)
    finally:
        use_colours(qapp, "light")


def test_buttons_of_dialogs_have_no_icons_of_the_desktop(qapp: QApplication) -> None:
    style, icons = FlatStyle(), QStyle.StandardPixmap
    for which in (icons.SP_DialogOkButton, icons.SP_DialogCancelButton, icons.SP_DialogSaveButton):
        assert style.standardIcon(which).isNull()
    assert not style.standardIcon(icons.SP_FileDialogToParent).isNull()


def test_links_of_markup_follow_the_colours(qapp: QApplication, qtbot: QtBot) -> None:
    def made() -> PlainLabel:
        label = PlainLabel()
        label.setTextFormat(Qt.TextFormat.RichText)
        label.setText('<a href="there">what would help</a>')
        qtbot.addWidget(label)
        label.show()
        return label

    use_colours(qapp, "light")
    qapp.processEvents()
    before = made()
    use_colours(qapp, "dark")
    qapp.processEvents()
    assert before.grab().toImage() == made().grab().toImage()
