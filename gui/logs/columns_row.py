"""Which column of a log holds what: as proposed, and changeable in place."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import CLOSE, PlainLabel, spaced

_NONE = "(none)"
_WORDS = {
    "start": ("Start", "When the stop began"),
    "end": ("End", "When it was over"),
    "minutes": ("Length", "How long it lasted; its unit is seen from the heading"),
    "station": ("Station", "Where it stood"),
    "cause": ("Cause", "What it stood for"),
    "date": ("Date", "The day, where start is only a time of day"),
    "counter": ("Counter", "A running counter of hours, minutes or seconds in place of a start"),
}
_ACROSS = 4


class ColumnsRow(QWidget):
    """A choice of heading for each field; what the user changes is told to the next look."""

    changed = Signal()
    forgotten = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._overrides: dict[str, str] = {}
        self.choices: dict[str, QComboBox] = {}
        grid = QGridLayout()
        spaced(grid)
        grid.setVerticalSpacing(CLOSE)
        for n, field in enumerate(linesim.plant.LOG_FIELDS):
            words, tip = _WORDS[field]
            label = PlainLabel(words)
            choice = QComboBox()
            choice.setToolTip(tip)
            choice.setAccessibleName(f"column of {words.lower()}")
            choice.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            choice.setMinimumContentsLength(7)
            choice.activated.connect(lambda _, field=field: self._chosen(field))
            label.setBuddy(choice)
            row, column = divmod(n, _ACROSS)
            grid.addWidget(label, 2 * row, column)
            grid.addWidget(choice, 2 * row + 1, column)
            grid.setColumnStretch(column, 1)
            self.choices[field] = choice
        self.from_last_time = PlainLabel()
        self.from_last_time.setWordWrap(True)
        self.forget = QPushButton("Fo&rget")
        self.forget.setToolTip("Forget what was told of logs with these headings")
        self.forget.clicked.connect(self._forget)
        below = QHBoxLayout()
        below.addWidget(self.from_last_time, 1)
        below.addWidget(self.forget)
        layout = QVBoxLayout(self)
        spaced(layout)
        layout.addLayout(grid)
        layout.addLayout(below)

    @property
    def overrides(self) -> dict[str, str]:
        """Headings by field that the user chose; empty for a column that the log has not."""
        return dict(self._overrides)

    def begin(self) -> None:
        """Another log: nothing is told of it yet."""
        self._overrides = {}

    def show_look(self, look: linesim.plant.LogLook) -> None:
        """Offer the headings there are, and show those taken."""
        for field, choice in self.choices.items():
            with QSignalBlocker(choice):
                choice.clear()
                choice.addItem(_NONE, "")
                for heading in look.headings:
                    choice.addItem(heading, heading)
                at = choice.findData(look.columns.get(field, ""))
                choice.setCurrentIndex(max(0, at))
        kept_text = " ".join(look.kept_words)
        kept = bool(look.from_last_time or kept_text)
        self.from_last_time.setText(kept_text)
        self.from_last_time.setVisible(kept)
        self.forget.setVisible(kept)

    def _chosen(self, field: str) -> None:
        heading = str(self.choices[field].currentData())
        self._overrides[field] = heading
        if heading and field in ("start", "counter"):
            # One of them tells the time.
            self._overrides["counter" if field == "start" else "start"] = ""
        for other, choice in self.choices.items():
            # A column holds one thing: what stood there gives it up.
            if heading and other != field and choice.currentData() == heading:
                self._overrides[other] = ""
        self.changed.emit()

    def _forget(self) -> None:
        self._overrides = {}
        self.forgotten.emit()
