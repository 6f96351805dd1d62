"""Answers that were given, beside the truth: what a trainer keeps of a group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.lessons.lesson import Lesson
from linesim.lessons.truth import LessonTruth
from linesim.statistics import Interval

GROUP = "group"
"""Who answers where nobody is named."""


@dataclass(frozen=True)
class GivenAnswer:
    """One answer that somebody committed to, in the ``unit`` of its lesson."""

    who: str
    lesson: str
    """Title of the lesson."""
    asks: str
    unit: str
    answer: float
    truth: Interval | None
    """None where too few runs tell it."""
    on_paper: float
    """What the sum on paper gives."""
    right: bool | None
    """Whether it is close enough; None where there is no truth to be close to."""
    attempt: int = 1
    """The first answer counts; who knows the truth may answer again."""

    @property
    def off_by(self) -> float | None:
        """Answer less truth."""
        return None if self.truth is None else self.answer - self.truth.mean


def given_answer(
    who: str, lesson: Lesson, truth: LessonTruth, answer: float, attempt: int = 1
) -> GivenAnswer:
    """An answer, in the lesson's unit, beside the truth; ``attempt`` counts from 1."""
    right = None if truth.interval is None else truth.close(answer, lesson.close_enough_percent)
    return GivenAnswer(
        who=who,
        lesson=lesson.title,
        asks=lesson.asks,
        unit=lesson.unit,
        answer=answer,
        truth=truth.interval,
        on_paper=truth.sum.value,
        right=right,
        attempt=attempt,
    )


def score(answers: Sequence[GivenAnswer]) -> tuple[int, int]:
    """How many first answers are right, and of how many that have a truth."""
    counting = [each.right for each in answers if each.attempt == 1 and each.right is not None]
    return sum(counting), len(counting)
