"""Bars below each other, each with its interval and its figure in words."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor

import linesim
from gui.charts.figures import ends, plain
from gui.charts.keys import Key
from gui.charts.pens import full
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import upwards
from gui.charts.shapes import Box, Notch, Shape, Stroke

_MOST_LABEL = 0.42
BAR_PX, _BAND_PX = 26.0, 16.0
_NONE = "There is nothing to compare."


def row_middle(number: int, rows: int) -> float:
    """Where the middle of a row stands, the first at the top."""
    return 1 - (number + 0.5) / rows


def row_box(number: int, rows: int) -> QRectF:
    """All of a row, with the words to both sides of the plot."""
    return QRectF(-9, 1 - (number + 1) / rows, 19, 1 / rows)


def draw_bars(plot: Plot, chart: linesim.report.Bars, *, heading: bool = True) -> None:
    """Put them onto the plot. The axis stands above, in sight however many bars there are.

    It has no ``heading`` where the title says what the bars are.
    """
    rows = len(chart.bars)
    figures = [bar.figure for bar in chart.bars if bar.figure is not None]
    if not figures:
        plot.put_nothing(_NONE)
        return
    limits = [end for figure in figures for end in ends(figure)]
    theories = [bar.theory for bar in chart.bars if bar.theory is not None]
    inner = [*limits, *theories] if chart.bands else [figure.mean for figure in figures]
    plot.put_scales(upwards(inner, limits, 0, 1, zero=not chart.bands), plot.up)
    plot.only_across()
    words = chart.y.heading if chart.starts is None else chart.y.name
    plot.put_axis("top", words if heading else "", since=chart.starts)
    places = [row_middle(n, rows) for n in range(rows)]
    said = [_beside(chart, bar) for bar in chart.bars]
    plot.put_names(
        "left",
        [(at, bar.label) for at, bar in zip(places, chart.bars, strict=True)],
        share=_MOST_LABEL,
    )
    plot.put_names("right", list(zip(places, said, strict=True)))
    foot = plot.place(max(plot.across.low, 0.0), 0).x()
    shapes: list[Shape] = [Stroke(foot, 0, foot, 1, plot.pen(plot.look.ghost), 0)]
    spots = []
    for n, (at, bar, words) in enumerate(zip(places, chart.bars, said, strict=True)):
        end = foot
        if bar.figure is not None:
            shapes += (
                _band(plot, chart, at, bar, rows)
                if chart.bands
                else _bar(plot, chart, at, bar, rows)
            )
            end = plot.place(bar.figure.mean, 0).x()
        said_whole = bar.figure is None or chart.starts is not None
        unit = "" if said_whole else chart.y.unit
        told = "\n".join(filter(None, [f"{bar.label}: {words} {unit}".rstrip(), bar.told]))
        spots.append(Spot(QPointF(end, at), told, row_box(n, rows)))
    plot.put_shapes(shapes)
    plot.reading.spots = tuple(spots)
    if chart.bands and any(bar.theory is not None for bar in chart.bars):
        plot.put_keys(Key(chart.theory_name, plot.pen(plot.look.text, 2.4), shape="upright"))
    hollow = not chart.bands and not chart.plain and any(f.unsure for f in figures)
    if hollow:
        line = plot.pen(plot.look.curve)
        plot.put_keys(
            Key("hollow: no difference shown", line, QBrush(QColor(plot.look.ground)), "bar")
        )


def _beside(chart: linesim.report.Bars, bar: linesim.report.Bar) -> str:
    figure = None if bar.figure is None else plain(bar.figure)
    words = linesim.report.bar_text(chart, bar._replace(figure=figure))
    # Dates are long: what they are held against has a line of its own.
    return words if chart.starts is None else words.replace(", ", ",\n")


def _bar(
    plot: Plot, chart: linesim.report.Bars, at: float, bar: linesim.report.Bar, rows: int
) -> list[Shape]:
    """Filled where a difference is shown, hollow where it is not; without interval if plain."""
    figure, look = bar.figure, plot.look
    assert figure is not None
    x = plot.place
    foot, end = x(0, 0).x(), x(figure.mean, 0).x()
    thick = 0.6 / rows
    area = QRectF(min(foot, end), at - thick / 2, abs(end - foot), thick)
    fill = full(look.curve) if figure.shown else None
    found: list[Shape] = [Box(area, fill, plot.pen(look.curve), (1e6, BAR_PX))]
    if chart.plain:
        return found
    low, high = (x(limit, 0).x() for limit in ends(figure))
    found.append(Stroke(low, at, high, at, plot.pen(look.text, 1.4)))
    if figure.doubt:
        # Thick: what luck alone leaves open.
        low, high = (x(limit, 0).x() for limit in ends(figure, inner=True))
        found.append(Stroke(low, at, high, at, plot.pen(look.text, 4), 0))
    return found


def _band(
    plot: Plot, chart: linesim.report.Bars, at: float, bar: linesim.report.Bar, rows: int
) -> list[Shape]:
    """A stroke from end to end; what is held against it is an upright line, loud if outside."""
    assert bar.figure is not None
    low, high = (plot.place(limit, 0).x() for limit in ends(bar.figure))
    thick = 0.4 / rows
    area = QRectF(low, at - thick / 2, high - low, thick)
    found: list[Shape] = [Box(area, full(plot.look.curve), None, (1e6, _BAND_PX))]
    if bar.theory is not None:
        outside = linesim.report.outside_band(chart, bar)
        line = plot.pen(plot.look.trouble if outside else plot.look.text, 2.4)
        line.setCapStyle(Qt.PenCapStyle.FlatCap)
        found.append(Notch(plot.place(bar.theory, 0).x(), at, _BAND_PX, line))
    return found
