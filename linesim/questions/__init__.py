"""A study as a question: its name, its options and its scenarios in, an answer out."""

from linesim.questions.catalogue import STUDIES
from linesim.questions.question import Question
from linesim.questions.study import Study
from linesim.questions.study_options import Option, QuestionError, StudyOptions, option

__all__ = [
    "STUDIES",
    "Option",
    "Question",
    "QuestionError",
    "Study",
    "StudyOptions",
    "option",
]
