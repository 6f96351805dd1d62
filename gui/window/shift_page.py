"""The page of one shift: the strip, and below it the line at the moment of the cursor."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

import linesim
from gui.plan import PlanView
from gui.shift import ShownShift, connect_weakly
from gui.strip import StripView
from gui.window.run_story import RunStory
from gui.window.scrolling_label import ScrollingLabel
from gui.window.stop_cost import StopCost
from gui.workers import WorkerPool

_STRIP_HEIGHT, _PLAN_HEIGHT = 460, 290


class ShiftPage(QWidget):
    """The line told, strip and drawing; of a stop that was put in what it did to the line."""

    stop_requested = Signal(str, float)
    take_out_requested = Signal()
    lesson_requested = Signal()
    """A lesson is to be made of the stop that was put in."""

    def __init__(self, shown: ShownShift, pool: WorkerPool, parent: QWidget | None = None) -> None:
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
        self._effect_text = ScrollingLabel("what the stop did to the line")
        take_out = QPushButton("&Take the stop out")
        take_out.clicked.connect(self.take_out_requested)
        lesson = QPushButton("Make a lesson of &it…")
        lesson.clicked.connect(self.lesson_requested)
        self._effect_row = QWidget()
        row = QHBoxLayout(self._effect_row)
        row.setContentsMargins(8, 4, 8, 4)
        row.addWidget(self._effect_text, 1)
        beside = QVBoxLayout()
        for button in (take_out, lesson):
            beside.addWidget(button)
        beside.addStretch(1)
        row.addLayout(beside)
        self._story_text = ScrollingLabel("the line in a paragraph")
        self._story_row = QWidget()
        told = QHBoxLayout(self._story_row)
        told.setContentsMargins(12, 4, 12, 4)
        told.addWidget(self._story_text, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._story_row)
        layout.addWidget(self._effect_row)
        layout.addWidget(self.splitter, 1)
        connect_weakly(shown.record_changed, self._show_effect)
        self._stop_cost = StopCost(shown, pool, self)
        self._stop_cost.changed.connect(self._show_more)
        self._story = RunStory(shown, pool, self)
        self._story.changed.connect(self._show_story)
        self._show_effect()
        self._show_story()

    @property
    def story(self) -> str:
        """The paragraph that tells the line; empty where a stop was put in."""
        return self._story.text

    @property
    def story_under_way(self) -> bool:
        """Whether more of it is to come."""
        return self._story.under_way

    def _show_story(self) -> None:
        self._story_row.setVisible(bool(self._story.text))
        self._story_text.show_text(self._story.text)

    @property
    def stop_effect(self) -> str:
        """What is said of the stop that was put in; empty where there is none."""
        return "" if self._effect_row.isHidden() else self._effect_text.label.text()

    def _show_effect(self, *, more: bool = False) -> None:
        record, disturbance = self._shown.record, self._shown.disturbance
        self._effect_row.setVisible(record is not None and bool(self._shown.forced))
        if record is not None and disturbance is not None:
            words = linesim.report.disturbance_words(record, disturbance)
            self._effect_text.show_text(
                " ".join([*words, self._stop_cost.text]).rstrip(), keep_position=more
            )

    def _show_more(self) -> None:
        self._show_effect(more=True)
