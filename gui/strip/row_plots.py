"""Plots that are drawn into rows of the strip; what a hand does to them it does to the strip."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple, Protocol

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from gui.charts.plot import Draw, Plot
from gui.look import Palette
from gui.strip import level_chart, orders_chart, reams_chart
from gui.strip.curves import Stretch
from gui.strip.time_axis import TimeAxis
from linesim.report import AnswerTable


class _Draw(Protocol):
    def __call__(self, plot: Plot, stretch: Stretch, *, in_row: bool = False) -> None: ...


class RowChart(NamedTuple):
    """What is drawn of a stretch, and the figures of it."""

    title: str
    draw: _Draw
    table: Callable[[Stretch], AnswerTable]


CHARTS = {
    "orders": RowChart(orders_chart.TITLE, orders_chart.draw_orders, orders_chart.orders_table),
    "level": RowChart(level_chart.TITLE, level_chart.draw_level, level_chart.level_table),
    "reams": RowChart(reams_chart.TITLE, reams_chart.draw_reams, reams_chart.reams_table),
}
"""By the kind of row."""


class RowPlots:
    """A plot for each kind of row, hidden children of the strip."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent
        self._plots: dict[str, Plot] = {}

    def draw_time(
        self, painter: QPainter, area: QRect, left: int, stretch: Stretch, look: Palette
    ) -> None:
        """The time axis, at the foot of the area; what stands left of it is not its own."""

        def draw(plot: Plot) -> None:
            axis = TimeAxis("top", stretch.window)
            axis.dress(plot.look, plot.chart_font)
            axis.only_words(area.height())
            plot.put_beside(axis, "top")

        self._draw(painter, area, left, "time", draw, look)

    def draw(
        self, painter: QPainter, area: QRect, left: int, what: str, stretch: Stretch, look: Palette
    ) -> None:
        """A row that has a curve, which begins at ``left``, with what stands left of it."""
        draw = partial(CHARTS[what].draw, stretch=stretch, in_row=True)
        self._draw(painter, area, left, what, draw, look)

    def _draw(
        self, painter: QPainter, area: QRect, left: int, what: str, draw: Draw, look: Palette
    ) -> None:
        plot = self._plots.get(what)
        if plot is None:
            plot = self._plots[what] = Plot(self._parent)
            plot.hide()
        if plot.size() != area.size() or plot.left_px != left:
            plot.stand_in_line(left)
            plot.resize(area.size())
            # Qt puts off telling a hidden widget of its size until it is drawn.
            plot.grab()
        sharpness = painter.deviceTransform().m11()
        plot.show_chart(what, draw, look, painter.font(), sharpness=sharpness)
        plot.render(painter, QRectF(area), plot.rect())

    def keys_px(self, what: str) -> float:
        """How high the keys above a chart are; 0 where it has none, or has not been drawn."""
        plot = self._plots.get(what)
        if plot is None or plot.keys is None:
            return 0.0
        return max((place.bottom() for place in plot.keys.places), default=0.0)

    def place(self, what: str, x: float, y: float) -> QPointF | None:
        """Where on its row a value of a chart stands; None where it has not been drawn."""
        plot = self._plots.get(what)
        return None if plot is None else plot.at(x, y)
