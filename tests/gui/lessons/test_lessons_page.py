"""A learner commits to an answer, then sees the truth beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

import linesim
from gui.lessons import LessonsPage
from gui.workers import Task, WorkerPool

LESSON = """
title = "A short one"
story = "The wrapper stands."
scenario = "shift.toml"
hours = 0.3
asks = "How many reams are lost?"
measure = "reams_lost"
sum = "knives_standing_times_rate"
afterwards = "That is <b>all</b>."

[stop]
station = "wrapper"
at_h = 0.1
minutes = 3
"""


def truth_of(path: Path) -> linesim.lessons.LessonTruth:
    """What happens, over fewer replications than the window takes."""
    lesson = linesim.lessons.load_lesson(path)
    return linesim.lessons.lesson_truth(
        lesson, linesim.lessons.lesson_scenario(lesson, file=path), runs=2
    )


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> Iterator[LessonsPage]:
    pool = WorkerPool()
    made = LessonsPage(pool)
    qtbot.addWidget(made)
    demo = linesim.scenario.find_scenario("short-bridge").read_text(encoding="utf-8")
    shift = linesim.scenario.update(demo, {"line.shift_hours": 0.3})
    (tmp_path / "shift.toml").write_text(shift, encoding="utf-8")
    path = tmp_path / "short.toml"
    path.write_text(LESSON, encoding="utf-8")
    assert made.add(path)
    made._list.setCurrentRow(made._list.count() - 1)
    yield made
    pool.close()


def test_the_truth_comes_only_after_the_answer_stands(qtbot: QtBot, page: LessonsPage) -> None:
    assert "How many reams are lost?" in page._question.toPlainText()
    assert not page._truth_text.toPlainText()
    assert not page._see.isEnabled()
    page.show()
    page._answer.setFocus()
    page._answer.selectAll()
    qtbot.keyClicks(page._answer, "50")
    # The key by which one ends a number commits to it.
    qtbot.keyClick(page._answer, Qt.Key.Key_Return)
    assert not page._answer.isEnabled()
    qtbot.waitUntil(lambda: page._commit.isEnabled(), timeout=90_000)
    told = page._truth_text.toPlainText()
    assert "The truth: " in told
    assert "±" in told
    assert "Your answer, 50 reams" in told
    assert "The sum on paper gives" in told
    assert "Over 40 replications" in told
    # What a file says is text, never markup.
    assert "That is <b>all</b>." in told
    with qtbot.waitSignal(page.show_truth) as got:
        page._see.click()
    assert isinstance(got.args[0], linesim.lessons.LessonTruth)


def test_all_lessons_that_come_along_are_listed(page: LessonsPage) -> None:
    assert page._list.count() == len(linesim.lessons.shipped_lessons()) + 1


def test_a_file_that_is_no_lesson_says_why(page: LessonsPage, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("title = 3\n", encoding="utf-8")
    before = page._list.count()
    assert not page.add(path)
    assert page._list.count() == before
    assert "title" in page._truth_text.toPlainText()


def test_an_answer_and_its_runs_stay_while_another_lesson_is_looked_at(
    page: LessonsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine, task = page._list.currentRow(), Task(page)
    monkeypatch.setattr(page._pool, "call", lambda *_, **__: task)
    page._answer.setValue(50)
    page.commit()
    task.progress.emit(0.5, "5 of 10 pairs of runs")
    assert page._status.text() == "5 of 10 pairs of runs"
    page._list.setCurrentRow(0)
    assert page._answer.isEnabled()
    assert not page._status.text()
    page._answer.setValue(3.5)
    task.progress.emit(0.6, "6 of 10 pairs of runs")
    assert not page._status.text()
    truth = truth_of(page._attempts[mine].path)
    # What happens is told at once; what it costs over many replications comes later.
    task.partial.emit(truth)
    assert not page._truth_text.toPlainText()
    page._list.setCurrentRow(mine)
    assert "The truth: " in page._truth_text.toPlainText()
    assert not page._commit.isEnabled()
    page._list.setCurrentRow(0)
    task.end_finished(
        replace(truth, over_replications=linesim.studies.StopOverReplications((3, 5), 0.3))
    )
    page._list.setCurrentRow(mine)
    assert "Over 2 replications" in page._truth_text.toPlainText()
    assert page._answer.value() == 50
    assert not page._answer.isEnabled()
    assert "Your answer, 50 reams" in page._truth_text.toPlainText()
    assert page._see.isEnabled()
    page._list.setCurrentRow(0)
    assert page._answer.value() == 3.5
    # Who wants to may answer once more.
    page._list.setCurrentRow(mine)
    page.commit()
    assert page._answer.isEnabled()
    assert not page._truth_text.toPlainText()


def test_one_ream_is_no_reams(page: LessonsPage) -> None:
    page._answer.setValue(1)
    assert page._answer.text() == "1 ream"
    page._answer.setValue(2)
    assert page._answer.text() == "2 reams"


def test_return_commits_to_what_was_typed(qtbot: QtBot, page: LessonsPage) -> None:
    page.show()
    page._answer.setFocus()
    page._answer.selectAll()
    qtbot.keyClicks(page._answer, "40")
    qtbot.keyClick(page._answer, Qt.Key.Key_Return)
    assert page._shown is not None
    assert page._shown.running
    assert page._shown.answer == 40
