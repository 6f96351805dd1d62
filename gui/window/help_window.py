"""The manual beside the window: chapters on the left, the text, and words found in it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QTextBlock, QTextCursor
from PySide6.QtWidgets import (
    QDialog,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import KEPT, NEAR, FindRow, spaced
from gui.window.manual_text import ManualText

_COLUMNS, _ROWS = 136, 44
_NARROW = 32
"""The list of chapters, in letters."""


class HelpWindow(QDialog):
    """One chapter is shown at a time; words are found wherever they stand."""

    def __init__(self, parent: QWidget | None = None, folder: Path = linesim.manual.FOLDER) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Help")
        self.setModal(False)
        chapters = linesim.manual.chapters(folder)
        self._names = [chapter.name for chapter in chapters]
        self.text = ManualText(folder)
        self.text.setAccessibleName("help")
        self.text.show_chapters([f"# {each.title}\n\n{each.markdown}" for each in chapters])
        self.text.anchorClicked.connect(self._follow)
        self.list = QListWidget()
        self.list.setAccessibleName("chapters")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setWordWrap(True)
        for document in self.text.documents():
            QListWidgetItem(document.begin().text(), self.list)
        self.list.currentRowChanged.connect(self._turn)
        self.find = FindRow(self.text)
        self.text.turned.connect(self._mark_row)
        self._parts = parts = QSplitter()
        parts.setChildrenCollapsible(False)
        parts.addWidget(self.list)
        parts.addWidget(self.text)
        parts.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        layout.addWidget(self.find)
        layout.addWidget(parts, 1)
        letter = self.fontMetrics().averageCharWidth()
        self.resize(QSize(letter * _COLUMNS, self.fontMetrics().height() * _ROWS))
        self._share()
        KEPT.arrange(parts, self._share)
        KEPT.splitter(parts, "help")
        KEPT.window(self)

    def _share(self) -> None:
        letter = self.fontMetrics().averageCharWidth()
        self._parts.setSizes([letter * _NARROW, letter * (_COLUMNS - _NARROW)])

    @staticmethod
    def shown_in(window: QWidget) -> HelpWindow | None:
        """The one that is open beside a window."""
        found = window.findChildren(HelpWindow)
        return next((each for each in found if not each.isHidden()), None)

    def open_chapter(self, name: str, heading: str = "") -> bool:
        """Show a chapter, from a heading in it on; False where there is none of that name.

        The heading may be given as links give it.
        """
        if name not in self._names:
            return False
        row = self._names.index(name)
        found = self._called(heading, row) if heading else None
        self._scroll_to(row, found or self.text.documents()[row].begin())
        return True

    def open_heading(self, *headings: str) -> None:
        """Show the first of these headings that there is, in whatever chapter."""
        for heading in headings:
            for row in range(len(self._names)):
                found = self._called(heading, row)
                if found is not None:
                    self._scroll_to(row, found)
                    return

    def _called(self, heading: str, row: int) -> QTextBlock | None:
        """The first heading of a chapter that is called so."""
        wanted = linesim.manual.anchor_of(heading)
        block = self.text.documents()[row].begin()
        while block.isValid():
            named = block.blockFormat().headingLevel() > 0
            if named and linesim.manual.anchor_of(block.text()) == wanted:
                return block
            block = block.next()
        return None

    def _turn(self, row: int) -> None:
        if row >= 0:
            self._scroll_to(row, self.text.documents()[row].begin())

    def _mark_row(self, row: int) -> None:
        self.list.blockSignals(True)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)

    def _scroll_to(self, row: int, block: QTextBlock) -> None:
        """The heading to the top; Qt by itself brings it only into view."""
        self.text.turn_to(self.text.documents()[row])
        self._mark_row(row)
        self.text.setTextCursor(QTextCursor(block))
        bar = self.text.verticalScrollBar()
        bar.setValue(bar.value() + self.text.cursorRect().top() - NEAR)

    def _follow(self, link: QUrl) -> None:
        if link.scheme() in ("http", "https"):
            with linesim.platforms.starting_another_program():
                QDesktopServices.openUrl(link)
        else:
            here = self._names[max(0, self.list.currentRow())]
            name = linesim.manual.name_of(link.path())
            self.open_chapter(name or here, link.fragment())
