"""What is known of the bridge length under the hand, in words and figures."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QScrollArea, QWidget

import linesim
from gui.look import APART, CLOSE, NEAR, PlainLabel, one_decimal, plain_tip, spaced


class SizeReadout(QScrollArea):
    """A heading, and below it a row for each thing that is known."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("This length")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        inner = QWidget()
        self._grid = QGridLayout(inner)
        spaced(self._grid, around=NEAR)
        self._grid.setHorizontalSpacing(APART)
        self._grid.setVerticalSpacing(CLOSE)
        self._grid.setColumnStretch(1, 1)
        self.heading = _words()
        font = self.heading.font()
        font.setBold(True)
        self.heading.setFont(font)
        self._grid.addWidget(self.heading, 0, 0, 1, 2)
        self._rows: list[tuple[PlainLabel, PlainLabel]] = []
        self.setWidget(inner)

    def show_size(self, size: linesim.report.SizeDescription) -> None:
        """Show this."""
        self.heading.setText(size.heading)
        for number, (name, words) in enumerate(size.lines):
            if number == len(self._rows):
                self._add_row()
            for label, text in zip(self._rows[number], (name, words), strict=True):
                label.setText(one_decimal(text))
                label.setToolTip(plain_tip(text if one_decimal(text) != text else ""))
        self.setAccessibleDescription(size.spoken)

    def _add_row(self) -> None:
        pair = PlainLabel(), _words()
        at = len(self._rows) + 1
        self._grid.setRowStretch(at, 0)
        for column, label in enumerate(pair):
            self._grid.addWidget(label, at, column, Qt.AlignmentFlag.AlignTop)
        self._grid.setRowStretch(at + 1, 1)
        self._rows.append(pair)


def _words() -> PlainLabel:
    label = PlainLabel()
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
