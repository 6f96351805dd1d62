"""Start and stop of a fit, and how far it is."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from gui.look import PlainLabel

_PARTS = 1000


class RunRow(QWidget):
    """Two buttons, a bar, and words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.start = QPushButton("Fit each ca&use")
        self.stop = QPushButton("Sto&p")
        self._bar = QProgressBar()
        self._bar.setRange(0, _PARTS)
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(120)
        self.status = PlainLabel()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for part in (self.start, self.stop, self._bar, self.status):
            row.addWidget(part)
        row.addStretch(1)

    def show_progress(self, part: float, words: str) -> None:
        """How far it is, unless it is being stopped."""
        if self.stop.isEnabled():
            self._bar.setValue(round(_PARTS * max(0.0, part)))
            self.status.setText(words)

    def stopping(self) -> None:
        """The user wants an end."""
        self.stop.setEnabled(False)
        self.status.setText("stopping …")

    def show_status(self, words: str) -> None:
        """What began, or how it ended."""
        self._bar.setValue(0)
        self.status.setText(words)

    def set_state(self, *, busy: bool, usable: bool) -> None:
        """Whether a fit is under way, and whether one can begin."""
        self.start.setEnabled(usable)
        self.stop.setEnabled(busy)
        self._bar.setVisible(busy)
