"""What a learner is told once the answer stands."""

from __future__ import annotations

from linesim.lessons import Lesson, LessonTruth
from linesim.lessons.lesson import amount
from linesim.report.disturbance_in_words import over_replications_words
from linesim.statistics import counted


def truth_words(lesson: Lesson, truth: LessonTruth, answer: float) -> tuple[str, ...]:
    """Truth with its interval, the learner's answer and the sum beside it, and other replications.

    ``answer`` is in the unit of the lesson. A truth of a single run is said to have no interval.
    """
    told = _truth(lesson, truth, answer)
    if truth.over_replications is not None:
        told += (over_replications_words(truth.over_replications),)
    return told


def _truth(lesson: Lesson, truth: LessonTruth, answer: float) -> tuple[str, ...]:
    runs, unit = len(truth.values), truth.unit
    seldom = ""
    if truth.happened < runs:
        seldom = f" It happened in {truth.happened} of {runs} runs; the others do not count here."
    if truth.interval is None:
        known = [value for value in truth.values if value is not None]
        if not known:
            return (f"It did not happen in {'any of ' if runs > 1 else ''}{counted(runs, 'run')}.",)
        only = amount(float(f"{known[0]:.2g}") if unit != "reams" else known[0], unit)
        return (f"In the one run in which it happened: {only} (no interval).",)
    alone = " in which nothing else stops the line" if lesson.needs.nothing_else_stops else ""
    near = "close enough" if truth.close(answer, lesson.close_enough_percent) else "not close"
    near_sum = truth.close(truth.sum.value, lesson.close_enough_percent)
    on_paper = amount(round(truth.sum.value, 0 if unit == "reams" else 2), unit)
    return (
        f"The truth: {truth.interval.text()} {unit} (mean of {truth.happened} runs{alone}, 95 %"
        f" interval).{seldom}",
        f"Your answer, {amount(answer, unit)}, is {near}.",
        f"The sum on paper gives {on_paper} and {'comes close' if near_sum else 'is off'}.",
    )
