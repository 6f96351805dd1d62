"""The gap between nameplate and good reams, a bar for each cause that leads on to it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

import linesim
from gui.charts import ChartWidget
from gui.headline.figures import FiguresShown, of_run
from gui.shift import connect_weakly
from linesim.report import gap_bars, gap_by_cause, glance

if TYPE_CHECKING:
    from gui.charts.plot import Draw, Plot
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.report import GapCause

_MOST = 8
_ROW, _AROUND = 1.3, 4.0
"""Height of a row, and of what stands around them, in lines of text."""
_HELP = "A click, or Enter, leads to where a cause is looked into."


class GapView(ChartWidget):
    """What the good reams that are missing went to; ``chosen`` is the cause that is asked for."""

    chosen = Signal(object)

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figures = FiguresShown(shown)
        self.least_lines = _AROUND + _ROW * _MOST
        self.causes: tuple[GapCause, ...] = ()
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self.refresh)
        connect_weakly(shown.figures_changed, self.refresh)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        of_run(record)

    def refresh(self) -> None:
        """Show what is known now."""
        from gui.charts.bars import draw_bars

        now = self._figures.now()
        self.causes = () if now is None else gap_by_cause(now, _MOST)
        if now is None:
            draw: Draw = partial(_draw_nothing, words="No run is shown.")
            self.show_drawing(type(self), "", draw, lambda: None, described="No run is shown.")
            return
        bars = gap_bars(now, self.causes)
        self.source = now.scenario.line.name
        told = "; ".join(f"{each.name} {each.reams.text()}" for each in self.causes)
        self.show_drawing(
            type(self),
            bars.title,
            partial(draw_bars, chart=bars, heading=False),
            lambda: linesim.report.chart_table(gap_bars(now, gap_by_cause(now))),
            described=f"{told} ({glance(now).basis}). {_HELP}",
        )

    def _made_plot(self, plot: Plot) -> None:
        plot.chosen.connect(self._choose)
        plot.viewport().setCursor(Qt.CursorShape.PointingHandCursor)

    def _choose(self, number: int) -> None:
        if number < len(self.causes):
            self.chosen.emit(self.causes[number])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter leads to the cause that is read."""
        keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.key() in keys and self.plot is not None and self.plot.reading.held is not None:
            self._choose(self.plot.reading.held)
        else:
            super().keyPressEvent(event)


def _draw_nothing(plot: Plot, words: str) -> None:
    plot.put_nothing(words)
