"""The pages of the window, in order. A new page is one entry here.

A page's module is loaded when the page is first shown, and Qt with the first of them: what pages
there are is known without it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import linesim

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from gui.document import Document
    from gui.shift import ShownShift
    from gui.window.workspace import Workspace
    from gui.workers import WorkerPool


_RUN, _TRUE = "On the floor", "True to the plant"
_SHIFT_HELP = (
    "Each lane of the strip is a station, from left to right the time. Grey runs; colour is"
    " trouble, and the hatch says which kind. Click a stop: each lane says when it was reached,"
    " and the table below whom, after how long, and how many reams. F3 goes to the next stop,"
    " Ctrl+F3 back to all. Right-click a lane, or Ctrl+T, to stop a station yourself. Figures with"
    " ± are means of several runs; those of this one run have no interval."
)
_LOSSES_HELP = (
    "From the top the time that was planned, then what each kind of loss took of it, down to the"
    " good reams. Below it the rate of each station, by nameplate and after its own stops: the"
    " lowest after stops is what the line can do at best."
)
_STOP_LOG_HELP = (
    "1. Choose the log: a row for each stop, as the plant has it. 2. Under *Columns* see that"
    " start, length and cause are the right ones. 3. Under *Causes* say what the plant's words"
    " mean. 4. Fit each cause, and look at *Left out*: each row that was not used, and why."
    " 5. Write the ticked fits into the scenario: a note beside each says where it came from."
)
_LESSONS_HELP = (
    "Read the story and the line's figures, type an answer and press Return: from then on it"
    " stands. What happens is then told beside the sum on paper, with what the same stop does in"
    " each run. Return leads to the next lesson. The scenario that is open is not touched. A"
    " trainer puts a name or group under *Who answers*, and keeps all answers as a table; a lesson"
    " of one's own is made from a stop put in on the page *The shift*. F11 shows the page alone, in"
    " large letters."
)


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

    help_more: str = ""
    """What the help says of it besides, where it is no study's, in Markdown."""
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
    "shift": Page("The shift", "One run, moment by moment", _shift, help_more=_SHIFT_HELP),
    "losses": Page(
        "Losses and rates", "From planned time to good reams", _losses, help_more=_LOSSES_HELP
    ),
    **{
        name: Page(study.title, study.question, _study(name), study.group, study.part)
        for name, study in linesim.questions.STUDIES.items()
    },
    "fit-stops": Page(
        "Stop log",
        "What does my own stop log say of each cause?",
        _stop_log,
        _TRUE,
        "stop",
        _STOP_LOG_HELP,
    ),
    "lessons": Page(
        "Lessons",
        "A stop, a question, and what happens",
        _lessons,
        "For the crew",
        help_more=_LESSONS_HELP,
        own_lines=True,
    ),
}
_ORDER = (_RUN, "Where it is lost", "What pays", "What is due", _TRUE)
GROUPS: dict[str, list[str]] = {group: [] for group in _ORDER}
"""The names of the pages by their group, in the order in which they are listed."""
for _name, _page in PAGES.items():
    GROUPS.setdefault(_page.group, []).append(_name)
PAGES = {name: PAGES[name] for names in GROUPS.values() for name in names}
