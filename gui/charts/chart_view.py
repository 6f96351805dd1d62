"""A chart of an answer."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

import linesim
from gui.charts.chart_widget import ChartWidget

if TYPE_CHECKING:
    from gui.charts.plot import Draw, Plot

_ROW = 1.9
"""Height of a bar's row, in lines of text, ..."""
_MOST_ROW = 3.6
"""... and what is more leaves it alone in an empty field."""
_DATED_ROW = 2.3
"""Dates stand beside their bars in two lines."""
_AROUND, _KEY = 7.0, 1.6


class ChartMark(NamedTuple):
    """A place on a curve, what is written there, and the points that speak for it."""

    x: float
    words: str
    rests_on: tuple[int, ...]


class ChartView(ChartWidget):
    """Draws a chart of an answer; a curve has a mark that can be taken hold of."""

    dragged = Signal(float)
    """The user has the mark of a curve under the hand, here: a value of its ``x``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chart: linesim.report.Chart | None = None
        self._mark: ChartMark | None = None
        self.most_lines = math.inf
        """What more height would only leave empty, in lines of text."""

    @property
    def chart(self) -> linesim.report.Chart | None:
        """The chart on screen."""
        return self._chart

    @property
    def mark(self) -> ChartMark | None:
        """What is marked on the curve."""
        return self._mark

    def show_chart(
        self, chart: linesim.report.Chart, answer: linesim.report.Answer | None = None
    ) -> None:
        """Draw this one, of that answer; what is no answer to a study says itself what it is of."""
        self._chart = chart
        level = None if answer is None else answer.facts.get("level")
        self.source = "" if answer is None else source_words(answer)
        self.about = () if answer is None else (answer.scenario, answer.study)
        self.least_lines, self.most_lines = ChartWidget.least_lines, math.inf
        if isinstance(chart, linesim.report.Bars | linesim.report.Tornado):
            bands = isinstance(chart, linesim.report.Bars) and chart.bands
            dated = isinstance(chart, linesim.report.Bars) and chart.starts is not None
            row = _DATED_ROW if dated else _ROW
            self.least_lines = len(chart.bars) * row + _AROUND + bands * _KEY
            self.most_lines = len(chart.bars) * _MOST_ROW + _AROUND
        title, unit = chart.title, chart.y.unit
        if isinstance(chart, linesim.report.Curve | linesim.report.Map) and unit:
            title += f", {unit}"
        self.show_drawing(
            (type(chart), chart.name, chart.title),
            title,
            _drawing(chart, level if isinstance(level, float) else 0.95),
            lambda: linesim.report.chart_table(chart),
            caption=chart.caption if isinstance(chart, linesim.report.Scatter) else "",
        )

    def show_mark(self, mark: ChartMark | None) -> None:
        """Mark a place on the curve, where the chart is one. Pictures are made without."""
        if mark != self._mark:
            self._mark = mark
            self._put_mark()

    def _redraw(self) -> None:
        super()._redraw()
        self._put_mark()

    def _made_plot(self, plot: Plot) -> None:
        plot.dragged.connect(self.dragged)

    def _put_mark(self) -> None:
        if self.plot is None:
            return
        mark, chart = self._mark, self._chart
        if mark is None or not isinstance(chart, linesim.report.Curve):
            self.plot.hide_mark()
            return
        from gui.charts.curve import known_points
        from gui.charts.figures import ends

        rests = [(x, *ends(figure)) for x, figure in known_points(chart) if x in mark.rests_on]
        self.plot.show_mark(mark.x, mark.words, rests)


def _drawing(chart: linesim.report.Chart, level: float) -> Draw:
    if isinstance(chart, linesim.report.Curve):
        from gui.charts.curve import draw_curve

        return partial(draw_curve, chart=chart, level=level)
    if isinstance(chart, linesim.report.Bars):
        from gui.charts.bars import draw_bars

        return partial(draw_bars, chart=chart)
    if isinstance(chart, linesim.report.Scatter):
        from gui.charts.scatter import draw_scatter

        return partial(draw_scatter, chart=chart)
    if isinstance(chart, linesim.report.Tornado):
        from gui.charts.tornado import draw_tornado

        return partial(draw_tornado, chart=chart)
    from gui.charts.map import draw_map

    return partial(draw_map, chart=chart)


def source_words(answer: linesim.report.Answer) -> str:
    """Where the figures of an answer come from, in one line."""
    invented = " Invented data." if answer.facts.get("invented") else ""
    if "replications" not in answer.facts:
        return f"{answer.scenario}: from {answer.facts.get('log')}.{invented}"
    runs = f"{answer.facts.get('replications')} runs of each variant"
    return f"{answer.scenario}: {runs}; {answer.notes[-1]}{invented}"
