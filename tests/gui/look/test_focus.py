"""What has the keyboard is seen to have it, whatever it is, in the light and in the dark."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListWidget,
    QPushButton,
    QSpinBox,
    QTabBar,
    QTableWidget,
    QTextBrowser,
    QToolButton,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

import linesim
from gui.charts import ChartWidget
from gui.look import PlainLabel, PrimaryButton, colours_in_use, use_colours
from gui.plan import PlanView
from gui.shift import ShownShift
from gui.strip.canvas import StripCanvas
from gui.window.page_index import PageIndex
from tests.gui.look.test_palette import contrast

LEAST, FEWEST = 3.0, 24
"""The contrast that WCAG 2.1 asks for (1.4.11), and how many points of it are seen as a mark."""


def _tabs() -> QWidget:
    tabs = QTabBar()
    tabs.addTab("Fields")
    return tabs


def _link() -> QWidget:
    label = PlainLabel()
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setText('Shorter by <a href="there">what would help</a>')
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextBrowserInteraction)
    return label


def _pages() -> QWidget:
    pages = PageIndex()
    pages.setCurrentRow(1)
    return pages


KINDS: dict[str, Callable[[ShownShift], QWidget]] = {
    "box": lambda _: QCheckBox("Box"),
    "button": lambda _: QPushButton("Press"),
    "button with an icon": lambda _: QToolButton(text="Play", focusPolicy=Qt.FocusPolicy.TabFocus),
    "chart": lambda _: ChartWidget(),
    "choice": lambda _: QComboBox(),
    "drawing of the line": PlanView,
    "field": lambda _: QLineEdit(),
    "link": lambda _: _link(),
    "list": lambda _: QListWidget(),
    "list of pages": lambda _: _pages(),
    "number": lambda _: QSpinBox(),
    "primary button": lambda _: PrimaryButton("Start"),
    "strip": StripCanvas,
    "table": lambda _: QTableWidget(3, 2),
    "tabs": lambda _: _tabs(),
    "text": lambda _: QTextBrowser(),
}


@pytest.fixture(scope="module")
def shown() -> ShownShift:
    model = ShownShift()
    line = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    model.show(linesim.fast.simulate(line, hours=0.2))
    return model


@pytest.fixture(autouse=True)
def _colours_as_before(qapp: QApplication) -> Iterator[None]:
    before = colours_in_use(qapp)
    yield
    use_colours(qapp, before)


@pytest.mark.parametrize("colours", ["light", "dark"])
@pytest.mark.parametrize("kind", list(KINDS))
def test_the_focus_is_seen(
    qtbot: QtBot, qapp: QApplication, shown: ShownShift, kind: str, colours: str
) -> None:
    use_colours(qapp, colours)
    window, before, tried = QWidget(), QLineEdit(), KINDS[kind](shown)
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    for part in (before, tried):
        column.addWidget(part)
    if isinstance(tried, StripCanvas):
        tried.show_run()
    window.resize(600, 400)
    window.show()
    window.activateWindow()
    before.setFocus()
    QApplication.processEvents()
    without = tried.grab().toImage()
    qtbot.keyClick(before, Qt.Key.Key_Tab)
    QApplication.processEvents()
    assert tried.hasFocus()
    assert marked(without, tried.grab().toImage()) >= FEWEST


def marked(one: QImage, other: QImage) -> int:
    """The points that differ by so much."""
    places = itertools.product(range(one.width()), range(one.height()))
    pairs = Counter((one.pixel(*at), other.pixel(*at)) for at in places)
    return sum(
        times
        for (a, b), times in pairs.items()
        if a != b and contrast(QColor(a).name(), QColor(b).name()) >= LEAST
    )
