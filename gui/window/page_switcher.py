"""The pages and the list that chooses among them. A page is made when it is first shown."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gui.look import CLOSE, KEPT, NEAR, spaced
from gui.pages.progress_row import ProgressRow
from gui.window.page_index import PageIndex
from gui.window.page_list import PAGES, Page, PageContext
from gui.window.shift_page import ShiftPage

_ROOMY_CH = 124
"""From this width on, in letters, there is room for the names of the pages beside them."""


class PageSwitcher(QWidget):
    """Shows one page at a time, the first one to begin with; ``turned`` names it."""

    turned = Signal(str)

    def __init__(self, context: PageContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._made: dict[str, QWidget] = {}
        self.list = PageIndex()
        self.stack = QStackedWidget()
        self.list.turned.connect(self._show)
        self.list.choose(next(iter(PAGES)))
        row = QHBoxLayout(self)
        spaced(row, NEAR)
        self.beside = QWidget()
        """All that is beside the list: the page, and what stands above it."""
        self._column = QVBoxLayout(self.beside)
        spaced(self._column, CLOSE)
        self._column.addWidget(self.stack, 1)
        row.addWidget(self.list)
        row.addWidget(self.beside, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.list.set_compact(self.width() < _ROOMY_CH * self.fontMetrics().averageCharWidth())

    def minimumSizeHint(self) -> QSize:
        """With icons alone in the list: it gives way before the page does."""
        least = super().minimumSizeHint()
        spare = self.list.minimumWidth() - self.list.least_width
        return QSize(least.width() - spare, least.height())

    def put_above(self, *parts: QWidget) -> None:
        """Put these above the page, in this order."""
        for at, part in enumerate(parts):
            self._column.insertWidget(at, part)

    def put_below(self, part: QWidget) -> None:
        """Put this below the page."""
        self._column.addWidget(part)

    @property
    def current(self) -> QWidget:
        """The page that is looked at."""
        return list(self._made.values())[self.stack.currentIndex()]

    @property
    def shown(self) -> Page:
        """What is declared of the page that is looked at."""
        return PAGES[self.list.name]

    @property
    def made(self) -> list[str]:
        """The names of the pages shown so far."""
        return list(self._made)

    @property
    def shift(self) -> ShiftPage:
        """The page of the run: the first one, so that it is always there."""
        page = self.page("shift")
        assert isinstance(page, ShiftPage)
        return page

    def page(self, name: str) -> QWidget:
        """A page that was shown; raises KeyError where it was not."""
        return self._made[name]

    def go_to(self, name: str) -> bool:
        """Show a page; False where there is none of that name."""
        if name not in PAGES:
            return False
        self.list.choose(name)
        return True

    def bring_into_view(self, part: QWidget) -> None:
        """Have the upper end of a part of the page on screen, and as much below as there is."""
        area = self.stack.currentWidget()
        if isinstance(area, QScrollArea):
            area.ensureWidgetVisible(part, 0, 0)

    def step(self, by: int) -> None:
        """Show the page so many further on in the list, which goes round."""
        self.list.step(by)

    def _show(self, name: str) -> None:
        if name not in self._made:
            page = self._made[name] = PAGES[name].make(self._context)
            self.stack.addWidget(_scrollable(page))
            for progress in page.findChildren(ProgressRow):
                progress.progressed.connect(lambda part: self.list.show_progress(name, part))
            for number, splitter in enumerate(page.findChildren(QSplitter)):
                KEPT.splitter(splitter, f"{name}/{number}")
        self.stack.setCurrentIndex(list(self._made).index(name))
        self.turned.emit(name)


def _scrollable(page: QWidget) -> QScrollArea:
    """A page that needs more room than a small screen has gets a bar, not the screen."""
    area = QScrollArea()
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setWidget(page)
    area.setAccessibleName(page.accessibleName())
    return area
