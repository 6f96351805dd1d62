"""Finding words in a text that is on screen."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QPalette, QShortcut, QTextCursor
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QTextEdit,
    QToolButton,
    QWidget,
)

from gui.look.icons import set_icon
from gui.look.label import QuietLabel
from gui.look.spacing import NEAR, spaced

_MOST_MARKED = 500
"""Of what is found; that many nobody looks through."""


class FindRow(QWidget):
    """Marks all places where the words stand, and goes from one to the next; letters' case is one.

    Ctrl+F within the window of the text begins.
    """

    def __init__(self, text: QTextEdit | QPlainTextEdit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = text
        self._found: list[QTextCursor] = []
        self._at = 0
        self.words = QLineEdit()
        self.words.setPlaceholderText("Find in the text")
        self.words.setAccessibleName("find in the text")
        self.words.setClearButtonEnabled(True)
        self.words.textChanged.connect(self.find_all)
        self.words.installEventFilter(self)
        self.said = QuietLabel()
        self.said.setWordWrap(False)
        row = QHBoxLayout(self)
        spaced(row, NEAR)
        row.addWidget(self.words, 1)
        for icon, words, by in (
            ("previous", "the place before", -1),
            ("next", "the next place", 1),
        ):
            button = QToolButton(self)
            button.setToolTip(words)
            button.setAccessibleName(words)
            set_icon(button, icon)
            button.clicked.connect(lambda *_, by=by: self.step(by))
            row.addWidget(button)
        row.addWidget(self.said)
        keys = QShortcut(QKeySequence(QKeySequence.StandardKey.Find), self)
        keys.setContext(Qt.ShortcutContext.WindowShortcut)
        keys.activated.connect(self.begin)

    def begin(self) -> None:
        """Go to where the words are typed."""
        self.words.setFocus()
        self.words.selectAll()

    def find_all(self) -> None:
        """Look for them anew, from the top."""
        self._found = list(self._places(self.words.text()))
        self._at = 0
        self._show()

    def step(self, by: int) -> None:
        """To the next place, which goes round."""
        if self._found:
            self._at = (self._at + by) % len(self._found)
            self._show()

    def _places(self, words: str) -> Iterator[QTextCursor]:
        document = self._text.document()
        place = document.find(words) if words else QTextCursor()
        for _ in range(_MOST_MARKED):
            if place.isNull():
                return
            yield place
            place = document.find(words, place)

    def _show(self) -> None:
        palette = self.palette()
        marked = []
        for number, place in enumerate(self._found):
            mark = QTextEdit.ExtraSelection()
            role = QPalette.ColorRole
            here = number == self._at
            mark.format.setBackground(  # type: ignore[attr-defined]
                palette.color(role.Highlight if here else role.AlternateBase)
            )
            mark.format.setForeground(  # type: ignore[attr-defined]
                palette.color(role.HighlightedText if here else role.Text)
            )
            mark.format.setFontUnderline(True)  # type: ignore[attr-defined]
            mark.cursor = place  # type: ignore[attr-defined]
            marked.append(mark)
        self._text.setExtraSelections(marked)
        if self._found:
            place = QTextCursor(self._found[self._at])
            place.clearSelection()
            self._text.setTextCursor(place)
            self._text.ensureCursorVisible()
        count = len(self._found)
        most = "+" if count == _MOST_MARKED else ""
        found = f"{self._at + 1} of {count}{most}" if count else "not found"
        self.said.setText(found if self.words.text() else "")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter goes on, with Shift back; it does not close the window it is in."""
        pressed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.step(-1 if back else 1)
            return True
        return super().eventFilter(watched, event)
