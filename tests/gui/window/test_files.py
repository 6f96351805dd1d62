"""What the menu File asks, and what stays when a file cannot be used."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QMenu, QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.document import Recoverable
from gui.window import files
from gui.window.main_window import MainWindow
from gui.window.task_status import TaskStatus
from gui.window.text_window import TextWindow
from gui.workers import Task

RUN_MS = 90_000


class Asked:
    """Stands for the user: notes each question and takes the way given."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, way: str) -> None:
        self.words: list[str] = []
        self.ways: list[tuple[str, ...]] = []
        self.defaults: list[str] = []
        self.way = way
        monkeypatch.setattr(dialogs, "choose", self)

    def __call__(
        self, _: object, __: str, words: str, *ways: str, default: str, escape: str
    ) -> str:
        self.words.append(words)
        self.ways.append(ways)
        self.defaults.append(default)
        assert default in ways
        assert escape in ways
        return self.way


def test_a_file_with_faults_takes_the_run_of_the_one_before_off_the_screen(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    assert window.shown.figures is not None
    broken = tmp_path / "broken.toml"
    broken.write_text("[bridge]\nplaces = -3\n", encoding="utf-8")
    assert window.workspace.open(broken)
    assert (window.shown.record, window.shown.figures, window.shown.busy) == (None, None, False)
    assert "broken" in window.windowTitle()
    assert {cell.value.text() for cell in window.pages.shift.headline.cells} == {"–"}
    assert not window.pages.shift.strip.canvas.rows
    assert "no run is shown until" in window._invented.text()
    assert not window.grab().isNull()
    qtbot.wait(100)
    assert window.shown.record is None
    window.document.set_fields({"bridge.places": 30, "line.shift_hours": 0.2}, "mended")
    qtbot.waitUntil(lambda: window.shown.record is not None, timeout=RUN_MS)


def test_looking_for_a_file_and_taking_none_changes_nothing(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, forced = window.shown.record, window.runs._on_screen
    monkeypatch.setattr(window.files, "ask_open", lambda: None)
    window.workspace.ask_open()
    assert window.shown.record is before
    assert window.runs._on_screen is forced


def test_a_file_that_is_asked_for_is_run_for_its_own_shift(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other.toml"
    other.write_text("[line]\nshift_hours = 0.2\n", encoding="utf-8")
    monkeypatch.setattr(window.files, "ask_open", lambda: other)
    window.workspace.ask_open()
    assert window.run_bar.hours.value() == 0.2
    qtbot.waitUntil(
        lambda: window.shown.record is not None and window.shown.record.hours == 0.2,
        timeout=RUN_MS,
    )


def test_saving_over_what_another_program_wrote_is_never_what_return_takes(
    window: MainWindow, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.document.set_field("bridge.places", 44)
    path.write_text("[line]\nname = 'theirs'\n", encoding="utf-8")
    asked = Asked(monkeypatch, "Cancel")
    assert not window.files.save()
    assert asked.defaults == ["Cancel"]
    assert "theirs" in path.read_text(encoding="utf-8")
    asked.way = "Save over it"
    assert window.files.save()
    assert "places = 44" in path.read_text(encoding="utf-8")


def test_a_new_line_begins_from_a_demo_and_does_not_say_that_it_is_invented(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: list[list[str]] = []

    def item(*asked: object, way: str) -> str:
        offered.append(list(asked[3]))  # type: ignore[call-overload]
        return way

    for way in (files.SMALLEST, "the demo line slow-wrapper"):
        monkeypatch.setattr(dialogs, "ask_one_of", lambda *asked, way=way: item(*asked, way=way))
        window.form.show_field("stop[0].cause")
        window.workspace.ask_new()
        assert window.form.page.group.name == "line"
        scenario = window.document.scenario
        assert scenario is not None
        assert not scenario.line.invented
        assert window.document.path is None
        assert window.document.name == "new-line"
    assert len(offered[0]) == 1 + len(linesim.scenario.shipped_scenarios())
    assert "slow-wrapper" in scenario.line.note
    assert "Invented" not in window.document.text
    assert scenario.wrapper == linesim.load("slow-wrapper").wrapper
    monkeypatch.setattr(dialogs, "ask_one_of", lambda *_: None)
    window.document.set_field("crew.size", 3)
    window.workspace.ask_new()
    assert window.document.dirty


def test_saving_under_another_name_begins_beside_the_file_that_is_open(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *said: (asked.append(said[2]), ("", ""))[1]
    )
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    window.files.ask_save()
    window.document.new(name="new-line")
    window.files.ask_save()
    window.exports.ask_picture()
    names = [path.name, "my-new-line.toml", "new-line-shift.png"]
    assert asked == [str(path.parent / name) for name in names]


def test_files_opened_last_that_are_gone_are_grey_and_can_be_forgotten(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = QSettings(str(tmp_path / "kept.ini"), QSettings.Format.IniFormat)
    monkeypatch.setattr(window.settings, "_settings", kept)
    gone = tmp_path / "gone.toml"
    for file in (gone, path):
        window.settings.opened(file)

    def entries() -> dict[str, QAction]:
        (menu,) = (each for each in window.findChildren(QMenu) if each.title() == "Open &recent")
        menu.parent().aboutToShow.emit()
        return {action.text(): action for action in menu.actions() if action.text()}

    found = entries()
    assert list(found)[:2] == [str(path), f"{gone} (not there)"]
    assert [action.isEnabled() for action in found.values()] == [True, False, True, True]
    found["&Forget those not there"].trigger()
    assert list(entries()) == [str(path), "Forget &all"]
    # A long one does not make a menu wider than the screen; the tip has it whole.
    window.settings.opened(tmp_path / ("long" * 50 + ".toml"))
    shown, longest = next(iter(entries().items()))
    assert len(shown) < 130
    assert "long.toml" in shown
    assert "long" * 50 in longest.toolTip()
    entries()["Forget &all"].trigger()
    assert window.settings.recent() == []


def test_unsaved_work_is_offered_in_local_time(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = datetime(2026, 3, 1, 23, 30, tzinfo=UTC)
    before, after = (f"format = 1\n[bridge]\nplaces = {places}\n" for places in (7, 9))
    work = Recoverable(tmp_path / "x.json", "mine", None, after, written, before)
    work.file.write_text("{}", encoding="utf-8")
    monkeypatch.setattr(files, "recoverable", lambda: (work,))
    asked = Asked(monkeypatch, "Ask again at the next start")
    assert not window.files.offer_recovered()
    assert work.file.exists()
    local = written.astimezone()
    assert f" {local.day} {local:%B %Y, %H:%M}" in asked.words[0]
    assert "UTC" not in asked.words[0]
    looked: list[str] = []

    def look(shown: TextWindow) -> None:
        looked.append(shown.text.toPlainText())
        asked.way = "Discard it"

    monkeypatch.setattr(TextWindow, "exec", look)
    asked.way = files.LOOK
    assert not window.files.offer_recovered()
    assert not work.file.exists()
    assert "-format = 1" not in looked[0]
    assert "+crew" not in looked[0]
    assert "+places = 9" in looked[0]
    assert "-places = 7" in looked[0]
    assert "From line 1 on:" in looked[0]
    assert "@@" not in looked[0]
    assert "1 line came in and 1 went" in asked.words[-1]
    asked.way = files.TAKE_UP
    assert window.files.offer_recovered()
    assert window.document.text == after


def test_the_window_is_not_closed_on_a_study_unasked(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = Asked(monkeypatch, "Go on working")
    task = window.pool.call("lesson", path=next(iter(linesim.lessons.shipped_lessons().values())))
    assert not window.close()
    assert window.isVisible()
    assert "Under way: a lesson." in asked.words[0]
    assert asked.defaults == ["Go on working"]
    task.cancel()
    qtbot.waitUntil(lambda: task.over, timeout=RUN_MS)
    assert window.pool.under_way() == []


def test_what_went_wrong_is_no_longer_said_when_it_went_well(
    qtbot: QtBot, window: MainWindow, path: Path, tmp_path: Path
) -> None:
    def said() -> list[str]:
        return [box.text() for box in window.findChildren(QMessageBox) if box.isVisible()]

    assert not window.workspace.open(tmp_path / "nowhere.toml")
    assert said() == ["nowhere.toml could not be opened."]
    assert window.workspace.open(path)
    assert said() == []
    window.runs.failed.emit("There was not enough memory.", "")
    assert said() == ["There was not enough memory."]
    window.document.set_field("bridge.places", 33)
    qtbot.waitUntil(lambda: said() == [], timeout=RUN_MS)


@pytest.mark.parametrize("end", ["end_finished", "end_failed", "end_cancelled"])
def test_the_status_bar_says_nothing_of_work_that_is_over(window: MainWindow, end: str) -> None:
    task = Task(window)
    TaskStatus(window, task, "Writing", lambda value: f"Written: {value}")
    task.progress.emit(0.5, "3 of 6")
    assert window.statusBar().currentMessage() == "Writing… 3 of 6"
    said = {"end_finished": ("x",), "end_failed": ("No.", "")}.get(end, ())
    getattr(task, end)(*said)
    last = "Written: x" if end == "end_finished" else ""
    assert window.statusBar().currentMessage() == last


def test_work_is_given_up_by_the_button_beside_what_is_said_of_it(window: MainWindow) -> None:
    task = Task(window)
    task.when_cancelled(task.end_cancelled)
    TaskStatus(window, task, "Writing", str)
    bar = window.statusBar()
    (button,) = (each for each in bar.findChildren(QPushButton) if each.text() == "Cancel")
    assert button.accessibleName() == "Cancel: Writing"
    QApplication.processEvents()
    assert button.x() < max(each.x() for each in bar.findChildren(QLabel) if each.isVisible())
    button.click()
    assert task.over
    assert button.isHidden()
    for box in window.findChildren(QMessageBox):
        box.hide()
