"""The task of a lesson: what really happens, over several lucks."""

from __future__ import annotations

from pathlib import Path

import linesim
from gui.work.talk import Talk


def lesson(talk: Talk, *, path: Path) -> linesim.LessonTruth:
    """Run the lesson's line with and without its stop. Stopped early, it keeps what it has."""
    loaded = linesim.load_lesson(path)
    scenario = linesim.lesson_scenario(loaded, file=path)

    def so_far(done: int, asked: int) -> bool:
        talk.told(done / asked, f"{done} of {asked} pairs of runs")
        return not talk.stopped()

    return linesim.lesson_truth(loaded, scenario, progress=so_far)
