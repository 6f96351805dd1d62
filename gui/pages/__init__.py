"""A page for each study question: asked in a form, watched while it is answered."""

from gui.document import Document
from gui.pages import forecast_page
from gui.pages.forecast_page import ForecastPage
from gui.pages.size_page import STUDY, SizePage
from gui.pages.study_page import StudyPage
from gui.workers import WorkerPool

__all__ = ["ForecastPage", "SizePage", "StudyPage", "page_for"]


def page_for(study: str, document: Document, pool: WorkerPool) -> StudyPage:
    """The page of a study; that of the bridge has a slider, that of the forecast large figures."""
    if study == STUDY:
        return SizePage(document, pool)
    if study == forecast_page.STUDY:
        return ForecastPage(document, pool)
    return StudyPage(document, pool, study)
