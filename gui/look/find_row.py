"""Finding words in what is on screen."""

from __future__ import annotations

from itertools import islice

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QAbstractSlider,
    QApplication,
    QHBoxLayout,
    QLineEdit,
    QToolButton,
    QWidget,
)
from shiboken6 import isValid

from gui.look.found import Place, places
from gui.look.found_marks import FoundMarks
from gui.look.icons import set_icon
from gui.look.label import QuietLabel
from gui.look.spacing import NEAR, spaced

_Slide = QAbstractSlider.SliderAction
_READS_ON = {
    Qt.Key.Key_Up: _Slide.SliderSingleStepSub,
    Qt.Key.Key_Down: _Slide.SliderSingleStepAdd,
    Qt.Key.Key_PageUp: _Slide.SliderPageStepSub,
    Qt.Key.Key_PageDown: _Slide.SliderPageStepAdd,
}
_MOST_MARKED = 500
"""Of what is found; that many nobody looks through."""


class FindRow(QWidget):
    """Marks all places where the words stand, and goes from one to the next.

    One that ``closes`` is hidden until somebody begins; Esc hides it and gives the keyboard back.
    One that stays begins by Ctrl+F within its window.
    """

    def __init__(
        self, where: QWidget, parent: QWidget | None = None, *, closes: bool = False
    ) -> None:
        super().__init__(parent)
        self._where, self._closes = where, closes
        self._found: list[Place] = []
        self._at = 0
        self._marks = FoundMarks()
        self._before: QWidget | None = None
        self.words = QLineEdit()
        self.words.setPlaceholderText("Find words")
        self.words.setAccessibleName("find words")
        self.words.setAcceptDrops(False)  # Files are the window's to open.
        self.words.setClearButtonEnabled(True)
        self.words.textChanged.connect(self.find_all)
        self.words.installEventFilter(self)
        self.said = QuietLabel()
        self.said.setWordWrap(False)
        self._row = QHBoxLayout(self)
        spaced(self._row, NEAR, NEAR if closes else 0)
        self._row.addWidget(self.words, 1)
        self._button("previous", "the place before").clicked.connect(lambda: self.step(-1))
        self._button("next", "the next place").clicked.connect(lambda: self.step(1))
        self._row.addWidget(self.said)
        if closes:
            self._button("close", "close and go back").clicked.connect(self.end)
            self.hide()
        else:
            keys = QShortcut(QKeySequence(QKeySequence.StandardKey.Find), self)
            keys.setContext(Qt.ShortcutContext.WindowShortcut)
            keys.activated.connect(self.begin)

    def _button(self, icon: str, words: str) -> QToolButton:
        button = QToolButton(self)
        button.setToolTip(words)
        button.setAccessibleName(words)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        set_icon(button, icon)
        self._row.addWidget(button)
        return button

    def look_in(self, where: QWidget) -> None:
        """From now on look there."""
        self._where = where
        if not self.isHidden():
            self.find_all()

    def begin(self) -> None:
        """Go to where the words are typed."""
        had = QApplication.focusWidget()
        if had is not None and not self.isAncestorOf(had):
            self._before = had
        if self.isHidden():
            self.show()
            self.find_all()
        self.words.setFocus()
        self.words.selectAll()

    def end(self) -> None:
        """Take the marks away and give the keyboard back to what had it."""
        self._found = []
        self._marks.show((), 0, "")
        before, self._before = self._before, None
        if before is not None and isValid(before) and before.isVisible():
            before.setFocus()
        self.hide()

    def find_all(self) -> None:
        """Look for them anew, from the top."""
        self._at = 0
        self.look()

    def step(self, by: int) -> None:
        """To the next place, which goes round; what is on screen may have changed meanwhile."""
        self._at += by
        self.look()

    def look(self) -> None:
        """Mark all there are now, and show the one whose turn it is."""
        words = self.words.text()
        self._found = list(islice(places(self._where, words), _MOST_MARKED))
        count = len(self._found)
        self._at = self._at % count if count else 0
        if count:
            self._found[self._at].bring_into_view()
        self._marks.show(self._found, self._at, words)
        most = "+" if count == _MOST_MARKED else ""
        found = f"{self._at + 1} of {count}{most}" if count else "not found"
        self.said.setText(found if words else "")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self._closes and event.key() == Qt.Key.Key_Escape:
            self.end()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter goes on, with Shift back; it does not close the window it is in.

        Keys that lead through a text lead through the one where words are looked for.
        """
        if not isinstance(event, QKeyEvent):
            return super().eventFilter(watched, event)
        pressed = event.type() == QEvent.Type.KeyPress
        if pressed and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.step(-1 if back else 1)
            return True
        if pressed and event.key() in _READS_ON and isinstance(self._where, QAbstractScrollArea):
            self._where.verticalScrollBar().triggerAction(_READS_ON[Qt.Key(event.key())])
            return True
        mine = self._closes and event.key() == Qt.Key.Key_Escape
        if mine and event.type() == QEvent.Type.ShortcutOverride:
            # Before the window takes it for leaving the full screen.
            event.accept()
            return True
        return super().eventFilter(watched, event)
