"""The task of a lesson: what really happens, and what it costs over many lucks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import linesim
from gui.work.talk import StoppedError, Talk


def lesson(talk: Talk, *, path: Path) -> linesim.lessons.LessonTruth:
    """Run the line of the story with and without its stop, and tell that; then many lucks."""
    loaded = linesim.lessons.load_lesson(path)
    scenario = linesim.lessons.lesson_scenario(loaded, file=path)

    def so_far(done: int, asked: int) -> bool:
        talk.told(done / asked, f"{done} of {asked} pairs of runs")
        if talk.stopped():
            raise StoppedError
        return True

    truth = linesim.lessons.lesson_truth(loaded, scenario, progress=so_far)
    talk.partly(truth)
    over_lucks = linesim.lessons.over_lucks_of(loaded, scenario, progress=so_far)
    return replace(truth, over_lucks=over_lucks)
