"""Labels that show what a scenario or a log calls things as it is written."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget


class PlainLabel(QLabel):
    """A label that takes no text for markup; whoever shows markup of its own says so."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(text)


def label_of(control: QWidget, text: str) -> PlainLabel:
    """A label that says what *control* is; the letter after ``&`` in *text* leads to it."""
    label = PlainLabel(text)
    label.setBuddy(control)
    return label
