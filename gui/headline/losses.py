"""The staircase from planned time down to good output, a bar for each loss."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

import linesim
from gui.charts import ChartWidget
from gui.headline.figures import FiguresShown, of_run
from gui.shift import connect_weakly
from linesim.report import glance, loss_changes, loss_staircase

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.report import LossChange, LossStep

_TITLE = "From planned time to good output: the six big losses"


class LossStaircase(ChartWidget):
    """Planned time on top, good output at the bottom; each loss begins where the last one ended.

    The whisker on a bar is its interval; its thick part, where it has one, what luck leaves open.
    """

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figures = FiguresShown(shown)
        self._shown = shown
        self.steps: tuple[LossStep, ...] = ()
        self.changes: tuple[LossChange, ...] = ()
        self.basis = ""
        self._ghost = ""
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self.refresh)
        connect_weakly(shown.figures_changed, self.refresh)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        of_run(record)

    def refresh(self) -> None:
        """Show what is known now."""
        now = self._figures.now()
        self.steps = () if now is None else loss_staircase(now)
        before = self._figures.before()
        self.changes = ()
        self.basis = "" if now is None else glance(now).basis
        if now is not None and before is not None:
            self.changes = loss_changes(now, before)
            self._ghost = self._shown.ghost_title
        self.least_lines = 8 + 1.4 * len(self.steps)
        self.source = "" if now is None else now.scenario.line.name
        self._show()

    def _show(self) -> None:
        from gui.headline.staircase import draw_staircase

        draw = partial(draw_staircase, steps=self.steps, changes=self.changes, before=self._ghost)
        self.show_drawing(
            type(self),
            _TITLE,
            draw,
            self._figures_table,
            caption=self.basis,
            described=self._in_words() or "No run is shown.",
        )

    def _figures_table(self) -> linesim.report.AnswerTable:
        hours = linesim.report.Column("time", "h")
        return linesim.report.AnswerTable.of(
            "losses",
            _TITLE,
            self.steps,
            ("step", lambda step: step.name),
            (hours, _figure),
        )

    def _in_words(self) -> str:
        if not self.steps:
            return ""
        differs = {change.name: f", {change.value} more or less" for change in self.changes}
        words = "; ".join(
            f"{step.name} {step.value}, {step.share}{differs.get(step.name, '')}"
            for step in self.steps
        )
        beside = f"; differences to the line {self._ghost}" if self.changes else ""
        return f"{words} ({self.basis}{beside})"


def _figure(step: LossStep) -> float | linesim.report.Figure:
    """The hours of a step; one run has no interval."""
    hours = step.top_h - step.bottom_h
    return linesim.report.Figure(hours, step.both_h) if math.isfinite(step.both_h) else hours
