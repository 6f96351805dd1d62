"""The text of the scenario file, for who would rather write it; faults stand at their lines."""

from __future__ import annotations

import itertools

from PySide6.QtCore import QEvent, QMimeData, QRect, QSize, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
    QTextCursor,
    QTextFormat,
)
from PySide6.QtWidgets import QPlainTextEdit, QTextEdit, QWidget

from gui.document import Document
from gui.form.controls import REST_MS, is_undo, undo_in_document, undone
from gui.form.field_row import fault_text
from gui.look import fixed_font, palette_of, plain_tip
from linesim.record import State


class TextPage(QPlainTextEdit):
    """The text, checked as it is typed; undo is the document's."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setUndoRedoEnabled(False)
        self.setFont(fixed_font())
        self.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.setAccessibleName("text of the scenario file")
        self.setTabChangesFocus(True)
        self.faults: dict[int, list[str]] = {}
        # Tab moves on, as everywhere in the window: TOML needs none.
        self.setTabChangesFocus(True)
        self._margin = _Margin(self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._emit)
        self._taking = False
        self.textChanged.connect(self._typed)
        self.blockCountChanged.connect(lambda _: self._make_room())
        self.updateRequest.connect(lambda *_: self._margin.update())
        self.refresh()

    def canInsertFromMimeData(self, source: QMimeData) -> bool:
        """Text; files that are dropped are the window's to open."""
        files = any(url.isLocalFile() for url in source.urls())
        return not files and super().canInsertFromMimeData(source)

    def flush(self) -> None:
        """Give the document what was typed and not given yet."""
        if self._rest.isActive():
            self._rest.stop()
            self._emit()

    def refresh(self) -> None:
        """Show the document's text and faults; the cursor stays in its place in the text."""
        if not self._rest.isActive():
            self._take(self._document.text.removeprefix("\ufeff").replace("\r\n", "\n"))
        self.faults = {}
        for fault in self._document.faults:
            words = f"{fault.field}: {fault_text(fault)}" if fault.field else fault_text(fault)
            self.faults.setdefault(fault.line or 1, []).append(words)
        self._mark()
        self._make_room()

    def go_to_line(self, line: int) -> None:
        """Put the cursor at the start of a line (from 1)."""
        block = self.document().findBlockByNumber(max(0, line - 1))
        self.setTextCursor(QTextCursor(block))
        self.centerCursor()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and is_undo(event):
            self.flush()
            event.ignore()
            return False
        if event.type() == QEvent.Type.ToolTip:
            line = self.cursorForPosition(event.pos()).blockNumber() + 1  # type: ignore[attr-defined]
            self.setToolTip(plain_tip("\n".join(self.faults.get(line, []))))
        if event.type() == QEvent.Type.ApplicationFontChange:
            # A letter of its own does not grow with the others by itself.
            self.setFont(fixed_font())
        return super().event(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        menu = self.createStandardContextMenu()
        undo_in_document(menu, self._document, self.flush)
        menu.popup(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not undone(event, self._document, self.flush):
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.flush()
        super().focusOutEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        inner = self.contentsRect()
        self._margin.setGeometry(QRect(inner.topLeft(), QSize(self.margin_px, inner.height())))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "faults"):
            self._mark()

    @property
    def margin_px(self) -> int:
        """Width of the margin with the line numbers."""
        digits = len(str(self.blockCount()))
        return self.fontMetrics().horizontalAdvance("9") * (digits + 3)

    def paint_margin(self, painter: QPainter) -> None:
        """Line numbers, quiet; a sign at the lines that have faults."""
        quiet = self.palette().color(QPalette.ColorRole.PlaceholderText)
        error = QColor(palette_of(self).trouble)
        block = self.firstVisibleBlock()
        top = self.blockBoundingGeometry(block).translated(self.contentOffset()).top()
        height = self.fontMetrics().height()
        painter.setFont(self.font())
        while block.isValid() and top < self.viewport().height():
            line = block.blockNumber() + 1
            painter.setPen(error if line in self.faults else quiet)
            words = f"▲ {line}" if line in self.faults else str(line)
            box = QRect(0, round(top), self.margin_px - 6, height)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight, words)
            top += self.blockBoundingRect(block).height()
            block = block.next()

    def _typed(self) -> None:
        if not self._taking:
            self._rest.start()

    def _emit(self) -> None:
        self._document.set_text(self.toPlainText())

    def _take(self, text: str) -> None:
        """Change only what differs, so that the cursor and the view stay."""
        old = self.toPlainText()
        if text == old:
            return
        pairs = itertools.takewhile(lambda pair: pair[0] == pair[1], zip(old, text, strict=False))
        start = sum(1 for _ in pairs)
        rest = zip(reversed(old[start:]), reversed(text[start:]), strict=False)
        end = sum(1 for _ in itertools.takewhile(lambda pair: pair[0] == pair[1], rest))
        cursor = QTextCursor(self.document())
        cursor.setPosition(_units(old[:start]))
        cursor.setPosition(_units(old[: len(old) - end]), QTextCursor.MoveMode.KeepAnchor)
        self._taking = True
        cursor.insertText(text[start : len(text) - end])
        self._taking = False

    def _mark(self) -> None:
        colour = QColor(palette_of(self).fills[State.DOWN])
        colour.setAlphaF(0.18)
        marks = []
        for line in self.faults:
            mark = QTextEdit.ExtraSelection()
            mark.cursor = QTextCursor(self.document().findBlockByNumber(line - 1))
            mark.format.setBackground(colour)
            mark.format.setProperty(QTextFormat.Property.FullWidthSelection, True)
            marks.append(mark)
        self.setExtraSelections(marks)
        self._margin.update()

    def _make_room(self) -> None:
        self.setViewportMargins(self.margin_px, 0, 0, 0)


class _Margin(QWidget):
    def __init__(self, page: TextPage) -> None:
        super().__init__(page)
        self._page = page

    def paintEvent(self, event: QPaintEvent) -> None:
        self._page.paint_margin(QPainter(self))


def _units(text: str) -> int:
    """Length as Qt counts it: characters outside the first plane are two."""
    return len(text) + sum(ord(letter) > 0xFFFF for letter in text)
