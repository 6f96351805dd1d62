"""Marks on what was found: a line around each place, and the one that is looked at filled."""

from __future__ import annotations

from collections.abc import Sequence
from weakref import WeakKeyDictionary

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen, QTextCharFormat
from PySide6.QtWidgets import (
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTextEdit,
    QWidget,
)
from shiboken6 import isValid

from gui.look.found import CellsPart, Place, SaysByPoint, TextPart, says

_Index = QModelIndex | QPersistentModelIndex
_Role = QPalette.ColorRole
_LINE, _LINE_HERE = 1.0, 3.0
"""Width of the line around a place, and around the one that is looked at, px."""
_OURS = int(QTextCharFormat.Property.UserProperty) + 1
"""Tells marks of what was found from those that a text has anyway."""


class FoundMarks:
    """The marks that are on screen now."""

    def __init__(self) -> None:
        self._texts: list[TextPart] = []
        self._cells: WeakKeyDictionary[CellsPart, _MarkedCells] = WeakKeyDictionary()
        self._frames: list[_Frame] = []
        self._read: SaysByPoint | None = None

    def show(self, found: Sequence[Place], at: int, words: str) -> None:
        """Mark these and no others; ``at`` is the number of the one that is looked at."""
        texts: dict[TextPart, list[QTextEdit.ExtraSelection]] = {}
        framed: dict[QWidget, bool] = {}
        for cells in self._cells.values():
            cells.mark("", None)
        for number, place in enumerate(found):
            here = number == at
            if isinstance(place.part, TextPart):
                marks = texts.setdefault(place.part, [])
                if place.cursor is not None and place.cursor.document() == place.part.document():
                    marks.append(_text_mark(place, here=here))
            elif isinstance(place.part, CellsPart):
                marked = self._of(place.part)
                marked.mark(words, place.cell if here else marked.here)
            else:
                framed[place.part] = here or framed.get(place.part, False)
        for text in self._texts:
            if text not in texts and isValid(text):
                _mark_text(text, [])
        for text, marks in texts.items():
            _mark_text(text, marks)
        read = found[at].part if found else None
        if self._read is not None and self._read is not read and isValid(self._read):
            self._read.read_point(None)
        self._read = read if isinstance(read, SaysByPoint) else None
        for frame in self._frames:
            if isValid(frame):
                frame.hide()
                frame.deleteLater()
        self._texts = list(texts)
        self._frames = [_Frame(part, here=here) for part, here in framed.items()]

    def _of(self, part: CellsPart) -> _MarkedCells:
        if part not in self._cells:
            self._cells[part] = _MarkedCells(part)
            # It stays: without marks it draws as the one before it did.
            part.setItemDelegate(self._cells[part])
        return self._cells[part]


def _text_mark(place: Place, *, here: bool) -> QTextEdit.ExtraSelection:
    palette = place.part.palette()
    mark = QTextEdit.ExtraSelection()
    look = QTextCharFormat()
    look.setBackground(palette.color(_Role.Highlight if here else _Role.AlternateBase))
    look.setForeground(palette.color(_Role.HighlightedText if here else _Role.Text))
    look.setFontUnderline(True)
    look.setProperty(_OURS, True)
    mark.format = look  # type: ignore[attr-defined]
    mark.cursor = place.cursor  # type: ignore[attr-defined]
    return mark


def _mark_text(text: TextPart, marks: list[QTextEdit.ExtraSelection]) -> None:
    others = [
        each
        for each in text.extraSelections()
        if not each.format.hasProperty(_OURS)  # type: ignore[attr-defined]
    ]
    text.setExtraSelections([*others, *marks])


class _MarkedCells(QStyledItemDelegate):
    """Draws the cells of a table or list, and the marks on those that have the words."""

    def __init__(self, part: CellsPart) -> None:
        super().__init__(part)
        self._part = part
        self._words = ""
        self.here: tuple[int, int] | None = None

    def mark(self, words: str, here: tuple[int, int] | None) -> None:
        """Mark all cells with the words."""
        self._words, self.here = words, here
        if isValid(self._part):
            self._part.viewport().update()

    def initStyleOption(self, option: QStyleOptionViewItem, index: _Index) -> None:
        super().initStyleOption(option, index)
        if self._words and self.here == (index.row(), index.column()):
            palette: QPalette = option.palette
            option.backgroundBrush = palette.brush(_Role.Highlight)
            palette.setBrush(_Role.Text, palette.brush(_Role.HighlightedText))
            option.palette = palette

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        super().paint(painter, option, index)
        if says(index, self._words):
            here = self.here == (index.row(), index.column())
            _draw_frame(painter, QRectF(option.rect), option.palette, here=here)


class _Frame(QWidget):
    """A line around a widget that says the words; it is in nobody's way."""

    def __init__(self, around: QWidget, *, here: bool) -> None:
        super().__init__(around)
        self._here = here
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setGeometry(around.rect())
        around.installEventFilter(self)
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self.setGeometry(watched.rect())
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        _draw_frame(painter, QRectF(self.rect()), self.palette(), here=self._here)
        painter.end()


def _draw_frame(painter: QPainter, box: QRectF, palette: QPalette, *, here: bool) -> None:
    width = _LINE_HERE if here else _LINE
    painter.save()
    painter.setPen(QPen(palette.color(_Role.Highlight), width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box.adjusted(width / 2, width / 2, -width / 2, -width / 2))
    painter.restore()
