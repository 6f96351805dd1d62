"""The manual beside the window: chapters on the left, the text, and words found in it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QUrl
from PySide6.QtGui import (
    QDesktopServices,
    QKeySequence,
    QMouseEvent,
    QShortcut,
    QTextBlock,
    QTextCursor,
)
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import KEPT, NEAR, FindRow, set_icon, spaced
from gui.window.manual_text import ManualText
from gui.window.trail import Place, Trail

_COLUMNS, _ROWS = 152, 44
"""What is printed by commands is a hundred letters wide, and stands beside the list."""
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
        self.text.leaving.connect(self._leave_for_words)
        self._trail, self._read, self._at_words, self._going = Trail(), False, False, False
        keys = QKeySequence.StandardKey
        self.back = self._way("back", "to what was read before", keys.Back, self.go_back)
        self.forward = self._way("forward", "to where Back was taken", keys.Forward, self.go_on)
        for view in (self.list, self.text):
            view.viewport().installEventFilter(self)
        self._parts = parts = QSplitter()
        parts.setChildrenCollapsible(False)
        parts.addWidget(self.list)
        parts.addWidget(self.text)
        parts.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        spaced(layout, NEAR, NEAR)
        head = QHBoxLayout()
        for part in (self.back, self.forward, self.find):
            head.addWidget(part)
        layout.addLayout(head)
        layout.addWidget(parts, 1)
        self._offer_ways()
        # Words can be typed at once; keys that read on are passed to the text.
        self.find.words.setFocus()
        letter = self.fontMetrics().averageCharWidth()
        self.resize(QSize(letter * _COLUMNS, self.fontMetrics().height() * _ROWS))
        self._share()
        KEPT.arrange(parts, self._share)
        KEPT.splitter(parts, "help")
        KEPT.window(self)

    def _way(
        self, icon: str, words: str, keys: QKeySequence.StandardKey, go: Callable[[], None]
    ) -> QToolButton:
        shortcut = QShortcut(self)
        shortcut.setKeys(keys)
        shortcut.activated.connect(go)
        button = QToolButton()
        set_icon(button, icon)
        name = shortcut.key().toString(QKeySequence.SequenceFormat.NativeText)
        tip = f"{icon.capitalize()}, {words} ({name})"
        button.setToolTip(tip)
        button.setAccessibleName(f"{icon}, {words}")
        button.clicked.connect(go)
        return button

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

    def go_back(self) -> None:
        """To what was read before, as far down as it was."""
        if self._trail.can_go_back:
            self._go_to(self._trail.back(self._here))

    def go_on(self) -> None:
        """To where one went back from."""
        if self._trail.can_go_forward:
            self._go_to(self._trail.forward(self._here))

    @property
    def _here(self) -> Place:
        """Not by the list: where somebody chooses in it, it is there already."""
        chapter = self.text.documents().index(self.text.document())
        return Place(chapter, self.text.verticalScrollBar().value())

    def _go_to(self, place: Place) -> None:
        self._show(place.chapter)
        self.text.verticalScrollBar().setValue(place.y)
        self._offer_ways()

    def _show(self, chapter: int) -> None:
        self._going = True
        self.text.turn_to(self.text.documents()[chapter])
        self._going = self._at_words = False
        self._mark_row(chapter)

    def _leave_for_words(self) -> None:
        """From one place to the next where words stand is one way, which leads back at once."""
        if self._read and not self._going and not self._at_words:
            self._at_words = True
            self._trail.leave(self._here)
            self._offer_ways()

    def _offer_ways(self) -> None:
        self.back.setEnabled(self._trail.can_go_back)
        self.forward.setEnabled(self._trail.can_go_forward)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A mouse may have keys of its own for back and forward."""
        ways = {
            Qt.MouseButton.BackButton: self.go_back,
            Qt.MouseButton.ForwardButton: self.go_on,
        }
        pressed = isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseButtonPress
        if pressed and event.button() in ways:
            ways[event.button()]()
            return True
        return super().eventFilter(watched, event)

    def _turn(self, row: int) -> None:
        if row >= 0:
            self._scroll_to(row, self.text.documents()[row].begin())

    def _mark_row(self, row: int) -> None:
        self.list.blockSignals(True)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)

    def _scroll_to(self, row: int, block: QTextBlock) -> None:
        """The heading to the top; Qt by itself brings it only into view."""
        if self._read:
            self._trail.leave(self._here)
        self._read = True
        self._show(row)
        self.text.setTextCursor(QTextCursor(block))
        bar = self.text.verticalScrollBar()
        bar.setValue(bar.value() + self.text.cursorRect().top() - NEAR)
        self._offer_ways()

    def _follow(self, link: QUrl) -> None:
        if link.scheme() in ("http", "https"):
            with linesim.platforms.starting_another_program():
                QDesktopServices.openUrl(link)
        else:
            here = self._names[max(0, self.list.currentRow())]
            name = linesim.manual.name_of(link.path())
            self.open_chapter(name or here, link.fragment())
