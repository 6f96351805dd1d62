"""Start, stop, how far it is, and what the answer on screen rests on."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import PlainLabel, plain_tip
from gui.work.ask_task import KeptRuns

_PARTS = 1000


class ProgressRow(QWidget):
    """Two buttons and a bar; below them a line that is there only when it has something to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.start = QPushButton("&Start")
        self.stop = QPushButton("Sto&p")
        self.stop.setToolTip("What is done is kept, and said; Start goes on from there")
        self._bar = QProgressBar()
        self._bar.setRange(0, _PARTS)
        self._bar.setTextVisible(False)
        self._bar.setFixedWidth(150)
        self.status = PlainLabel()
        self.basis = PlainLabel()
        self.found = PlainLabel()
        upper, lower = QHBoxLayout(), QHBoxLayout()
        for part in (self.start, self.stop, self._bar, self.status):
            upper.addWidget(part)
        for part in (self.basis, self.found):
            part.hide()
            lower.addWidget(part)
        upper.addStretch(1)
        lower.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(upper)
        layout.addLayout(lower)

    def begin(self, words: str) -> None:
        """Something is under way."""
        self._bar.setValue(0)
        self.status.setText(words)
        self.found.hide()

    def show_progress(self, part: float, words: str) -> None:
        """How far it is, unless it is being stopped."""
        if self.stop.isEnabled():
            self._bar.setValue(round(_PARTS * max(0.0, part)))
            self.status.setText(words)

    def stopping(self) -> None:
        """The user wants an end."""
        self.stop.setEnabled(False)
        self.status.setText("stopping …")

    def show_kept(self, kept: KeptRuns) -> None:
        """What was found in the study file."""
        if kept.found:
            self.found.setText(f"{kept.found} finished runs found: going on from there.")
            self.found.setToolTip(plain_tip(str(kept.path)))
            self.found.show()

    def show_basis(self, answer: linesim.report.Answer, runs: int) -> None:
        """On how much of the study the answer on screen rests."""
        done = answer.facts["replications"]
        self.basis.setText(f"So far: {done} of {runs} runs of each variant.")
        self.basis.show()

    def set_busy(self, busy: bool) -> None:
        """Whether something is under way."""
        self.stop.setEnabled(busy)
        self._bar.setVisible(busy)

    def end(self, words: str) -> None:
        """How it ended."""
        self.status.setText(words)
        self.basis.hide()
