"""Lessons: a line, a stop, a question about it; the sum worked out, and what really happens."""

from linesim.lessons.answers import GROUP, GivenAnswer, given_answer, score
from linesim.lessons.lesson import Lesson, StopInLesson
from linesim.lessons.loading import check_lesson_text, lesson_scenario, load_lesson, shipped_lessons
from linesim.lessons.sums import WorkedSum, worked_sum
from linesim.lessons.truth import (
    LessonTruth,
    lesson_truth,
    over_replications_of,
    run_before_answer,
)

__all__ = [
    "GROUP",
    "GivenAnswer",
    "Lesson",
    "LessonTruth",
    "StopInLesson",
    "WorkedSum",
    "check_lesson_text",
    "given_answer",
    "lesson_scenario",
    "lesson_truth",
    "load_lesson",
    "over_replications_of",
    "run_before_answer",
    "score",
    "shipped_lessons",
    "worked_sum",
]
