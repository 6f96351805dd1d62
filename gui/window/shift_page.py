"""The page of one shift: the line told, its figures, strip and gap, and the line drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLayout,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.headline import GapView, HeadlineView
from gui.look import CLOSE, KEPT, NEAR, spaced
from gui.plan import PlanView
from gui.shift import ShownShift, connect_weakly
from gui.strip import StripView
from gui.window.ripple_view import RippleView
from gui.window.run_story import HELP, RunStory
from gui.window.stop_cost import StopCost
from gui.window.told_label import ToldLabel
from gui.workers import WorkerPool

if TYPE_CHECKING:
    from linesim.record import Ripple

_STRIP_HEIGHT, _GAP_HEIGHT, _PLAN_HEIGHT = 340, 230, 290
_CHART = QSize(720, 460)


class ShiftPage(QWidget):
    """Below the strip the gap by cause, or what the stop did that is looked at."""

    stop_requested = Signal(str, float)
    take_out_requested = Signal()
    lesson_requested = Signal()
    """A lesson is to be made of the stop that was put in."""
    cause_chosen = Signal(object)
    """A ``GapCause`` that somebody wants to look into."""
    help_chosen = Signal()
    """Somebody wants to know more of what would help."""

    def __init__(self, shown: ShownShift, pool: WorkerPool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.headline = HeadlineView(shown)
        self.strip = StripView(shown)
        self.gap = GapView(shown)
        self.ripple = RippleView(shown)
        self.plan = PlanView(shown)
        self.strip.stop_requested.connect(self.stop_requested)
        self.strip.ripple_changed.connect(self._show_ripple)
        self.gap.chosen.connect(self.cause_chosen)
        self.ripple.left.connect(self.strip.back_to_all)
        self.plan.player.playing_changed.connect(self.strip.follow)
        self.below = QStackedWidget()
        self.below.addWidget(self.gap)
        self.below.addWidget(self.ripple)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        for part, stretch in ((self.strip, 3), (self.below, 2), (self.plan, 2)):
            self.splitter.addWidget(part)
            self.splitter.setStretchFactor(self.splitter.count() - 1, stretch)
        self._share()
        KEPT.arrange(self.splitter, self._share)
        self.splitter.setChildrenCollapsible(False)
        self._effect_text = ToldLabel("what the stop did to the line")
        take_out = QPushButton("&Take the stop out")
        take_out.clicked.connect(self.take_out_requested)
        lesson = QPushButton("Make a lesson of &it…")
        lesson.clicked.connect(self.lesson_requested)
        beside = QVBoxLayout()
        self._each_run = QPushButton("In each r&un…")
        self._each_run.setToolTip(
            "Reams lost to the same stop in each of many runs, and their mean"
        )
        self._each_run.clicked.connect(self._show_each_run)
        for button in (take_out, lesson, self._each_run):
            beside.addWidget(button)
        beside.addStretch(1)
        self._effect_row = _row(self._effect_text, beside)
        self._story_text = ToldLabel("the line in a paragraph", HELP)
        self._story_text.followed.connect(self.help_chosen)
        self._story_row = _row(self._story_text)
        layout = QVBoxLayout(self)
        spaced(layout, 0)
        layout.addWidget(self._story_row)
        layout.addWidget(self._effect_row)
        layout.addWidget(self.headline)
        layout.addWidget(self.splitter, 1)
        connect_weakly(shown.record_changed, self._show_effect)
        self._stop_cost = StopCost(shown, pool, self)
        self._stop_cost.changed.connect(self._show_effect)
        self._story = RunStory(shown, pool, self)
        self._story.changed.connect(self._show_story)
        self._show_effect()
        self._show_story()

    @property
    def story(self) -> str:
        """The paragraph that tells the line; empty where a stop was put in."""
        return self._story.text

    @property
    def told_story(self) -> str:
        """It in short, once all of it is known."""
        return self._story.told

    @property
    def story_under_way(self) -> bool:
        """Whether more of it is to come."""
        return self._story.under_way

    def ask_again(self) -> None:
        """Runs have become quick: what would help may be told now."""
        self._story.ask_again()

    def _show_story(self) -> None:
        self._story_row.setVisible(bool(self._story.text))
        self._story_text.tell(self._story.text, self._story.short)

    def _show_ripple(self, ripple: Ripple | None) -> None:
        if ripple is not None:
            self.ripple.show_ripple(ripple)
        self.below.setCurrentWidget(self.gap if ripple is None else self.ripple)

    @property
    def stop_effect(self) -> str:
        """What is said of the stop that was put in; empty where there is none."""
        return "" if self._effect_row.isHidden() else self._effect_text.text

    def _show_effect(self) -> None:
        record, disturbance = self._shown.record, self._shown.disturbance
        self._effect_row.setVisible(record is not None and bool(self._shown.forced))
        self._each_run.setEnabled(self._stop_cost.found is not None)
        if record is not None and disturbance is not None:
            stop, cost, *rest = linesim.report.disturbance_words(record, disturbance)
            # One run says little of what such a stop costs: what many say stands beside it.
            first = [*filter(None, (stop, cost, self._stop_cost.text))]
            self._effect_text.tell(" ".join([*first, *rest]), " ".join(first))

    def _share(self) -> None:
        self.splitter.setSizes([_STRIP_HEIGHT, _GAP_HEIGHT, _PLAN_HEIGHT])

    def _show_each_run(self) -> None:
        from gui.charts import ChartView

        found = self._stop_cost.found
        if found is None:
            return
        dialog = QDialog(self)
        dialog.setWindowTitle("The same stop in each of many runs")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        chart = ChartView(dialog)
        chart.show_chart(linesim.report.stop_cost_chart(found))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(dialog.reject)
        column = QVBoxLayout(dialog)
        column.addWidget(chart, 1)
        column.addWidget(buttons)
        dialog.resize(_CHART)
        KEPT.window(dialog, "stop cost")
        dialog.open()


def _row(words: ToldLabel, beside: QLayout | None = None) -> QWidget:
    around = QWidget()
    row = QHBoxLayout(around)
    row.setContentsMargins(NEAR + CLOSE, CLOSE, NEAR + CLOSE, CLOSE)
    row.addWidget(words, 1, Qt.AlignmentFlag.AlignTop)
    if beside is not None:
        row.addLayout(beside)
    return around
