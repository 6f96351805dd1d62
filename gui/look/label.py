"""Labels that show what a scenario or a log calls things as it is written."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QWidget

_TITLE_SIZE = 1.25


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


def title_label(text: str) -> PlainLabel:
    """The title of a page."""
    label = PlainLabel(text)
    font = label.font()
    font.setBold(True)
    font.setPointSizeF(font.pointSizeF() * _TITLE_SIZE)
    label.setFont(font)
    return label


def wrapped_label() -> PlainLabel:
    """Text in as many rows as it needs, hidden while there is none."""
    label = PlainLabel()
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.hide()
    return label


def placeholder_label(text: str) -> PlainLabel:
    """Stands in the middle of a page where there is nothing to show yet."""
    label = PlainLabel(text)
    label.setAlignment(Qt.AlignmentFlag.AlignCenter)
    label.setForegroundRole(QPalette.ColorRole.PlaceholderText)
    return label
