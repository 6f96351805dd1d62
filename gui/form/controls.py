"""The plain controls of the form: they wait for a rest in typing, and undo is the document's."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QWheelEvent,
)
from PySide6.QtWidgets import QComboBox, QLineEdit, QMenu, QToolButton, QWidget

from gui.document import Document

REST_MS = 150
"""How long typing must rest before what was typed is checked."""


class TypedLine(QLineEdit):
    """A line that tells what was typed once typing rests, and at once when it is left."""

    rested = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAcceptDrops(False)  # Files are the window's to open.
        self._document = document
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._emit)
        self.textEdited.connect(lambda _: self._rest.start())
        self.editingFinished.connect(self.flush)

    def flush(self) -> None:
        """Tell now what was typed and not told yet."""
        if self._rest.isActive():
            self._rest.stop()
            self._emit()

    @property
    def waiting(self) -> bool:
        """Whether something was typed and not told yet."""
        return self._rest.isActive()

    def show_text(self, text: str) -> None:
        """Show *text* where the form, not the user, changes it."""
        self._rest.stop()
        if text != self.text():
            self.setText(text)
            if not self.hasFocus():
                # Of one that is longer than the line the beginning is read.
                self.setCursorPosition(0)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and is_undo(event):
            self.flush()
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.flush()  # What was typed a moment ago is put back, too.
        if not undone(event, self._document, self.flush):
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        menu = self.createStandardContextMenu()
        undo_in_document(menu, self._document, self.flush)
        if self.actions():
            menu.addSeparator()
            menu.addActions(self.actions())
        menu.popup(event.globalPos())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.flush()
        super().focusOutEvent(event)

    def _emit(self) -> None:
        self.rested.emit(self.text())


class PutBack(QToolButton):
    """Puts back what the file says; Esc in its field does the same.

    Tab passes it over: it appears below a field that was just typed into, and whoever fills in
    one field after the other would type the next figure into it.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoRaise(True)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.setToolTip("Put back what the file says (Esc)")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def clicked_by(self, event: QKeyEvent) -> bool:
        """Whether these keys, pressed in its field, meant it."""
        meant = event.key() == Qt.Key.Key_Escape and not self.isHidden()
        if meant:
            self.click()
        return meant


class CalmCombo(QComboBox):
    """A choice that a turning wheel passes over unless it has the keyboard."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(11)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


REDO = ("Ctrl+Y", "Ctrl+Shift+Z")
"""Systems differ in which of them they know; both mean it on every one."""


def is_undo(event: QEvent) -> bool:
    """Whether these keys mean undo or redo."""
    if not isinstance(event, QKeyEvent):
        return False
    return event.matches(QKeySequence.StandardKey.Undo) or _is_redo(event)


def _is_redo(event: QKeyEvent) -> bool:
    pressed = QKeySequence(event.keyCombination())
    return any(pressed == QKeySequence(keys) for keys in REDO)


def undo_in_document(menu: QMenu, document: Document, flush: Callable[[], None]) -> None:
    """Let undo and redo of a text's own menu be the document's, as their keys are.

    The menu goes when it is closed.
    """
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    flush()
    ways = {
        "edit-undo": (document.undo, document.can_undo),
        "edit-redo": (document.redo, document.can_redo),
    }
    for own in menu.actions():
        if own.objectName() in ways:
            act, can = ways[own.objectName()]
            ours = QAction(own.text(), menu)
            ours.setEnabled(can)
            ours.triggered.connect(act)
            menu.insertAction(own, ours)
            menu.removeAction(own)


def undone(event: QKeyEvent, document: Document, flush: object) -> bool:
    """Undo or redo in the document if *event* asks for it, after what is still under way."""
    if not is_undo(event):
        return False
    if callable(flush):
        flush()
    if event.matches(QKeySequence.StandardKey.Undo):
        document.undo()
    else:
        document.redo()
    return True
