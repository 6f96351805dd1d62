"""The charts of a study's answer as drawings, and what is said beside them."""

from __future__ import annotations

import math
import textwrap
from dataclasses import replace
from functools import partial
from typing import Any

from linesim.report.answers.cells import cell_text
from linesim.report.answers.charts import Bars, Chart, Curve, Map, Scatter, Tornado, bar_text
from linesim.report.answers.plots import (
    MOST_BARS,
    chart_rows,
    draw_chart,
    key_below,
    row_room,
)
from linesim.report.page.drawing import Drawing
from linesim.report.page.model import FigureBlock
from linesim.report.picture_style import HALF
from linesim.report.plain import capital
from linesim.statistics import counted

_CHANCE, _BOTH = "chance in the runs", "with what is not known of the line"
_BARS = 8
_LINE, _FRAME, _HEIGHT = 10.0, 32.0, 165.0


def chart_drawing(chart: Chart, width: float = HALF) -> Drawing:
    """The drawing of a chart, ``width`` points wide; its height is what it needs."""
    from linesim.report.page.figure_drawing import figure_drawing

    return figure_drawing(
        partial(_paint, chart), width, _height(chart, width), chart.title, description(chart)
    )


def parted(chart: Chart) -> tuple[Chart, Chart | None]:
    """The chart as page one has it, and what is left of it for the pages behind.

    Of many bars the largest go there, in letters that can be read.
    """
    if not isinstance(chart, Bars) or len(chart.bars) <= _BARS:
        return chart, None
    count = len(chart.bars)
    first = replace(
        chart, bars=chart.bars[:_BARS], title=f"{chart.title}: the first {_BARS} of {count}"
    )
    rest = replace(
        chart, bars=chart.bars[_BARS:], title=f"{chart.title}: the other {count - _BARS}"
    )
    return first, rest


def chart_figure(chart: Chart, name: str = "", width: float = HALF) -> FigureBlock:
    """A chart as a figure of a page, under its own name unless given another."""
    drawing = chart_drawing(chart, width)
    return FigureBlock(name or chart.name, drawing, chart_caption(chart), small=True)


def _paint(chart: Chart, axes: Any) -> None:
    draw_chart(chart, axes)
    # What is in the other charts their captions say.
    if isinstance(chart, Scatter):
        key_below(axes)


def _height(chart: Chart, width: float) -> float:
    if isinstance(chart, Bars | Tornado):
        rows = chart_rows(chart)
        lines = max((part.count("\n") + 1 for row in rows for part in row), default=1)
        heading = len(textwrap.wrap(chart.y.heading, row_room(rows)[1]))
        return _FRAME + _LINE * heading + len(rows) * (lines * _LINE + 4)
    if isinstance(chart, Map):
        return (
            _FRAME + 30 + min(24.0, width / (len(chart.across_values) + 2)) * len(chart.down_values)
        )
    if isinstance(chart, Scatter):
        return _HEIGHT + 12 * sum(1 + len(words) // 44 for _, words in chart.key)
    return _HEIGHT


def description(chart: Chart) -> str:
    """What a chart shows, for a reader who cannot see it."""
    if isinstance(chart, Curve):
        known = [(p.x, p.figure) for p in chart.points if p.figure is not None]
        said = "; ".join(f"{x:g}: {cell_text(figure)}" for x, figure in known)
        spans = ", ".join(f"{start:g} to {end:g}" for start, end in chart.pays)
        pays = f" {capital(chart.pays_name)}: {spans}." if spans else ""
        best = "" if chart.best is None else f" {capital(chart.best_name)}: {chart.best:g}."
        return f"{chart.y.heading} by {chart.x.heading}. {said}.{pays}{best}"
    if isinstance(chart, Bars):
        bars = chart.bars[:MOST_BARS]
        said = "; ".join(f"{bar.label}: {bar_text(chart, bar)}" for bar in bars)
        return f"{chart.y.heading}. {said}."
    if isinstance(chart, Tornado):
        said = "; ".join(
            f"{bar.label}, {bar.ends}: {bar.at_low:,.4g} to {bar.at_high:,.4g}"
            for bar in chart.bars[:MOST_BARS]
        )
        return f"{chart.y.heading}, {chart.now:,.4g} as all stands. {said}."
    if isinstance(chart, Scatter) and chart.along:
        said = "; ".join(
            f"{at}: {cell_text(y)} ({cell_text(low)} to {cell_text(high)})"
            for at, y, low, high in chart.along
        )
        return f"{chart.y.heading} by {chart.x.heading}. {chart.caption} {said}."
    if isinstance(chart, Scatter):
        many = counted(len(chart.points), "point")
        return (
            f"{chart.y.heading} by {chart.x.heading}. {chart.caption} {many}; the tables give the"
            " fit."
        )
    means = [figure.mean for row in chart.rows for figure in row if figure is not None]
    low, high = (min(means), max(means)) if means else (0.0, 1.0)
    return (
        f"{chart.y.heading} by {chart.down.heading} (down) and {chart.across.heading} (across);"
        f" the means reach from {low:,.4g} to {high:,.4g}."
    )


def chart_caption(chart: Chart) -> str:
    """What is to be known beside the drawing."""
    if isinstance(chart, Curve):
        parts = ["Line and points: means; band: their intervals."]
        if any(point.figure is not None and point.figure.doubt for point in chart.points):
            parts = [f"Line and points: means; band: {_CHANCE}; broken lines: {_BOTH}."]
        if any(p.figure is not None and math.isinf(p.figure.half_width) for p in chart.points):
            parts.append("A band from edge to edge: too few runs for an interval.")
        if any(point.theory is not None for point in chart.points):
            parts.append(f"Dashed: {chart.theory_name or 'closed form'}.")
        if chart.present is not None:
            parts.append("Upright: as the line is now.")
        if chart.pays:
            parts.append(f"Shaded: {chart.pays_name}.")
        if chart.gain:
            parts.append(f"0: {chart.gain}.")
        return " ".join(parts)
    if isinstance(chart, Bars):
        if chart.plain:
            return "The table has the intervals."
        stroke = "stroke: its interval"
        if any(bar.figure is not None and bar.figure.doubt for bar in chart.bars):
            stroke = f"thick stroke: {_CHANCE}; thin: {_BOTH}"
        text = (
            "Stroke: the band."
            if chart.bands
            else f"Bar: mean; {stroke}. Hollow, ~: the interval spans 0, nothing shown."
        )
        if len(chart.bars) > MOST_BARS:
            text += f" The first {MOST_BARS} of {len(chart.bars)}; the table has all."
        if any(bar.theory is not None for bar in chart.bars):
            text += f" Upright stroke: {chart.theory_name or 'closed form'}."
        return text
    if isinstance(chart, Scatter):
        return chart.caption
    if isinstance(chart, Tornado):
        hatched = " Hatched: ends assumed, not known." if any(b.assumed for b in chart.bars) else ""
        return f"Each input alone between its two ends. Upright: as all stands.{hatched}"
    rims = "as the line is now" if chart.best is None else "as the line is now, and the best"
    return (
        f"The larger the disc, the more {chart.y.heading}; rim: {rims}. The figures with their"
        " intervals stand in the table."
    )
