"""Single values, each a point, beside the law or the mean they are held against."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPen

import linesim
from gui.charts.keys import Key
from gui.charts.pens import faint
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import Scale

_DOT, _RING = 4.4, 8.4
_ROOM = 0.04
_NONE = "There is no value."


def draw_scatter(plot: Plot, chart: linesim.report.Scatter) -> None:
    """Put it onto the plot."""
    if not any((chart.points, chart.cut_off, chart.line, chart.band, chart.thin)):
        plot.put_nothing(_NONE)
        return
    look = plot.look
    low_x, high_x, low_y, high_y = chart.ends
    plot.put_scales(_wider(low_x, high_x), _wider(low_y, high_y))
    _put_axes(plot, chart)
    if chart.band:
        plot.put_band(chart.band)
    plot.put_line(chart.thin, look.ghost, 1.4)
    plot.put_line(chart.line, look.curve, 2)
    plot.put_dots(chart.points, _DOT, QPen(Qt.PenStyle.NoPen), QBrush(QColor(look.text)))
    ring = plot.pen(look.text, 1.4)
    plot.put_dots(chart.cut_off, _RING, ring, QBrush(Qt.BrushStyle.NoBrush))
    drawn = (*chart.points, *chart.cut_off)
    spots = [
        Spot(plot.place(*at), _words(chart, *known))
        for at, known in zip(drawn, chart.known, strict=True)
    ]
    spots += [
        Spot(plot.place(*at), _words_along(chart, *told))
        for at, told in zip(chart.line, chart.along, strict=False)
    ]
    plot.reading.columns = not drawn
    plot.reading.spots = tuple(sorted(spots, key=lambda spot: (spot.place.x(), spot.place.y())))
    signs = {
        "points": (None, QBrush(QColor(look.text)), "dot"),
        "cut_off": (ring, None, "dot"),
        "line": (plot.pen(look.curve, 2), None, "line"),
        "band": (None, faint(look.curve), "line"),
        "thin": (plot.pen(look.ghost, 1.4), None, "line"),
    }
    plot.put_keys(*(Key(words, *signs[kind]) for kind, words in chart.key))


def _wider(low: float, high: float) -> Scale:
    room = _ROOM * (high - low) or 0.5 * abs(high) or 0.5
    return Scale(low - room, high + room, 0, 1)


def _put_axes(plot: Plot, chart: linesim.report.Scatter) -> None:
    for side, column, ticks, scale in (
        ("bottom", chart.x, chart.x_ticks, plot.across),
        ("left", chart.y, chart.y_ticks, plot.up),
    ):
        if ticks:
            names = [(scale.at(tick.at), tick.text) for tick in ticks]
            plot.put_names(side, names, column.heading, lines=True)
        else:
            plot.put_axis(side, column.heading)


def _words(chart: linesim.report.Scatter, x: float, y: float, kind: str) -> str:
    """What a point is, and its values."""
    pairs = ((chart.x, x), (chart.y, y))
    said = (f"{column.name}: {_value(value)} {column.unit}".rstrip() for column, value in pairs)
    return "\n".join((kind, *said))


def _value(value: float) -> str:
    """As it was recorded, to four figures at most."""
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def _words_along(chart: linesim.report.Scatter, at: str, y: float, low: float, high: float) -> str:
    """Where the line is at a place, and the band."""
    middle, least, most = map(linesim.report.cell_text, (y, low, high))
    unit = chart.y.unit or chart.y.name
    return f"{at}: {middle} {unit}, {chart.line_name}\n{chart.band_name}: {least} to {most} {unit}"
