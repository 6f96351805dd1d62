"""A hint for the first start, that goes away for good."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from gui.look import CLOSE, NEAR, PlainLabel

_WORDS = (
    "This is one shift of an invented line. Move over the strip to read it, click a stop to see"
    " what it did, right-click to add one. Change a field on the right and the shift is run"
    " again with the same random numbers; the run before stays behind it."
    " Pages with studies are on the left."
)


class FirstHint(QWidget):
    """Words and a button that closes them."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        words = PlainLabel(_WORDS)
        words.setWordWrap(True)
        close = QPushButton("Got it")
        close.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(NEAR, CLOSE, NEAR, CLOSE)
        row.addWidget(words, 1)
        row.addWidget(close, 0, Qt.AlignmentFlag.AlignTop)
