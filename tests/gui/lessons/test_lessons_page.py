"""A learner commits to an answer, then sees the truth beside it."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.lessons import LessonsPage
from gui.lessons.fan import FanView
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
    assert made.open(path)
    yield made
    pool.close()


def answer(qtbot: QtBot, page: LessonsPage, typed: str) -> None:
    """Type an answer and commit to it by the key by which one ends a number."""
    page._answer.setFocus()
    page._answer.selectAll()
    qtbot.keyClicks(page._answer, typed)
    qtbot.keyClick(page._answer, Qt.Key.Key_Return)


def press_return(qtbot: QtBot, page: LessonsPage) -> None:
    """Where the keyboard is."""
    qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Return)


class Tasks:
    """Tasks in place of those of the pool, by their names."""

    def __init__(self, page: LessonsPage, monkeypatch: pytest.MonkeyPatch) -> None:
        self.made: list[Task] = []
        self._page = page
        monkeypatch.setattr(page._pool, "call", self._call)

    def _call(self, name: str, **_: object) -> Task:
        self.made.append(Task(self._page, name))
        return self.made[-1]

    def last(self, name: str = "lesson") -> Task:
        return next(task for task in reversed(self.made) if task.name == name)


def test_the_truth_comes_only_after_the_answer_stands(qtbot: QtBot, page: LessonsPage) -> None:
    page.show()
    before = page._text.toPlainText()
    assert "How many reams are lost?" in before
    # The line's figures are there for the sum: the rated speed of the sheeter, and the places.
    assert "42.1 reams/min" in before
    assert "21 places" in before
    assert "The truth" not in before
    assert not page.picture.isTabEnabled(1)
    answer(qtbot, page, "50")
    assert not page._answer.isEnabled()
    qtbot.waitUntil(lambda: not page.course.running, timeout=90_000)
    told = page._text.toPlainText()
    assert "The truth: " in told
    assert "±" in told
    assert "Your answer, 50 reams" in told
    assert "The sum on paper gives" in told
    assert "Over 40 runs" in told
    # What a file says is text, never markup.
    assert "That is <b>all</b>." in told
    assert page.picture.isTabEnabled(1)
    truth = page.course.attempts[-1].truth
    assert truth is not None
    assert page.picture.shown.record is truth.first[1]
    assert page.picture.shown.ghost is truth.first[0]
    # A point for each run, and their mean.
    chart = page.picture.each_run.chart
    assert isinstance(chart, linesim.report.Scatter)
    assert [y for _, y in chart.points] == list(truth.values)
    assert truth.interval is not None
    assert chart.line[0][1] == truth.interval.mean
    assert chart.thin[0][1] == 50
    # How the loss grows in ten lucks, and between which ends.
    page.picture.setCurrentIndex(3)
    fan = page.picture.fan
    assert fan.plot is not None
    said = fan.said_at_points()
    assert "±" in said[-1]
    assert f"in {len(truth.values)} runs" in said[-1]
    assert said[0].startswith("0 min after the stop began: 0 reams fewer")


def test_a_ream_up_or_down_does_not_fill_the_picture(qtbot: QtBot, page: LessonsPage) -> None:
    """It says where in its ream the wrapper is: of a stop that is free it was all to be seen."""
    view = FanView()
    qtbot.addWidget(view)
    view.show()
    fan = linesim.lessons.StopFan((0.0, 1.0, 2.0), ((0, 1, 0), (0, 0, 1)))
    view.show_fan(page.course.attempts[-1].lesson, fan)
    assert view.plot is not None
    assert view.plot.up.at(1) < 0.1


def test_the_line_is_seen_before_the_answer_as_it_is_without_the_stop(
    page: LessonsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks = Tasks(page, monkeypatch)
    page.show()
    lesson = page.course.attempts[-1].lesson
    scenario = linesim.lessons.lesson_scenario(lesson, file=page.course.attempts[-1].path)
    quiet = linesim.lessons.run_before_answer(lesson, scenario)
    tasks.last("lesson_picture").end_finished(quiet)
    assert page.picture.shown.record is quiet
    assert page.picture.shown.cursor_ns == round(0.1 * linesim.scenario.HOUR)
    assert not page.picture.shown.forced


def test_a_stop_is_looked_at_from_when_the_webs_have_run_down(
    page: LessonsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks = Tasks(page, monkeypatch)
    path = tmp_path / "knives.toml"
    path.write_text(LESSON.replace('"wrapper"', '"cutter"'), encoding="utf-8")
    assert page.open(path)
    attempt = page.attempt
    assert attempt is not None
    attempt.commit(3.0, page._pool)
    tasks.last().partial.emit(truth_of(path))
    shown = page.picture.shown
    # At 250 m/min they need 8.3 s of it.
    due = round(0.1 * linesim.scenario.HOUR)
    assert shown.cursor_ns == pytest.approx(due + 250 / 30 * 1e9, abs=0.1e9)


def test_all_lessons_that_come_along_are_listed(page: LessonsPage) -> None:
    assert page.chooser.count() == len(linesim.lessons.shipped_lessons()) + 1


def test_a_file_that_is_no_lesson_says_why(page: LessonsPage, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("title = 3\n", encoding="utf-8")
    before = page.chooser.count()
    assert not page.add(path)
    assert page.chooser.count() == before
    assert "title" in page._wrong.text()
    assert str(tmp_path) not in page._wrong.text()


def test_an_answer_and_its_runs_stay_while_another_lesson_is_looked_at(
    page: LessonsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks, mine = Tasks(page, monkeypatch), page.chooser.currentIndex()
    page._answer.setValue(50)
    page.go_on()
    task = tasks.last()
    task.progress.emit(0.5, "5 of 10 pairs of runs")
    assert page._status.text() == "5 of 10 pairs of runs"
    page.chooser.setCurrentIndex(0)
    assert page._answer.isEnabled()
    assert not page._status.text()
    page._answer.setValue(3.5)
    task.progress.emit(0.6, "6 of 10 pairs of runs")
    assert not page._status.text()
    # While an answer is on its way nobody else begins.
    page.course.begin("Ida")
    assert page.course.who == "group"
    truth = truth_of(page.course.attempts[mine].path)
    # What happens is told at once; what it costs over many replications comes later.
    task.partial.emit(truth)
    assert "The truth" not in page._text.toPlainText()
    page.chooser.setCurrentIndex(mine)
    assert "The truth: " in page._text.toPlainText()
    page.chooser.setCurrentIndex(0)
    task.end_finished(
        replace(truth, over_replications=linesim.studies.StopOverReplications((3, 5), 0.3))
    )
    assert len(page.course.answers) == 1
    page.chooser.setCurrentIndex(mine)
    assert "Over 2 runs" in page._text.toPlainText()
    assert page._answer.value() == 50
    assert not page._answer.isEnabled()
    page.chooser.setCurrentIndex(0)
    assert page._answer.value() == 3.5


def test_a_course_goes_on_by_return_and_keeps_what_everybody_answered(
    qtbot: QtBot, page: LessonsPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    tasks = Tasks(page, monkeypatch)
    page.show()
    page.open(page.course.attempts[-1].path)
    last = page.chooser.count() - 1
    page.chooser.setCurrentIndex(last - 1)
    truth = truth_of(page.course.attempts[last].path)
    assert truth.interval is not None
    mean = truth.interval.mean
    page.course.begin("=Ida")
    page.chooser.setCurrentIndex(last - 1)
    answer(qtbot, page, f"{mean:.0f}")
    assert page.course.attempts[last - 1].running
    # A second Return, before it is told, neither commits again nor goes on.
    press_return(qtbot, page)
    assert page.chooser.currentIndex() == last - 1
    tasks.last().end_finished(truth)
    assert "So far 1 of 1 answer right" in page._score.text()
    assert page.chooser.itemText(last - 1).endswith("(right)")
    # Who knows the truth may answer again; the first answer counts, and both are kept.
    page.answer_again()
    answer(qtbot, page, "9000")
    assert "So far 1 of 1 answer right" in page._score.text()
    press_return(qtbot, page)
    assert page.chooser.currentIndex() == last
    file = tmp_path / "answers.csv"
    page.save(file)
    page.course.begin("Bo")
    assert not page._score.text()
    page.chooser.setCurrentIndex(last - 1)
    assert "The truth" not in page._text.toPlainText()
    answer(qtbot, page, "1")
    # The line need not be run again, and what comes in is in the file.
    assert "The truth" in page._text.toPlainText()
    with file.open(encoding="utf-8", newline="") as rows:
        kept = list(csv.DictReader(rows))
    assert [(each["who"], each["attempt"], each["right"]) for each in kept] == [
        ("'=Ida", "1", "right"),
        ("'=Ida", "2", "off"),
        ("Bo", "1", "off"),
    ]
    assert float(kept[1]["off by"]) == pytest.approx(9000 - mean, abs=0.06)
    assert float(kept[1]["truth"]) == mean


def test_an_answer_whose_runs_failed_may_be_given_once_more(
    page: LessonsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks = Tasks(page, monkeypatch)
    page._answer.setValue(7)
    page.go_on()
    tasks.last().end_failed("in none of 100 replications", "")
    assert "in none of 100 replications" in page._status.text()
    assert page._answer.isEnabled()
    assert page._answer.value() == 7
    assert not page.course.answers


def test_nothing_is_answered_before_a_number_is_typed(
    qtbot: QtBot, page: LessonsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    tasks, mine = Tasks(page, monkeypatch), page.chooser.currentIndex()
    page.show()
    for typed in ("", "-"):
        answer(qtbot, page, typed)
        assert not page.course.attempts[mine].committed
        assert page._answer.text() == ""
        assert not page._go_on.isEnabled()
    # Nought is an answer where somebody means it.
    answer(qtbot, page, "0")
    assert page.course.attempts[mine].answer == 0
    tasks.last().end_finished(truth_of(page.course.attempts[mine].path))
    # Nobody meets what the one before answered.
    page.course.begin("Bo")
    assert page.chooser.currentIndex() == 0
    page.chooser.setCurrentIndex(mine)
    assert page._answer.text() == ""


def test_a_lesson_of_ones_own_waits_for_its_answer(page: LessonsPage) -> None:
    page.show()
    page._own.setFocus()
    assert page.open(page.course.attempts[-1].path)
    assert page.focusWidget() is page._answer


def test_one_ream_is_no_reams(page: LessonsPage) -> None:
    page._answer.setValue(1)
    assert page._unit.text() == "ream"
    page._answer.setValue(2)
    assert page._unit.text() == "reams"


@pytest.mark.parametrize(
    ("typed", "number"), [("0.5", 0.5), ("2.5", 2.5), ("1,5", 1.5), ("12", 12.0)]
)
def test_an_answer_is_what_was_typed_wherever_the_field_was_clicked(
    qtbot: QtBot, page: LessonsPage, typed: str, number: float
) -> None:
    page.show()
    page.chooser.setCurrentIndex(0)
    edit = page._answer.lineEdit()
    qtbot.mouseClick(edit, Qt.MouseButton.LeftButton, pos=edit.rect().center())
    qtbot.keyClicks(edit, typed)
    assert page._unit.text() == "min"
    assert page._answer.answer == number


def test_answers_in_no_file_are_asked_about_before_the_window_closes(
    page: LessonsPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert page.confirm_close()
    tasks = Tasks(page, monkeypatch)
    page._answer.setValue(7)
    page.go_on()
    tasks.last().end_finished(truth_of(page.course.attempts[-1].path))
    asked: list[str] = []
    answers = iter(["Cancel", dialogs.DISCARD, "Save them…"])

    def choose(_parent: object, _title: str, words: str, *_: str, **__: str) -> str:
        asked.append(words)
        return next(answers)

    there = tmp_path / "answers.csv"
    monkeypatch.setattr(dialogs, "choose", choose)
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: there)
    assert not page.confirm_close()
    assert page.confirm_close()
    assert not there.exists()
    assert page.confirm_close()
    assert there.exists()
    # What is in a file needs no question.
    assert page.confirm_close()
    assert asked == ["1 answer to lessons is in no file."] * 3


def test_the_text_is_as_high_as_its_words_and_the_picture_has_the_rest(
    qtbot: QtBot, page: LessonsPage
) -> None:
    page.resize(1200, 1000)
    page.show()

    def as_high_as_its_words() -> bool:
        needed = page._text.document().size().height()
        return 0 <= page._text.height() - needed < page.fontMetrics().height()

    qtbot.waitUntil(as_high_as_its_words)
    before = page._text.height()
    assert page.picture.height() > before
    page._text.setPlainText("\n".join(30 * ["words"]))
    qtbot.waitUntil(as_high_as_its_words)
    assert page._text.height() > before


def test_words_that_leave_the_picture_no_room_have_a_bar_of_their_own(
    qtbot: QtBot, page: LessonsPage
) -> None:
    page.resize(1000, 640)
    page.show()
    page._text.setPlainText("\n".join(60 * ["words"]))
    bar = page._text.verticalScrollBar()
    qtbot.waitUntil(lambda: page._text.height() > 8 * page.fontMetrics().height())
    assert bar.isVisible()
    # Neither is cut at the foot of a small window, which needs no bar for the page besides.
    assert page.minimumSizeHint().height() <= 640
    assert page.picture.height() >= 310
    # All that the picture leaves is theirs: words that just fit need no bar.
    lines = (page._text.viewport().height() - 8) // page._text.fontMetrics().height()
    page._text.setPlainText("\n".join(lines * ["words"]))
    qtbot.waitUntil(lambda: not bar.isVisible())
