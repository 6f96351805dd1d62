"""Start and stop of work under way, how far it is, and how it ended."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from gui.look import PlainLabel, PrimaryButton

_PARTS = 1000


class ProgressRow(QWidget):
    """Two buttons, a bar, and words; ``progressed`` says how far it is, below 0 where it rests.

    It never goes back: what was thought to be the whole may turn out to be a part, and the bar
    waits until the work has caught up with it.
    """

    progressed = Signal(float)

    def __init__(self, start: str, *, bar_px: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.start = PrimaryButton(start)
        self.stop = QPushButton("Sto&p")
        self._bar = QProgressBar()
        self._bar.setRange(0, _PARTS)
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(bar_px)
        self.status = PlainLabel()
        # However much is said, the page does not become wider.
        self.status.setWordWrap(True)
        row = QHBoxLayout()
        for part in (self.start, self.stop, self._bar):
            row.addWidget(part)
        row.addWidget(self.status, 1)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.addLayout(row)

    def show_progress(self, part: float, words: str) -> None:
        """How far it is, unless it is being stopped."""
        if self.stop.isEnabled():
            self._bar.setValue(max(self._bar.value(), round(_PARTS * part)))
            self.status.setText(words)
            self.progressed.emit(self._bar.value() / _PARTS)

    def stopping(self) -> None:
        """The user wants an end."""
        self.stop.setEnabled(False)
        self.status.setText("stopping …")

    def show_status(self, words: str) -> None:
        """What began, or how it ended."""
        self._bar.setValue(0)
        self.status.setText(words)

    def set_busy(self, busy: bool) -> None:
        """Whether something is under way."""
        self.stop.setEnabled(busy)
        self.stop.setVisible(busy)
        self._bar.setVisible(busy)
        self.progressed.emit(0.0 if busy else -1.0)
