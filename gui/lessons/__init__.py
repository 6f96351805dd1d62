"""Lessons: commit to an answer, then see it happen."""

from gui.lessons.page import LessonsPage

__all__ = ["LessonsPage"]
