"""The pages, each made when it is first shown: the window need not wait for all of them."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from gui.window.page_list import PAGES, Parts


class PageStack(QStackedWidget):
    """Shows one page at a time."""

    page_made = Signal(str, QWidget)
    """A page was shown for the first time: its name, and itself."""

    def __init__(self, parts: Parts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._parts = parts
        self.made: dict[str, QWidget] = {}
        """The pages shown so far, by name."""

    def show_page(self, name: str) -> None:
        """Show a page of ``PAGES``; raises KeyError for a name that is none."""
        page = self.made.get(name)
        if page is None:
            page = self.made[name] = PAGES[name].make(self._parts)
            self.addWidget(page)
            self.page_made.emit(name, page)
        self.setCurrentWidget(page)

    def show_number(self, number: int) -> None:
        """Show the page at this place of ``PAGES``."""
        self.show_page(list(PAGES)[number])
