"""Errors in words, with the details behind a fold."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget


def say_trouble(parent: QWidget | None, words: str, details: str = "") -> QMessageBox:
    """Show a message that does not hold up the window; returns it."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("That did not work")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words)
    if details:
        box.setDetailedText(details)
    box.setModal(False)
    box.show()
    return box
