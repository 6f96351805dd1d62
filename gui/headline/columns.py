"""Rated and net rates of the stations side by side, put onto a plot."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QColor

from gui.charts.keys import Key
from gui.charts.pens import DASHES
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import Scale
from gui.charts.shapes import Box, Shape, Stroke
from linesim.report import RateBar

_WIDEST_PX = 64.0
_UNIT = " reams/min"
"""Said by the axis: below each column it would only take another line."""


def draw_rates(plot: Plot, bars: tuple[RateBar, ...], before: tuple[RateBar, ...]) -> None:
    """A column for each station; ``before`` are dashes where those of a line before differ."""
    if not bars:
        plot.put_nothing("No run yet.")
        return
    look = plot.look
    most = max((rate for bar in (*bars, *before) for rate in _rates(bar)), default=1.0)
    plot.put_scales(plot.across, Scale(0.0, 1.02 * most or 1.0, 0, 1))
    plot.put_axis("left", "reams a minute")
    each = 1 / len(bars)
    middles = [(n + 0.5) * each for n in range(len(bars))]
    names = [(x, _text(bar)) for x, bar in zip(middles, bars, strict=True)]
    plot.put_names("bottom", names, share=0.9 * each)
    old = {bar.station: bar for bar in before}
    shapes: list[Shape] = []
    spots = []
    for x, bar in zip(middles, bars, strict=True):
        was = old.get(bar.station)
        shapes += _column(plot, x, each, bar)
        if was is not None and _rates(was) != _rates(bar):
            dashed = plot.pen(look.text, 1.2, DASHES)
            for rate in _rates(was):
                # Wider than the column, so that it shows where both are alike.
                y, half = plot.place(0, rate).y(), 0.4 * each
                shapes.append(Stroke(x - half, y, x + half, y, dashed, 0))
        top = max((plot.place(0, rate).y() for rate in _rates(bar)), default=0.5)
        box = QRectF(x - each / 2, 0, each, 1)
        spots.append(Spot(QPointF(x, top), _words(bar, was), box))
    plot.put_shapes(shapes)
    plot.reading.spots = tuple(spots)
    keys = [
        Key("rated, from the scenario alone", plot.pen(look.text, 1.2)),
        Key("net of its own stops", None, QBrush(QColor(look.ghost))),
        Key("the lowest net rate", None, QBrush(QColor(look.curve))),
    ]
    if before:
        keys.append(Key("before the change", plot.pen(look.text, 1.2, DASHES)))
    plot.put_keys(*keys)


def _rates(bar: RateBar) -> tuple[float, ...]:
    if not math.isfinite(bar.rated_reams_per_min):
        return ()
    return bar.rated_reams_per_min, bar.net_reams_per_min


def _text(bar: RateBar) -> str:
    return f"{bar.station}\n{bar.value.removesuffix(_UNIT)}" + (f"\n{bar.mark}" if bar.mark else "")


def _words(bar: RateBar, was: RateBar | None) -> str:
    return rate_words(bar) if was is None else f"{rate_words(bar)}\nbefore the change: {was.value}"


def rate_words(bar: RateBar) -> str:
    """A station with its rates."""
    return f"{bar.station}: {bar.value}" + (f", {bar.mark}" if bar.mark else "")


def _column(plot: Plot, x: float, each: float, bar: RateBar) -> list[Shape]:
    if not _rates(bar):
        return []
    look = plot.look
    rated, net = (plot.place(0, rate).y() for rate in _rates(bar))
    wide, size = 0.5 * each, (_WIDEST_PX, 1e6)
    fill = QBrush(QColor(look.curve if "net" in bar.mark else look.ghost))
    return [
        Box(QRectF(x - wide / 2, 0, wide, net), fill, None, size),
        Box(QRectF(x - wide / 2, 0, wide, rated), None, plot.pen(look.text, 1.2), size),
    ]
