"""Study pages: a question is set, its answer fills in as runs end."""

from gui.pages.study_page import StudyPage

__all__ = ["StudyPage"]
