"""A learner commits to an answer, then sees the truth beside it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

import linesim
from gui.jobs import Jobs
from gui.lessons import LessonsPage

LESSON = """
title = "A short one"
story = "The wrapper stands."
scenario = "short-bridge"
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


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> Iterator[LessonsPage]:
    jobs = Jobs()
    made = LessonsPage(jobs)
    qtbot.addWidget(made)
    path = tmp_path / "short.toml"
    path.write_text(LESSON, encoding="utf-8")
    assert made.add(path)
    made._list.setCurrentRow(made._list.count() - 1)
    yield made
    jobs.close()


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
    qtbot.waitUntil(lambda: page._see.isEnabled(), timeout=90_000)
    told = page._truth_text.toPlainText()
    assert "The truth: " in told
    assert "±" in told
    assert "Your answer, 50 reams" in told
    assert "The sum on paper gives" in told
    # What a file says is text, never markup.
    assert "That is <b>all</b>." in told
    with qtbot.waitSignal(page.show_truth) as got:
        page._see.click()
    assert isinstance(got.args[0], linesim.LessonTruth)


def test_all_lessons_that_come_along_are_listed(page: LessonsPage) -> None:
    assert page._list.count() == len(linesim.shipped_lessons()) + 1


def test_a_file_that_is_no_lesson_says_why(page: LessonsPage, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("title = 3\n", encoding="utf-8")
    before = page._list.count()
    assert not page.add(path)
    assert page._list.count() == before
    assert "title" in page._truth_text.toPlainText()
