"""Pages in their groups: what stands around a page, and what the list says of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QByteArray, QSize
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QScrollArea, QSplitter
from pytestqt.qtbot import QtBot

import gui
import linesim
from gui.look import use_text_size
from gui.pages.progress_row import ProgressRow
from gui.window.main_window import MainWindow
from gui.window.page_list import GROUPS, PAGES
from gui.window.page_switcher import PageSwitcher
from gui.window.window_settings import WindowSettings

GUI = Path(gui.__file__).parent


def test_every_page_stands_in_one_group_and_has_an_icon() -> None:
    listed = [name for names in GROUPS.values() for name in names]
    assert listed == list(PAGES)
    assert listed[0] == "shift"
    icons = {file.stem for file in (GUI / "look/icons").glob("*.svg")}
    assert set(listed) <= icons
    sources = "".join(file.read_text("utf-8") for file in GUI.rglob("*.py"))
    assert all(f'"{name}"' in sources for name in icons - set(listed))
    tables = {group.name for group in linesim.scenario.field_groups()}
    assert {page.part for page in PAGES.values()} <= {*tables, ""}


def test_the_run_is_spoken_of_on_its_own_pages_only(window: MainWindow) -> None:
    for name, page in PAGES.items():
        window.pages.go_to(name)
        assert window.run_bar.isVisible() == page.of_the_run
    assert [name for name, page in PAGES.items() if page.of_the_run] == ["shift", "losses"]


def test_the_form_is_away_beside_lessons_and_there_again_unless_it_was_put_away(
    window: MainWindow,
) -> None:
    for there in (True, False):
        window.form_dock.setVisible(there)
        window.pages.go_to("lessons")
        assert window.form_dock.isHidden()
        window.pages.go_to("shift")
        assert window.form_dock.isHidden() is not there
    window.form_dock.show()


def test_the_form_gives_way_where_there_is_no_room_for_both_unless_somebody_opens_it(
    qtbot: QtBot, qapp: QApplication, window: MainWindow
) -> None:
    wide, narrow = window.size(), QSize(120 * window.fontMetrics().averageCharWidth(), 700)
    assert not window.form_dock.isHidden()
    assert window._form_button.isHidden()
    window.resize(narrow)
    assert window.form_dock.isHidden()
    assert not window._form_button.isHidden()
    window._form_button.click()
    window.resize(narrow + QSize(1, 1))
    window.pages.go_to("losses")
    assert not window.form_dock.isHidden()
    window.resize(wide)
    assert not window.form_dock.isHidden()
    window.resize(narrow)
    assert window.form_dock.isHidden()
    window.resize(wide)
    assert not window.form_dock.isHidden()
    # What it needed for large letters it does not keep for small ones.
    usual = window.form_dock.width()
    for size in (wide, narrow):
        use_text_size(qapp, "much larger")
        window.resize(size)
        qtbot.wait(20)
        use_text_size(qapp, "normal")
        window.resize(wide)
        qtbot.waitUntil(lambda: window.form_dock.isVisible())
        qtbot.waitUntil(lambda: window.form_dock.width() == usual)
    # Put away by hand in a wide window it does not come back by itself.
    window.form_dock.toggleViewAction().trigger()
    window.resize(narrow)
    window.resize(wide)
    assert window.form_dock.isHidden()
    window.form_dock.show()


def test_the_form_opens_what_a_page_is_about_unless_somebody_is_at_work_in_it(
    window: MainWindow,
) -> None:
    window.pages.list.setFocus()
    window.pages.go_to("rank-stops")
    assert window.form.page.group.name == "stop"
    window.pages.go_to("size-bridge")
    assert window.form.page.group.name == "bridge"
    window.form.search.setFocus()
    window.pages.go_to("rank-stops")
    assert window.form.page.group.name == "bridge"
    window.pages.list.setFocus()


def test_a_page_at_work_says_how_far_it_is_and_never_goes_back(window: MainWindow) -> None:
    window.pages.go_to("vary")
    row = window.pages.page("vary").findChild(ProgressRow)
    row.set_busy(True)
    said = []
    for part in (0.1, 0.4, 0.3, 0.5, -1.0):
        row.show_progress(part, "run 3")
        said.append(window.pages.list.progress_of("vary"))
    assert said == [0.1, 0.4, 0.4, 0.5, 0.5]
    wide = row.minimumSizeHint().width()
    row.show_progress(0.6, "44 of at least 500 runs, " * 20)
    assert row.minimumSizeHint().width() <= wide + row.fontMetrics().horizontalAdvance("x" * 12)
    row.show_status("Complete.")
    row.set_busy(False)
    assert window.pages.list.progress_of("vary") is None


def test_sizes_that_were_dragged_are_there_the_next_time(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kept: dict[str, QByteArray] = {}
    monkeypatch.setattr(WindowSettings, "get", lambda _, name: kept.get(name))
    monkeypatch.setattr(WindowSettings, "put", lambda _, name, value: kept.update({name: value}))

    switchers = []

    def lessons() -> QSplitter:
        switcher = PageSwitcher(window.pages._context)
        switchers.append(switcher)
        qtbot.addWidget(switcher)
        switcher.resize(1000, 600)
        switcher.show()
        switcher.go_to("lessons")
        return switcher.page("lessons").findChild(QSplitter)

    first = lessons()
    first.moveSplitter(333, 1)
    assert lessons().sizes()[0] == first.sizes()[0]


def test_a_stop_that_is_stepped_to_is_on_screen_and_looked_at_closely(window: MainWindow) -> None:
    window.resize(1024, 700)
    strip, canvas = window.pages.shift.strip, window.pages.shift.strip.canvas

    def seen() -> int:
        QApplication.processEvents()
        return strip.visibleRegion().boundingRect().height()

    area = window.pages.stack.currentWidget()
    assert isinstance(area, QScrollArea)
    QApplication.processEvents()
    area.verticalScrollBar().setValue(area.verticalScrollBar().maximum())
    assert seen() < strip.height() / 2
    whole = canvas.window_of_time
    window.shown.cursor_ns = 0
    window.pages.go_to("losses")
    keys = {each.shortcut().toString(): each for each in window.findChildren(QAction)}
    keys["F3"].trigger()
    assert window.pages.list.name == "shift"
    assert seen() == strip.height()
    assert window.shown.selected is not None
    assert canvas.window_of_time.length_ns < whole.length_ns
    assert window.pages.shift.below.currentWidget() is window.pages.shift.ripple
    keys["Ctrl+F3"].trigger()
    assert window.shown.selected is None
    assert canvas.window_of_time == whole
    window.resize(1280, 800)
