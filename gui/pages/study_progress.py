"""Start, stop, how far a study is, and what the answer on screen rests on."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

import linesim
from gui.look import PlainLabel, plain_tip
from gui.pages.progress_row import ProgressRow
from gui.work.ask_task import KeptRuns


class StudyProgress(ProgressRow):
    """Below the row a line that is there only when it has something to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("&Start", bar_px=150, parent=parent)
        self.stop.setToolTip("Finished runs are kept and reported; Start goes on from there")
        self.basis = PlainLabel()
        self.found = PlainLabel()
        row = QHBoxLayout()
        for part in (self.basis, self.found):
            part.hide()
            row.addWidget(part)
        row.addStretch(1)
        self.column.addLayout(row)

    def begin(self, words: str) -> None:
        """Something is under way."""
        self.show_status(words)
        self.found.hide()

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

    def end(self, words: str) -> None:
        """How it ended."""
        self.show_status(words)
        self.basis.hide()
