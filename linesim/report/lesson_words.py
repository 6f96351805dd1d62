"""What a learner is told once the answer stands."""

from __future__ import annotations

from linesim.lessons import Lesson, LessonTruth
from linesim.statistics import format_with_interval


def truth_words(lesson: Lesson, truth: LessonTruth, answer: float) -> tuple[str, ...]:
    """Truth with its interval, the learner's answer and the sum beside it.

    ``answer`` is in the unit of the lesson. A truth of a single run is said to have no interval.
    """
    runs, unit = len(truth.values), truth.unit
    seldom = ""
    if truth.happened < runs:
        seldom = f" It happened in {truth.happened} of {runs} runs; the others do not count here."
    if truth.interval is None:
        known = [value for value in truth.values if value is not None]
        if not known:
            return (f"It did not happen in any of {runs} runs.",)
        return (f"In the one run in which it happened: {known[0]:.2g} {unit} (no interval).",)
    interval = truth.interval
    shown = format_with_interval(interval.mean, interval.half_width)
    found = f"The truth: {shown} {unit} (mean of {truth.happened} runs, 95 % interval).{seldom}"
    near = "close enough" if truth.close(answer, lesson.close_enough_percent) else "not close"
    yours = f"Your answer, {answer:g} {unit}, is {near}."
    sum_near = (
        "comes close" if truth.close(truth.sum.value, lesson.close_enough_percent) else "is off"
    )
    on_paper = f"The sum on paper gives {truth.sum.value:.2g} {unit} and {sum_near}."
    if unit == "reams":
        on_paper = f"The sum on paper gives {truth.sum.value:.0f} {unit} and {sum_near}."
    return found, yours, on_paper
