"""The page of one shift: the strip, and below it the line at the moment of the cursor."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

import linesim
from gui.jobs import Jobs
from gui.plan import PlanView
from gui.shift import ShownShift, listen
from gui.strip import StripView
from gui.window.over_lucks import OverLucks
from gui.window.told import Told

_STRIP_HEIGHT, _PLAN_HEIGHT = 460, 290


class ShiftPage(QWidget):
    """Strip above, drawing below, and a line of words about a stop that was put in."""

    stop_requested = Signal(str, float)
    take_out_requested = Signal()

    def __init__(self, shown: ShownShift, jobs: Jobs, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.strip = StripView(shown)
        self.plan = PlanView(shown)
        self.strip.stop_requested.connect(self.stop_requested)
        self.plan.player.playing_changed.connect(self.strip.follow)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self.strip)
        self.splitter.addWidget(self.plan)
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self.splitter.setSizes([_STRIP_HEIGHT, _PLAN_HEIGHT])
        self.splitter.setChildrenCollapsible(False)
        self._said = Told("what the stop did to the line")
        self._words = self._said.words
        take_out = QPushButton("&Take the stop out")
        take_out.clicked.connect(self.take_out_requested)
        self._told = QWidget()
        row = QHBoxLayout(self._told)
        row.setContentsMargins(8, 4, 8, 4)
        row.addWidget(self._said, 1)
        row.addWidget(take_out, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._told)
        layout.addWidget(self.splitter, 1)
        listen(shown.record_changed, self._tell)
        self._over_lucks = OverLucks(shown, jobs, self)
        self._over_lucks.said.connect(self._tell_more)
        self._tell()

    @property
    def told(self) -> str:
        """What is said of the stop that was put in; empty where there is none."""
        return "" if self._told.isHidden() else self._words.text()

    def _tell(self, *, more: bool = False) -> None:
        record, disturbance = self._shown.record, self._shown.disturbance
        self._told.setVisible(record is not None and bool(self._shown.forced))
        if record is not None and disturbance is not None:
            words = linesim.report.disturbance_words(record, disturbance)
            self._said.say(" ".join([*words, self._over_lucks.words]).rstrip(), more=more)

    def _tell_more(self) -> None:
        self._tell(more=True)
