"""The time axis of the strip: as much time as is looked at, from one edge to the other."""

from __future__ import annotations

from PySide6.QtGui import QFontMetricsF

import linesim
from gui.charts.axes import RoundAxis
from gui.charts.plot import Plot
from gui.charts.shapes import Stroke
from gui.strip.window_of_time import TimeWindow

_NS_PER_PX_WITH_SECONDS = 10**9
_LONG_NS = 48 * linesim.scenario.HOUR
_DAY = "Wed 30 Mar"
_BETWEEN = 10.0
_TICK = 5
_BEYOND = 6.0
"""How far words may stand beyond the right edge, px."""


def put_time(plot: Plot, window: TimeWindow, *, in_row: bool) -> None:
    """The axis below a chart; in a row of the strip, which has one above, its lines alone.

    To be put first: what comes after it lies over its lines.
    """
    if in_row:
        metrics = QFontMetricsF(plot.chart_font)
        places = moments_in(window, plot.width() - plot.left_px, metrics)
        line = plot.pen(plot.look.grid)
        plot.put_shapes([Stroke(at, 0, at, 1, line, 0) for at in places])
        return
    axis = TimeAxis("bottom", window)
    axis.dress(plot.look, plot.chart_font, window.title)
    plot.put_beside(axis, "bottom")


def moments_in(window: TimeWindow, wide: float, metrics: QFontMetricsF) -> dict[float, str]:
    """Round moments where they stand, 0 to 1, with their words: as many as there is room for."""
    longest = "00:00:00" if window.length_ns < wide * _NS_PER_PX_WITH_SECONDS else "00:00"
    if window.starts is not None:
        longest = _DAY if window.over_midnight else longest
    elif window.last_ns > _LONG_NS:
        longest = f"day 364, {longest}"
    marks = window.marks(int(wide / (metrics.horizontalAdvance(longest) + _BETWEEN)))
    return {window.to_part(t_ns): words for t_ns, words in marks}


class TimeAxis(RoundAxis):
    """Round moments of a run."""

    def __init__(self, side: str, window: TimeWindow) -> None:
        super().__init__(side)
        self._window = window
        self._said: dict[float, str] = {}

    def only_words(self, height: int) -> None:
        """For a plot above others: short ticks and no lines, so high."""
        self.setGrid(False)
        self.setStyle(tickLength=_TICK)
        self.setHeight(height)

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """As many as there is room for."""
        self._said = moments_in(self._window, size, self._metrics)
        for at, words in self._said.items():
            # It would stand over what is beside the plot.
            if (1 - at) * size < self._metrics.horizontalAdvance(words) / 2 - _BEYOND:
                self._said[at] = ""
        return [(0.0, list(self._said))]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        """The words of each place."""
        return [self._said[at] for at in values]
