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
    from gui.jobs import Jobs
    from gui.shift import ShownShift


@dataclass(frozen=True)
class Parts:
    """What a page may need."""

    document: Document
    shown: ShownShift
    jobs: Jobs


@dataclass(frozen=True)
class Page:
    """A page: its title in the list, a line of help, and how it is made."""

    title: str
    help: str
    make: Callable[[Parts], QWidget]


def _shift(parts: Parts) -> QWidget:
    from gui.window.shift_page import ShiftPage

    return _roomy(ShiftPage(parts.shown, parts.jobs))


def _losses(parts: Parts) -> QWidget:
    from gui.headline.page import LossesPage

    return _roomy(LossesPage(parts.shown))


def _lessons(parts: Parts) -> QWidget:
    from gui.lessons import LessonsPage

    return _roomy(LessonsPage(parts.jobs))


def _study(name: str) -> Callable[[Parts], QWidget]:
    def make(parts: Parts) -> QWidget:
        from gui.pages import page_for

        return _roomy(page_for(name, parts.document, parts.jobs))

    return make


def _roomy(page: QWidget) -> QWidget:
    """A page that needs more room than a small screen has gets a bar, not the screen."""
    from PySide6.QtWidgets import QScrollArea

    room = QScrollArea()
    room.setFrameShape(QScrollArea.Shape.NoFrame)
    room.setWidgetResizable(True)
    room.setWidget(page)
    room.setAccessibleName(page.accessibleName())
    return room


def inner(page: QWidget) -> QWidget:
    """The page itself, without the room around it."""
    from PySide6.QtWidgets import QScrollArea

    within = page.widget() if isinstance(page, QScrollArea) else None
    return within or page


def _stop_log(parts: Parts) -> QWidget:
    from gui.logs import StopLogPage

    return _roomy(StopLogPage(parts.document, parts.jobs))


_SHORT = {
    "size-bridge": "Bridge size",
    "meet-target": "Reach an output",
    "add-wrapper": "One more wrapper",
    "rank-stops": "What stops cost",
    "what-holds": "What holds the line",
    "vary": "Any field",
    "compare": "Scenarios compared",
    "plan-orders": "When orders are done",
    "validate": "Believe the model?",
}

PAGES: dict[str, Page] = {
    "shift": Page("The shift", "One run, moment by moment", _shift),
    "losses": Page("Losses and rates", "From planned time to good reams", _losses),
    **{
        name: Page(_SHORT.get(name, question.title), question.title, _study(name))
        for name, question in linesim.QUESTIONS.items()
    },
    "fit-stops": Page("Stop log", "What does my own stop log say of each cause?", _stop_log),
    "lessons": Page("Lessons", "A stop, a question, and what happens", _lessons),
}
