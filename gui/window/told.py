"""Sentences over a picture: as high as they need, but not so high that the picture has no room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from gui.look import PlainLabel

_LEAST_LINES = 4
_SHARE = 6
"""The part of the page above, one in so many, that sentences may take."""


class Told(QScrollArea):
    """A label that scrolls where its words are too many."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = PlainLabel()
        self.words.setWordWrap(True)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.words.setAccessibleName(name)
        self.setAccessibleName(name)
        self.setWidget(self.words)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def say(self, text: str, *, more: bool = False) -> None:
        """Show these words from their beginning, unless they only are more of what is shown."""
        self.words.setText(text)
        if not more:
            self.verticalScrollBar().setValue(0)
        self.fit(self.window().height())

    def fit(self, page_height: int) -> None:
        """Take the height that the words need on a page so high, px."""
        line = self.fontMetrics().lineSpacing()
        most = max(_LEAST_LINES * line, page_height // _SHARE)
        bar = self.verticalScrollBar().sizeHint().width()
        needed = self.words.heightForWidth(self.width())
        if needed > most:
            needed = self.words.heightForWidth(self.width() - bar)
        self.setFixedHeight(max(line, min(needed, most)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other widths need other heights."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit(self.window().height())
