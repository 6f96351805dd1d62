"""The window on small screens: nothing in it keeps it from being as small as is asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QGuiApplication, QScreen
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.look import KEPT, TEXT_SIZES, FlowRow, use_text_size
from gui.window import main_window
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES

RUN_MS = 90_000
NARROW, LOW = 800, 450


def test_no_page_needs_more_than_a_small_screen(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    window._show_engine("words " * 100)
    dialogs.WRITTEN.told.emit(Path("long-name-" * 20))
    for name in PAGES:
        window.pages.go_to(name)
        QApplication.processEvents()
        least = window.minimumSizeHint()
        assert least.width() <= NARROW, name
        assert least.height() <= LOW, name
    window._show_engine("")
    window.pages.go_to("shift")


def test_the_largest_letters_go_into_a_small_screen(qapp: QApplication, window: MainWindow) -> None:
    use_text_size(qapp, list(TEXT_SIZES)[-1])
    QApplication.processEvents()
    least = window.minimumSizeHint()
    use_text_size(qapp)
    assert least.width() <= 1024
    assert least.height() <= 700


@pytest.mark.parametrize("asked", [QSize(1280, 800), QSize(1024, 600), QSize(960, 500)])
def test_the_window_has_the_size_that_is_asked(
    qtbot: QtBot, window: MainWindow, asked: QSize
) -> None:
    """Two wrappers have one lane more, and a longer list of figures in more places."""
    before = window.shown.record
    window.resize(asked)
    window.workspace.open(linesim.scenario.find_scenario("two-wrappers"))
    qtbot.waitUntil(lambda: window.shown.record is not before and window.ready, timeout=RUN_MS)
    record = window.shown.record
    assert record is not None
    stop = linesim.scenario.ForcedStop(
        station=record.stations[-2], at_h=1, minutes=6, cause="trial"
    )
    window.runs.force((stop,))
    qtbot.waitUntil(lambda: window.shown.disturbance is not None, timeout=RUN_MS)
    QApplication.processEvents()
    assert window.size() == asked
    # The good reams stay in view beside the words about the stop.
    canvas, page = window.pages.shift.strip.canvas, window.pages.stack
    bottom = canvas.mapTo(page, canvas.rect().bottomLeft()).y()
    if asked.height() >= 800:
        assert bottom <= page.height()
    assert canvas.height() >= canvas.minimumHeight()
    window.runs.take_out()
    window.resize(1280, 800)


def test_the_first_size_fits_the_screen(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QGuiApplication, "platformName", lambda: "xcb")
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(960, 540))
    size = window._first_size()
    assert size.width() < 960
    assert size.height() < 540
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(2560, 1440))
    assert window._first_size() == main_window._SIZE


def test_a_window_pulled_about_goes_back_to_its_standard_sizes(window: MainWindow) -> None:
    KEPT.to_standard()
    QApplication.processEvents()
    before = (window.size(), window.form_dock.width())
    window.form_dock.setFloating(True)
    window.form_dock.hide()
    window.resize(1000, 700)
    KEPT.to_standard()
    QApplication.processEvents()
    assert (window.size(), window.form_dock.width()) == before
    assert not window.form_dock.isFloating()
    window.resize(1280, 800)


def test_a_row_goes_on_in_the_next_line(qtbot: QtBot) -> None:
    around = QWidget()
    qtbot.addWidget(around)
    row = FlowRow(6, around)
    parts = [QLabel("x" * 20) for _ in range(4)]
    for part in parts:
        row.add(part)
    around.show()
    one = row.sizeHint()
    row.resize(one)
    assert {part.y() for part in parts} == {0}
    row.resize(one.width() // 2 + 6, one.height())
    assert [part.x() for part in parts[:2]] == [part.x() for part in parts[2:]]
    assert parts[2].y() > 0
    assert row.height() >= 2 * one.height()
    assert row.minimumSizeHint().width() < one.width() // 2
    parts[0].hide()
    qtbot.waitUntil(lambda: parts[1].x() == 0, timeout=20_000)
    assert not parts[0].isVisible()
