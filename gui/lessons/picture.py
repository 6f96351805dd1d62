"""The line of a lesson: as it is when it stops, and once the answer stands what the stop did.

It has a run of its own to show: what is open in the window stays as it is.
"""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QScrollArea, QTabWidget, QWidget

import linesim
from gui.charts import ChartView
from gui.lessons.attempt import Attempt, same
from gui.lessons.fan import FanView
from gui.plan import PlanView
from gui.shift import ShownShift
from gui.strip import StripView

_STRIP, _RUNS, _FAN = 1, 2, 3


class LessonPicture(QTabWidget):
    """The drawing at the moment of the stop; strip and single runs come with the truth."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shown = ShownShift()
        self.plan, self.strip = PlanView(self.shown), StripView(self.shown, stoppable=False)
        self.plan.player.playing_changed.connect(self.strip.follow)
        self.each_run, self.fan = ChartView(), FanView()
        self.addTab(self.plan, "The l&ine")
        self._add(self.strip, "The s&trip")
        self._add(self.each_run, "In each r&un")
        self._add(self.fan, "As time goes on")
        self.setAccessibleName("the line of the lesson")
        self._of: tuple[object, ...] = ()

    def _add(self, view: QWidget, words: str) -> None:
        """In a tab with a bar where it is low: on a small screen the words need the room."""
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidget(view)
        self.addTab(area, words)

    def show_attempt(self, attempt: Attempt) -> None:
        """Show what may be seen of it by now; nothing moves where that is what is on screen."""
        truth, quiet = attempt.truth, attempt.quiet
        known = (attempt, quiet) if truth is None else (attempt, *truth.first, attempt.answer)
        if same(known, self._of):
            return
        self._of = known
        self.plan.player.pause()
        for tab in (_STRIP, _RUNS, _FAN):
            # The strip of the run would tell what is to come.
            self.setTabEnabled(tab, truth is not None)
        if truth is not None:
            without, stopped = truth.first
            self.shown.show(
                stopped,
                ghost=without,
                forced=(truth.forced,),
                disturbance=truth.first_disturbance,
            )
            chart = linesim.report.each_run_chart(attempt.lesson, truth, attempt.given)
            self.each_run.show_chart(chart)
            self.fan.show_fan(attempt.lesson, truth.fan)
        elif quiet is not None:
            self.shown.show(quiet)
        else:
            self.shown.clear()
            return
        at_ns = round(attempt.lesson.stop.at_h * linesim.scenario.HOUR)
        if truth is not None and truth.first_disturbance.began_ns is not None:
            # Once the webs have run down: before that nothing is seen to stand.
            at_ns = truth.first_disturbance.began_ns
        self.shown.cursor_ns = at_ns
