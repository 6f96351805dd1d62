"""The tasks of a lesson: the line before its stop, what really happens, and what it costs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import linesim
from gui.work.messages import TaskCancelledError, TaskContext


def lesson(context: TaskContext, *, path: Path) -> linesim.lessons.LessonTruth:
    """Run the line of the story with and without its stop, tell that, then many replications."""
    loaded = linesim.lessons.load_lesson(path)
    scenario = linesim.lessons.lesson_scenario(loaded, file=path)

    def so_far(done: int, asked: int) -> bool:
        context.progress(done / asked, f"{done} of {asked} pairs of runs")
        if context.cancelled():
            raise TaskCancelledError
        return True

    truth = linesim.lessons.lesson_truth(loaded, scenario, progress=so_far)
    context.partial(truth)
    over_replications = linesim.lessons.over_replications_of(loaded, scenario, progress=so_far)
    return replace(truth, over_replications=over_replications)


def lesson_picture(_context: TaskContext, *, path: Path) -> linesim.record.Record:
    """The line of the story before its stop: what a learner sees first."""
    loaded = linesim.lessons.load_lesson(path)
    scenario = linesim.lessons.lesson_scenario(loaded, file=path)
    return linesim.lessons.run_before_answer(loaded, scenario)
