"""A page for each study question: asked in a form, watched while it is answered."""

from gui.document import Document
from gui.pages.size_page import STUDY, SizePage
from gui.pages.study_page import StudyPage
from gui.workers import WorkerPool

__all__ = ["SizePage", "StudyPage", "page_for"]


def page_for(study: str, document: Document, pool: WorkerPool) -> StudyPage:
    """The page of a study; that of the bridge has a slider."""
    if study == STUDY:
        return SizePage(document, pool)
    return StudyPage(document, pool, study)
