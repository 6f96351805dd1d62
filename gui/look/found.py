"""Where words stand on screen: in texts, cells, charts, on labels; letters' case is one.

What lies in a tab that is not looked at is found as well; what is folded away or hidden is not.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, Qt
from PySide6.QtGui import QTextCursor, QTextDocument, QTextDocumentFragment
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QListView,
    QPlainTextEdit,
    QScrollArea,
    QTableView,
    QTabWidget,
    QTextEdit,
    QWidget,
)

TextPart = QTextEdit | QPlainTextEdit
CellsPart = QTableView | QListView
_DIRECT = Qt.FindChildOption.FindDirectChildrenOnly
_LETTER = re.compile(r"&(.)")
"""The letter of a button or label that leads to it with Alt."""


@runtime_checkable
class SaysByPoint(Protocol):
    """A chart: what it says at each of its points, and saying it."""

    def said_at_points(self) -> Sequence[str]:
        """In the order in which keys step through it."""

    def read_point(self, number: int | None) -> None:
        """Have it in view, with its words beside it; None: no more."""


@runtime_checkable
class HasChapters(Protocol):
    """A text of which one chapter is laid out at a time; words are found in all."""

    def documents(self) -> Sequence[QTextDocument]:
        """All chapters, in order."""

    def turn_to(self, document: QTextDocument) -> None:
        """Show a chapter."""


@dataclass(frozen=True)
class Place:
    """Where words stand: a stretch of a text, a cell, a point, or all that a label says."""

    part: QWidget
    cursor: QTextCursor | None = None
    cell: tuple[int, int] | None = None
    point: int | None = None

    def bring_into_view(self) -> None:
        """Turn to the tab it is in and scroll to it."""
        around = self.part.parentWidget()
        while around is not None:
            if isinstance(around, QTabWidget):
                turn_to(around, self.part)
            around = around.parentWidget()
        if isinstance(self.part, SaysByPoint) and self.point is not None:
            self.part.read_point(self.point)
        area = self._area()
        around = self.part.parentWidget()
        while around is not None:
            if isinstance(around, QScrollArea):
                inner = around.widget()
                middle = self.part.mapTo(inner, area.center())
                around.ensureVisible(
                    middle.x(), middle.y(), area.width() // 2 + 1, area.height() // 2 + 1
                )
            around = around.parentWidget()

    def _area(self) -> QRect:
        """Where it is in its part, which scrolls to it."""
        if isinstance(self.part, TextPart) and self.cursor is not None:
            if isinstance(self.part, HasChapters):
                self.part.turn_to(self.cursor.document())
            cursor = QTextCursor(self.cursor)
            cursor.clearSelection()
            self.part.setTextCursor(cursor)
            self.part.ensureCursorVisible()
            inner = self.part.cursorRect()
        elif isinstance(self.part, CellsPart) and self.cell is not None:
            index = index_of(self.part, self.cell)
            self.part.scrollTo(index)
            inner = self.part.visualRect(index)
        else:
            return self.part.rect()
        return inner.translated(self.part.viewport().mapTo(self.part, QPoint(0, 0)))


def places(where: QWidget, words: str) -> Iterator[Place]:
    """All places in a widget where the words stand, as one reads."""
    if words:
        for part in _parts(where, where):
            yield from _places_of(part, words)


def says(index: QModelIndex | QPersistentModelIndex, words: str) -> bool:
    """Whether the words stand in a cell."""
    return bool(words) and words.casefold() in _as_typed(str(index.data() or ""))


def index_of(part: CellsPart, cell: tuple[int, int]) -> QModelIndex:
    """The cell in its model."""
    return part.model().index(*cell)


def turn_to(tabs: QTabWidget, part: QWidget) -> None:
    """Show the tab that a part is in."""
    for number in range(tabs.count()):
        if tabs.widget(number) is part or tabs.widget(number).isAncestorOf(part):
            tabs.setCurrentIndex(number)


def _parts(widget: QWidget, top: QWidget) -> Iterator[QWidget]:
    """What can be read in a widget; ``top`` is the tab or the page that counts as shown."""
    if widget is not top and not widget.isVisibleTo(top):
        return
    if isinstance(widget, QTabWidget):
        for number in range(widget.count()):
            yield from _parts(widget.widget(number), widget.widget(number))
        return
    yield widget
    if isinstance(widget, QComboBox | QAbstractSpinBox):
        return
    inner = widget.findChildren(QWidget, options=_DIRECT)
    for each in sorted(inner, key=lambda part: (part.y(), part.x())):
        if not each.isWindow():
            yield from _parts(each, top)


def _places_of(part: QWidget, words: str) -> Iterator[Place]:
    if isinstance(part, TextPart):
        for document in part.documents() if isinstance(part, HasChapters) else [part.document()]:
            cursor = document.find(words)
            while not cursor.isNull():
                yield Place(part, cursor=cursor)
                cursor = document.find(words, cursor)
    elif isinstance(part, CellsPart):
        model = part.model()
        # Of a model that is a list PySide gives no columns away.
        one = (part.modelColumn(),) if isinstance(part, QListView) else None
        for row in range(model.rowCount()):
            for column in one or range(model.columnCount()):
                if says(model.index(row, column), words):
                    yield Place(part, cell=(row, column))
    elif isinstance(part, SaysByPoint):
        for number, said in enumerate(part.said_at_points()):
            if words.casefold() in said.casefold():
                yield Place(part, point=number)
    elif words.casefold() in _as_typed(_said_on(part)):
        yield Place(part)


def _as_typed(text: str) -> str:
    """With blanks where lines must not be broken."""
    return text.replace("\u00a0", " ").casefold()


def _said_on(part: QWidget) -> str:
    if isinstance(part, QLabel):
        text = part.text()
        if part.textFormat() != Qt.TextFormat.PlainText and "<" in text:
            return QTextDocumentFragment.fromHtml(text).toPlainText()
        return _LETTER.sub(r"\1", text)
    if isinstance(part, QAbstractButton):
        return _LETTER.sub(r"\1", part.text())
    return part.currentText() if isinstance(part, QComboBox) else ""
