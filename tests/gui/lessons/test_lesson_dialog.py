"""A trainer makes a lesson of the stop just put in, and it is opened at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.lessons import LessonsPage
from gui.lessons.lesson_dialog import LessonDialog
from gui.window.main_window import MainWindow
from tests.gui.conftest import RUN_MS


def test_a_stop_becomes_a_lesson_and_the_open_scenario_stays(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Unsaved, and in the lesson: the line is the one on screen.
    window.document.set_field("line.name", "Ours")
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    stop = linesim.ForcedStop(station="wrapper", at_h=0.2, minutes=4)
    window.runs.force((stop,))
    qtbot.waitUntil(lambda: bool(window.shown.forced) and not window.shown.busy, timeout=RUN_MS)
    text, record = window.document.text, window.shown.record
    path = tmp_path / "mine-lesson.toml"
    proposed: list[str] = []

    def ask(_parent: object, _title: str, name: str, _kinds: str) -> Path:
        proposed.append(name)
        return path

    monkeypatch.setattr(dialogs, "ask_file", ask)
    told: list[str] = []

    def fill(dialog: LessonDialog) -> None:
        for words in (dialog.title, dialog.story, dialog.afterwards):
            words.clear()
        dialog._ask_file()
        told.append(dialog.faults.text())
        dialog.title.setText("It stands")
        dialog.story.setPlainText("The wrapper stands.")
        dialog.afterwards.setPlainText("That is why.")
        dialog.asked.setCurrentIndex(1)
        dialog._ask_file()

    monkeypatch.setattr(LessonDialog, "exec", fill)
    window.pages.shift.lesson_requested.emit()
    # What is missing was told by the names that fields have here, before anything was written.
    assert all(f"{name}: " in told[0] for name in ("Title", "Story", "Said afterwards"))
    assert "quotes" not in told[0]
    assert proposed == ["my-lesson.toml", "it-stands.toml"]
    page = window.pages.current
    assert isinstance(page, LessonsPage)
    assert page.chooser.currentText().endswith("It stands")
    lesson = linesim.lessons.load_lesson(path)
    assert lesson.asks == "After how many minutes do the knives stop?"
    assert linesim.lessons.lesson_scenario(lesson, file=path).line.name == "Ours"
    assert window.document.text == text
    assert window.document.dirty
    assert window.shown.record is record


def test_a_lesson_can_be_tried_before_a_word_of_it_is_written(qtbot: QtBot, tmp_path: Path) -> None:
    line = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    stop = linesim.ForcedStop(station="wrapper", at_h=2, minutes=4)
    dialog = LessonDialog(stop, line)
    qtbot.addWidget(dialog)
    dialog.save(tmp_path / "mine.toml")
    lesson = linesim.lessons.load_lesson(tmp_path / "mine.toml")
    assert lesson.title == "The wrapper stands for 4 min"
    assert lesson.story == "2 h into the shift the wrapper stops. It stands for 4 min."
    # Each question has a sum, and words about it.
    for stopped in ("wrapper", "cutter"):
        every = linesim.ForcedStop(station=stopped, at_h=2, minutes=4)
        assert all(each.afterwards for each in linesim.lessons.askable(every, line))


def test_what_a_trainer_wrote_stays_whatever_else_is_asked(qtbot: QtBot) -> None:
    line = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    dialog = LessonDialog(linesim.ForcedStop(station="wrapper", at_h=2, minutes=4), line)
    qtbot.addWidget(dialog)
    dialog.asked.setCurrentIndex(1)
    asked = linesim.lessons.askable(dialog._stop, line)[1]
    assert dialog.question.text() == asked.question
    assert dialog.afterwards.toPlainText() == asked.afterwards
    dialog.question.setText("When do the knives stand?")
    dialog.afterwards.setPlainText("That is why.")
    dialog.asked.setCurrentIndex(0)
    assert dialog.question.text() == "When do the knives stand?"
    assert dialog.afterwards.toPlainText() == "That is why."
