"""Errors in words, with the details behind a fold."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget


class ErrorBox:
    """What went wrong with one thing: a message at a time, gone when that thing is well again."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent
        self._box: QMessageBox | None = None

    def show(self, words: str, details: str = "") -> None:
        """Show it in place of what was said before."""
        self._box = show_error(self._parent, words, details, self._box, lasting=True)

    def clear(self) -> None:
        """It is no longer so."""
        if self._box is not None:
            self._box.hide()


def show_error(
    parent: QWidget | None,
    words: str,
    details: str = "",
    box: QMessageBox | None = None,
    *,
    lasting: bool = False,
) -> QMessageBox:
    """Show a message that does not hold up the window; returns it. ``box``: one to use again.

    Unless it is ``lasting`` the message is gone for good when it is closed.
    """
    box = box or QMessageBox(parent)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, not lasting)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("That did not work")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(words)
    box.setDetailedText(details)
    box.setModal(False)
    box.show()
    return box
