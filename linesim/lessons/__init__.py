"""Lessons: a line, a stop, a question about it; the sum worked out, and what really happens."""

from linesim.lessons.answers import GROUP, GivenAnswer, given_answer, score
from linesim.lessons.lesson import Lesson, StopInLesson
from linesim.lessons.loading import (
    check_lesson_text,
    is_lesson_text,
    lesson_scenario,
    load_lesson,
    shipped_lessons,
)
from linesim.lessons.sums import WorkedSum, worked_sum
from linesim.lessons.truth import (
    LessonTruth,
    StopFan,
    lesson_truth,
    over_replications_of,
    run_before_answer,
)
from linesim.lessons.writing import Asked, askable, line_file, write_lesson

__all__ = [
    "GROUP",
    "Asked",
    "GivenAnswer",
    "Lesson",
    "LessonTruth",
    "StopFan",
    "StopInLesson",
    "WorkedSum",
    "askable",
    "check_lesson_text",
    "given_answer",
    "is_lesson_text",
    "lesson_scenario",
    "lesson_truth",
    "line_file",
    "load_lesson",
    "over_replications_of",
    "run_before_answer",
    "score",
    "shipped_lessons",
    "worked_sum",
    "write_lesson",
]
