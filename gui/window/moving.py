"""Ways through the window by keys: pages, parts, stops, playing."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu

if TYPE_CHECKING:
    from gui.window.main_window import MainWindow


def add_pages(window: MainWindow, menu: QMenu) -> None:
    """The page and the part beside the one in hand."""
    pages = window.page_list
    _add(menu, "Ne&xt page", "Ctrl+PgDown", lambda: _turn(1))
    _add(menu, "Pre&vious page", "Ctrl+PgUp", lambda: _turn(-1))
    _add(menu, "Next p&art of the window", "F6", lambda: window.go_to_part(forward=True))
    _add(menu, "Part &before", "Shift+F6", lambda: window.go_to_part(forward=False))

    def _turn(step: int) -> None:
        pages.setCurrentRow((pages.currentRow() + step) % pages.count())


def add_moments(window: MainWindow, menu: QMenu) -> None:
    """Through the run: from stop to stop, and playing."""
    page = window.shift_page
    _add(menu, "&Next stop", "F3", lambda: page.strip.step(1))
    _add(menu, "&Previous stop", "Shift+F3", lambda: page.strip.step(-1))
    _add(menu, "P&lay or pause", "F7", page.plan.player.toggle)


def _add(menu: QMenu, text: str, keys: str, do: Callable[[], object]) -> None:
    action = menu.addAction(text)
    action.setShortcut(QKeySequence(keys))
    action.triggered.connect(lambda *_: do())
