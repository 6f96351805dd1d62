"""The charts of a study's answer as drawings: a curve with its band, bars, a map."""

from __future__ import annotations

import math
from collections.abc import Sequence

from linesim.report.answers.answer import written
from linesim.report.answers.charts import Bars, Chart, Curve, Map, Scatter
from linesim.report.answers.printing import bar_text
from linesim.report.page.drawing import Drawing, shortened
from linesim.report.page.scales import Scale, tick_text, ticks
from linesim.report.page.scatter_drawing import scatter_drawing

_WIDTH = 480.0
_MOST_BARS = 16


def chart_drawing(chart: Chart) -> Drawing:
    """The drawing of a chart, 480 wide."""
    if isinstance(chart, Curve):
        return _curve(chart)
    if isinstance(chart, Bars):
        return _bars(chart)
    if isinstance(chart, Scatter):
        return scatter_drawing(chart)
    return _map(chart)


def chart_caption(chart: Chart) -> str:
    """What is to be known beside the drawing."""
    if isinstance(chart, Curve):
        parts = ["Line and points: means; band: their intervals."]
        if any(point.theory is not None for point in chart.points):
            parts.append(f"Dashed: {chart.theory_name or 'closed form'}.")
        if chart.present is not None:
            parts.append("Upright: as the line is now.")
        return " ".join(parts)
    if isinstance(chart, Bars):
        text = (
            "Stroke: the band."
            if chart.bands
            else "Point: mean; stroke: its interval. Hollow: the interval spans 0, nothing shown."
        )
        if len(chart.bars) > _MOST_BARS:
            text += f" The first {_MOST_BARS} of {len(chart.bars)}; the table has all."
        if any(bar.theory is not None for bar in chart.bars):
            text += f" Upright stroke: {chart.theory_name or 'closed form'}."
        return text
    if isinstance(chart, Scatter):
        return chart.caption
    return "The larger the disc, the more; the figures with their intervals stand in the table."


def _curve(chart: Curve) -> Drawing:
    known = [(p.x, p.figure) for p in chart.points if p.figure is not None]
    theory = [(p.x, p.theory) for p in chart.points if p.theory is not None]
    said = "; ".join(f"{x:g}: {written(figure)}" for x, figure in known)
    drawing = Drawing(_WIDTH, 300, chart.title, f"{chart.y.heading} by {chart.x.heading}. {said}.")
    xs = [point.x for point in chart.points]
    if not xs or not known:
        drawing.text(_WIDTH / 2, 150, "no point could be run", "quiet", anchor="middle")
        return drawing
    values = [f.mean + sign * f.half_width for _, f in known for sign in (-1, 1)]
    values += [value for _, value in theory]
    marks = ticks(min(values), max(values))
    x_marks = ticks(min(xs), max(xs), 6)
    y_of = Scale(marks[0], marks[-1], 246, 30)
    x_of = Scale(min(xs), max(max(xs), min(xs) + 1e-9), 84, 456)
    for mark in marks:
        y = y_of.at(mark)
        drawing.line((76, y), (464, y), colour="grid")
        text = tick_text(mark, marks[1] - marks[0])
        drawing.text(70, y + 4, text, "quiet", size=12, anchor="end")
    for mark in x_marks:
        if min(xs) <= mark <= max(xs):
            text = tick_text(mark, x_marks[1] - x_marks[0])
            drawing.text(x_of.at(mark), 262, text, "quiet", size=12, anchor="middle")
            drawing.line((x_of.at(mark), 246), (x_of.at(mark), 250), colour="quiet")
    drawing.text(76, 16, chart.y.heading, "quiet", size=12)
    drawing.text(270, 284, chart.x.heading, "quiet", size=12.5, anchor="middle")
    upper = [(x_of.at(x), y_of.at(f.mean + f.half_width)) for x, f in known]
    lower = [(x_of.at(x), y_of.at(f.mean - f.half_width)) for x, f in known]
    drawing.area(*upper, *reversed(lower), fill="band")
    if chart.present is not None:
        at = x_of.at(chart.present)
        drawing.line((at, 30), (at, 246), colour="blocked", thick=1.5)
        drawing.text(at + 4, 40, "now", "quiet", size=12)
    if len(theory) > 1:
        line = [(x_of.at(x), y_of.at(value)) for x, value in theory]
        drawing.line(*line, colour="down", thick=1.5, dashed=True)
    means = [(x_of.at(x), y_of.at(f.mean)) for x, f in known]
    drawing.line(*means, colour="accent", thick=2)
    for x, y in means:
        drawing.circle(x, y, 3, "accent")
    return drawing


