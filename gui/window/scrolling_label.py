"""Sentences over a picture: as high as they need, but not so high that the picture has no room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from gui.look import PlainLabel, line_px

_LEAST_LINES = 4
_SHARE = 10
"""The part of the page above, one in so many, that sentences may take."""


class ScrollingLabel(QScrollArea):
    """A label that scrolls where its words are too many."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._all_of_it = False
        self.label = PlainLabel()
        self.label.setWordWrap(True)
        self.label.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.label.setAccessibleName(name)
        self.setAccessibleName(name)
        self.setWidget(self.label)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def show_text(self, text: str, *, all_of_it: bool = False) -> None:
        """Show these words from their beginning; ``all_of_it``: somebody wants to read them all."""
        self.label.setText(text)
        self._all_of_it = all_of_it
        self.verticalScrollBar().setValue(0)
        self.fit(self.window().height())

    def fit(self, page_height: int) -> None:
        """Take the height that the words need on a page so high, px."""
        line = self.fontMetrics().lineSpacing()
        most = max(_LEAST_LINES * line, page_height // _SHARE)
        bar = self.verticalScrollBar().sizeHint().width()
        self.label.setMaximumWidth(line_px(self))
        wide = min(self.width(), line_px(self))
        needed = self.label.heightForWidth(wide)
        if self._all_of_it:
            most = needed
        if needed > most:
            needed = self.label.heightForWidth(min(wide, self.width() - bar))
        self.setFixedHeight(max(line, min(needed, most)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other widths need other heights."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit(self.window().height())
