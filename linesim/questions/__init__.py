"""A study as a question: its name, its options and its scenarios in, an answer out."""

from linesim.questions.asking import ask
from linesim.questions.from_file import answer_from_file
from linesim.questions.kinds import QUESTIONS, Question, QuestionKind
from linesim.questions.options import QuestionError
from linesim.questions.study_files import cached_study, study_file_for

__all__ = [
    "QUESTIONS",
    "Question",
    "QuestionError",
    "QuestionKind",
    "answer_from_file",
    "ask",
    "cached_study",
    "study_file_for",
]
