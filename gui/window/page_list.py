"""The pages of the window, in order. A new page is one entry here.

A page's module is loaded when the page is first shown, and Qt with the first of them: what pages
there are is known without it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import linesim
from gui.document import STOP_LOG

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from gui.document import Document
    from gui.shift import ShownShift
    from gui.window.workspace import Workspace
    from gui.workers import WorkerPool


_RUN, _TRUE = "On the floor", "True to the plant"


@dataclass(frozen=True)
class PageContext:
    """What a page may need."""

    document: Document
    shown: ShownShift
    pool: WorkerPool
    workspace: Workspace


@dataclass(frozen=True)
class Page:
    """A page: its title, a line of help, how it is made, and with which others it stands."""

    title: str
    help: str
    make: Callable[[PageContext], QWidget]
    group: str = _RUN
    part: str = ""
    """The part of the form that it is about; empty: it stays as it is."""

    own_lines: bool = False
    """Whether it is of lines of its own, not of the one that is open."""

    @property
    def of_the_run(self) -> bool:
        """Whether it shows the run on screen, and so what is set and said of that run."""
        return self.group == _RUN


def _shift(context: PageContext) -> QWidget:
    from gui.window.shift_page import ShiftPage

    page = ShiftPage(context.shown, context.pool)
    page.stop_requested.connect(context.workspace.ask_stop)
    page.take_out_requested.connect(context.workspace.runs.take_out)
    page.lesson_requested.connect(context.workspace.ask_lesson)
    return page


def _losses(context: PageContext) -> QWidget:
    from gui.headline.page import LossesPage

    return LossesPage(context.shown)


def _lessons(context: PageContext) -> QWidget:
    from gui.lessons import LessonsPage

    return LessonsPage(context.pool)


def _study(name: str) -> Callable[[PageContext], QWidget]:
    def make(context: PageContext) -> QWidget:
        from gui.pages import page_for

        return page_for(name, context.document, context.pool)

    return make


def _stop_log(context: PageContext) -> QWidget:
    from gui.logs import StopLogPage

    return StopLogPage(context.document, context.pool)


PAGES: dict[str, Page] = {
    "shift": Page("The shift", "One run, moment by moment", _shift),
    "losses": Page("Losses and rates", "From planned time to good reams", _losses),
    **{
        name: Page(study.title, study.question, _study(name), study.group, study.part)
        for name, study in linesim.questions.STUDIES.items()
    },
    "fit-stops": Page(
        STOP_LOG,
        "What does my own stop log say of each cause?",
        _stop_log,
        _TRUE,
        "stop",
    ),
    "lessons": Page(
        "Lessons",
        "A stop, a question, and what happens",
        _lessons,
        "For the crew",
        own_lines=True,
    ),
}
_ORDER = (_RUN, "Where it is lost", "What pays", "What is due", _TRUE)
GROUPS: dict[str, list[str]] = {group: [] for group in _ORDER}
"""The names of the pages by their group, in the order in which they are listed."""
for _name, _page in PAGES.items():
    GROUPS.setdefault(_page.group, []).append(_name)
PAGES = {name: PAGES[name] for names in GROUPS.values() for name in names}
