"""A figure against each input it is made of, one at a time: a bar for each, the widest first."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor

import linesim
from gui.charts.bars import BAR_PX, row_box, row_middle
from gui.charts.keys import Key
from gui.charts.pens import full
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import upwards
from gui.charts.shapes import Box, Shape, Stroke

_NAMES, _ENDS = 0.3, 0.3
_NONE = "No input is open."


def draw_tornado(plot: Plot, chart: linesim.report.Tornado) -> None:
    """Put it onto the plot; bars of ends that nobody has looked into are hatched."""
    rows = len(chart.bars)
    if not rows:
        plot.put_nothing(_NONE)
        return
    look = plot.look
    ends = [end for bar in chart.bars for end in (bar.at_low, bar.at_high)]
    plot.put_scales(upwards([*ends, chart.now], ends, 0, 1), plot.up)
    plot.only_across()
    plot.put_axis("top", chart.y.heading)
    places = [row_middle(n, rows) for n in range(rows)]
    for side, share, words in (
        ("left", _NAMES, [bar.label for bar in chart.bars]),
        ("right", _ENDS, [bar.ends for bar in chart.bars]),
    ):
        plot.put_names(side, list(zip(places, words, strict=True)), share=share)
    hatched = QBrush(QColor(look.curve), Qt.BrushStyle.BDiagPattern)
    shapes: list[Shape] = []
    spots = []
    for n, (y, bar) in enumerate(zip(places, chart.bars, strict=True)):
        low, high = sorted((bar.at_low, bar.at_high))
        left, right = plot.place(low, 0).x(), plot.place(high, 0).x()
        area = QRectF(left, y - 0.3 / rows, right - left, 0.6 / rows)
        fill = hatched if bar.assumed else full(look.curve)
        shapes.append(Box(area, fill, plot.pen(look.curve), (1e6, BAR_PX)))
        spots.append(Spot(QPointF(right, y), _words(chart, bar), row_box(n, rows)))
    for at, line in ((0.0, plot.pen(look.ghost, 1.2)), (chart.now, plot.pen(look.text, 1.4))):
        if plot.across.low <= at <= plot.across.high:
            x = plot.place(at, 0).x()
            shapes.append(Stroke(x, 0, x, 1, line, 0))
    plot.put_shapes(shapes)
    plot.reading.spots = tuple(spots)
    keys = [Key("as all stands", plot.pen(look.text, 1.4))]
    if any(bar.assumed for bar in chart.bars):
        keys.append(Key("hatched: assumed, nobody has looked into it", None, hatched))
    plot.put_keys(*keys)


def _text(chart: linesim.report.Tornado, value: float) -> str:
    return f"{linesim.report.cell_text(value)} {chart.y.unit}".rstrip()


def _words(chart: linesim.report.Tornado, bar: linesim.report.TornadoBar) -> str:
    low, high = (_text(chart, value) for value in (bar.at_low, bar.at_high))
    return f"{bar.label}, {bar.ends}\n{chart.y.name}: {low} at the low end, {high} at the high end"
