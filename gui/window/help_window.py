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
_CHAPTER = 1
"""The level of heading that only chapters have."""


class HelpWindow(QDialog):
    """All chapters are one text, so that words are found wherever they stand."""

    def __init__(self, parent: QWidget | None = None, folder: Path = linesim.manual.FOLDER) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Help")
        self.setModal(False)
        chapters = linesim.manual.chapters(folder)
        self._names = [chapter.name for chapter in chapters]
        self.text = ManualText(folder)
        self.text.setAccessibleName("help")
        whole = "\n\n".join(f"# {each.title}\n\n{each.markdown.strip()}" for each in chapters)
        self.text.show_markdown(whole)
        self.text.anchorClicked.connect(self._follow)
        self.list = QListWidget()
        self.list.setAccessibleName("chapters")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setWordWrap(True)
        for block in self._headings(_CHAPTER):
            QListWidgetItem(block.text(), self.list)
        self.list.currentRowChanged.connect(self._turn)
        self.find = FindRow(self.text)
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
        chapter = list(self._headings(_CHAPTER))[self._names.index(name)]
        found = self._called(heading) if heading else []
        start = next((each for each in found if each.position() > chapter.position()), chapter)
        self.list.blockSignals(True)
        self.list.setCurrentRow(self._names.index(name))
        self.list.blockSignals(False)
        self._scroll_to(start)
        return True

    def open_heading(self, *headings: str) -> None:
        """Show the first of these headings that there is, in whatever chapter."""
        block = next((found[0] for found in map(self._called, headings) if found), None)
        if block is not None:
            starts = [each.position() for each in self._headings(_CHAPTER)]
            row = sum(start <= block.position() for start in starts) - 1
            self.open_chapter(self._names[row], block.text())

    def _called(self, heading: str) -> list[QTextBlock]:
        wanted = linesim.manual.anchor_of(heading)
        return [b for b in self._headings() if linesim.manual.anchor_of(b.text()) == wanted]

    def _headings(self, level: int = 0) -> list[QTextBlock]:
        """Those of a level; of all levels where none is named."""
        found, block = [], self.text.document().begin()
        while block.isValid():
            of = block.blockFormat().headingLevel()
            if of == level if level else of:
                found.append(block)
            block = block.next()
        return found

    def _turn(self, row: int) -> None:
        if row >= 0:
            self._scroll_to(self._headings(_CHAPTER)[row])

    def _scroll_to(self, block: QTextBlock) -> None:
        """The heading to the top; Qt by itself brings it only into view."""
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