def _bars(chart: Bars) -> Drawing:
    bars = chart.bars[:_MOST_BARS]
    said = "; ".join(f"{bar.label}: {bar_text(chart, bar)}" for bar in bars)
    labels = [_lines(bar.label, 70 if chart.bands else 156) for bar in bars]
    pitch = 28 if any(len(lines) > 1 for lines in labels) else 22
    height = 46 + pitch * len(bars) + 24
    drawing = Drawing(_WIDTH, height, chart.title, f"{chart.y.heading}. {said}.")
    values = [] if chart.bands else [0.0]
    for bar in bars:
        if bar.figure is not None:
            values += [bar.figure.mean - bar.figure.half_width]
            values += [bar.figure.mean + bar.figure.half_width]
        if bar.theory is not None:
            values.append(bar.theory)
    marks = ticks(min(values, default=0.0), max(values, default=0.0), 4)
    left, right = (70, 252) if chart.bands else (170, 352)
    x_of = Scale(marks[0], marks[-1], left, right)
    bottom = 30 + pitch * len(bars)
    texts = [tick_text(mark, marks[1] - marks[0]) for mark in marks]
    every = _every(texts, x_of.at(marks[1]) - x_of.at(marks[0]))
    first = marks.index(0.0) % every if 0.0 in marks else 0
    for n, mark in enumerate(marks):
        x = x_of.at(mark)
        drawing.line((x, 24), (x, bottom), colour="faint" if mark == 0 else "grid")
        if n % every == first:
            drawing.text(x, bottom + 16, texts[n], "quiet", size=10.5, anchor="middle")
    drawing.text(left, 14, chart.y.heading, "quiet", size=12)
    for number, bar in enumerate(bars):
        y = 30.0 + pitch * (number + 0.5) - 5
        for n, line in enumerate(labels[number]):
            at = y + 4 + 12 * (n - (len(labels[number]) - 1) / 2)
            drawing.text(left - 8, at, line, anchor="end", size=12)
        drawing.text(right + 12, y + 4, bar_text(chart, bar), size=12)
        if bar.figure is None:
            continue
        mean, half, shown = bar.figure
        colour = "accent" if shown else "quiet"
        ends = (x_of.at(mean - half), y), (x_of.at(mean + half), y)
        drawing.line(*ends, colour=colour, thick=5 if chart.bands else 2)
        if not chart.bands:
            drawing.circle(x_of.at(mean), y, 4.5, "accent" if shown else "card", colour, 1.5)
        if bar.theory is not None:
            at = x_of.at(bar.theory)
            drawing.line((at, y - 8), (at, y + 8), colour="down", thick=2)
    return drawing


def _lines(label: str, room: float) -> list[str]:
    """A label in one line or, where it is too long for that, in two."""
    words = label.split(" ")
    for count in range(len(words), 0, -1):
        first = " ".join(words[:count])
        if shortened(first, room, 12) == first:
            rest = " ".join(words[count:])
            return [first, shortened(rest, room, 12)] if rest else [first]
    return [shortened(label, room, 12)]


def _every(texts: Sequence[str], apart: float) -> int:
    """Every how many marks a text fits beneath, where marks stand so far apart."""
    widest = max(len(text) for text in texts) * 0.6 * 10.5 + 8
    return max(1, math.ceil(widest / apart))


def _map(chart: Map) -> Drawing:
    rows, columns = len(chart.down_values), len(chart.across_values)
    step = min(44.0, 360.0 / max(columns, 1))
    height = 62 + step * rows + 20
    known = [f.mean for row in chart.rows for f in row if f is not None]
    low, high = (min(known), max(known)) if known else (0.0, 1.0)
    drawing = Drawing(
        _WIDTH,
        height,
        chart.title,
        f"{chart.y.heading} by {chart.down.heading} (down) and {chart.across.heading} (across);"
        f" the means reach from {low:,.4g} to {high:,.4g}.",
    )
    drawing.text(96, 14, f"across: {chart.across.heading}", "quiet", size=12)
    drawing.text(96, 28, f"down: {chart.down.heading}", "quiet", size=12)
    for j, value in enumerate(chart.across_values):
        drawing.text(96 + step * (j + 0.5), 46, f"{value:g}", size=12, anchor="middle")
    for i, down in enumerate(chart.down_values):
        y = 54 + step * (i + 0.5)
        drawing.text(88, y + 4, f"{down:g}", size=12, anchor="end")
        for j, across in enumerate(chart.across_values):
            x = 96 + step * (j + 0.5)
            drawing.rect(x - step / 2, y - step / 2, step, step, "", "grid")
            figure = chart.rows[i][j]
            if figure is None:
                drawing.text(x, y + 4, "–", "quiet", anchor="middle")
                continue
            part = (figure.mean - low) / (high - low) if high > low else 1.0
            radius = step * (0.08 + 0.36 * part)
            now = chart.present == (down, across)
            drawing.circle(x, y, radius, "accent", "blocked" if now else "", 3 if now else 1)
    return drawing
