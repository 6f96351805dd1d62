"""The pages and the list that chooses among them. A page is made when it is first shown."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QListWidget, QScrollArea, QStackedWidget, QWidget

from gui.window.page_list import PAGES, PageContext
from gui.window.shift_page import ShiftPage

_BESIDE_TITLES = 8


class PageSwitcher(QWidget):
    """Shows one page at a time, the first one to begin with."""

    def __init__(self, context: PageContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._made: dict[str, QWidget] = {}
        self.list = QListWidget()
        self.list.setAccessibleName("pages")
        for page in PAGES.values():
            self.list.addItem(page.title)
            self.list.item(self.list.count() - 1).setToolTip(page.help)
        wide = self.list.sizeHintForColumn(0) + 2 * self.list.frameWidth() + _BESIDE_TITLES
        self.list.setFixedWidth(wide)
        self.stack = QStackedWidget()
        self.list.currentRowChanged.connect(self._show_row)
        self.list.setCurrentRow(0)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.list)
        row.addWidget(self.stack, 1)

    @property
    def current(self) -> QWidget:
        """The page that is looked at."""
        return list(self._made.values())[self.stack.currentIndex()]

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
        self.list.setCurrentRow(list(PAGES).index(name))
        return True

    def step(self, by: int) -> None:
        """Show the page so many further on in the list, which goes round."""
        self.list.setCurrentRow((self.list.currentRow() + by) % self.list.count())

    def _show_row(self, row: int) -> None:
        name, page = list(PAGES.items())[row]
        if name not in self._made:
            self._made[name] = page.make(self._context)
            self.stack.addWidget(_scrollable(self._made[name]))
        self.stack.setCurrentIndex(list(self._made).index(name))


def _scrollable(page: QWidget) -> QScrollArea:
    """A page that needs more room than a small screen has gets a bar, not the screen."""
    area = QScrollArea()
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setWidget(page)
    area.setAccessibleName(page.accessibleName())
    return area
