"""The paragraph on the page of the shift is of the line on screen, or it is not there."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

import linesim
from gui.document import Document
from gui.shift import ShownShift
from gui.window.run_story import FAILED, MAKING, RunStory
from gui.window.runs import Runs
from gui.work.shift_task import ShiftRun
from gui.workers import Task


@cache
def line(metres: float) -> linesim.Scenario:
    demo = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    return demo.varied(bridge={"length_m": metres})


@cache
def run(metres: float = 7.0) -> linesim.Record:
    return linesim.fast.simulate(line(metres), seed=1, hours=0.2)


@cache
def many(metres: float = 7.0) -> linesim.Replicated:
    return linesim.studies.replicate(line(metres), replications=2, hours=0.2)


class Pool:
    """Keeps what was asked, and answers when told to."""

    def __init__(self) -> None:
        self.asked: list[Task] = []
        self.cancelled = 0

    def run_story(self, figures: linesim.Replicated) -> Task:
        task = Task()
        task.when_cancelled(self._cancel)
        self.asked.append(task)
        return task

    def run_shift(self, *_: Any, **__: Any) -> Task:
        self.asked.append(Task())
        return self.asked[-1]

    run_figures = run_shift

    def _cancel(self) -> None:
        self.cancelled += 1


@pytest.fixture
def shown(qtbot: Any) -> ShownShift:
    return ShownShift()


def told(metres: float = 7.0) -> Any:
    return linesim.report.story(many(metres))


def test_it_comes_in_two_parts_and_goes_with_the_edit(shown: ShownShift) -> None:
    pool = Pool()
    story = RunStory(shown, pool)  # type: ignore[arg-type]
    assert story.text == ""
    shown.show(run())
    assert story.text == MAKING
    shown.show_figures(many())
    pool.asked[0].partial.emit(told())
    assert story.text.startswith(told().text)
    assert "being run" in story.text
    # On paper stands what no more is to come of.
    assert story.told == ""
    pool.asked[0].end_finished(told())
    assert story.text == told().text
    assert story.told == story.short != ""
    shown.busy = True
    assert story.text == MAKING
    assert story.told == ""
    shown.busy = False
    # The same figures are told at once, without asking again.
    assert story.text == told().text
    assert len(pool.asked) == 1


def test_what_comes_late_of_another_line_is_not_told(shown: ShownShift) -> None:
    pool = Pool()
    story = RunStory(shown, pool)  # type: ignore[arg-type]
    shown.show(run())
    shown.show_figures(many())
    shown.show(run(14.0))
    assert pool.cancelled == 1
    pool.asked[0].end_finished(told())
    assert story.text == MAKING
    shown.show_figures(many(14.0))
    pool.asked[1].end_finished(told(14.0))
    assert story.text == told(14.0).text != told().text


def test_of_a_run_with_a_stop_put_in_nothing_is_told(shown: ShownShift) -> None:
    story = RunStory(shown, Pool())  # type: ignore[arg-type]
    shown.show(run())
    shown.show_figures(many())
    forced = linesim.ForcedStop(station="wrapper", at_h=0.1, minutes=5)
    shown.show(run(), forced=(forced,))
    assert story.text == ""


def test_it_is_asked_again_once_runs_are_quick_where_help_was_not_told(shown: ShownShift) -> None:
    pool = Pool()
    story = RunStory(shown, pool)  # type: ignore[arg-type]
    shown.show(run())
    shown.show_figures(many())
    late = linesim.report.story(many(), "What would help is told once the engine is ready")
    pool.asked[0].end_finished(late)
    assert "once the engine is ready" in story.text
    story.ask_again()
    assert len(pool.asked) == 2
    helps = linesim.studies.WhatHelps(levers=(), tried=3, hours=8.0, runs=10)
    pool.asked[1].end_finished(linesim.report.story(many(), helps))
    assert "No lever alone is shown to help." in story.short
    assert len(story.short) < len(story.text)
    story.ask_again()
    assert len(pool.asked) == 2


def test_figures_that_cannot_be_made_are_not_said_to_be_under_way(shown: ShownShift) -> None:
    pool = Pool()
    document = Document()
    document.open("short-bridge")
    runs = Runs(document, shown, pool)  # type: ignore[arg-type]
    story = RunStory(shown, pool)  # type: ignore[arg-type]
    runs.run_now()
    pool.asked[0].end_finished(ShiftRun(run(), None, None))
    assert story.text == MAKING
    pool.asked[1].end_failed("The process ended unexpectedly.", "")
    assert story.text == FAILED
    # As the words say.
    runs.set_run(hours=8, seed=1, replication=1)
    pool.asked[2].end_finished(ShiftRun(run(), None, None))
    assert story.text == MAKING
    assert len(pool.asked) == 4
