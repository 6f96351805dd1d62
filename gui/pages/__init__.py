"""A page for each study question: asked in a form, watched while it is answered."""

from gui.document import Document
from gui.jobs import Jobs
from gui.pages.size_page import STUDY, SizePage
from gui.pages.study_page import StudyPage

__all__ = ["SizePage", "StudyPage", "page_for"]


def page_for(study: str, document: Document, jobs: Jobs) -> StudyPage:
    """The page of a study; that of the bridge has a slider."""
    if study == STUDY:
        return SizePage(document, jobs)
    return StudyPage(document, jobs, study)
