"""A button that shows and hides parts of a page."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolButton, QWidget


def fold_button(text: str, *parts: QWidget) -> QToolButton:
    """Checked, it shows the parts; they are hidden to begin with."""
    button = QToolButton()
    button.setText(text)
    button.setCheckable(True)
    button.setAutoRaise(True)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)

    def fold(shown: bool) -> None:
        for part in parts:
            part.setVisible(shown)
        button.setArrowType(Qt.ArrowType.DownArrow if shown else Qt.ArrowType.RightArrow)

    button.toggled.connect(fold)
    fold(False)
    return button
