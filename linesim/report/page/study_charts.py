"""The charts of a study's answer as drawings: a curve with its band, bars, a map."""

from __future__ import annotations

import math

from linesim.report.answers.cells import written
from linesim.report.answers.charts import Bars, Chart, Curve, Map, Scatter
from linesim.report.answers.printing import bar_text
from linesim.report.page.drawing import Drawing, shortened
from linesim.report.page.plot import Plane, round_marks, scale
from linesim.report.page.scatter_drawing import scatter_drawing
from linesim.report.scales import Scale

_WIDTH = 480.0
_MOST_BARS = 16
_CHANCE, _BOTH = "chance in the runs", "with what is not known of the line"


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
        if any(point.figure is not None and point.figure.doubt for point in chart.points):
            parts = [f"Line and points: means; band: {_CHANCE}; broken lines: {_BOTH}."]
        if any(point.theory is not None for point in chart.points):
            parts.append(f"Dashed: {chart.theory_name or 'closed form'}.")
        if chart.present is not None:
            parts.append("Upright: as the line is now.")
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
            else f"Point: mean; {stroke}. Hollow: the interval spans 0, nothing shown."
        )
        if len(chart.bars) > _MOST_BARS:
            text += f" The first {_MOST_BARS} of {len(chart.bars)}; the table has all."
        if any(bar.theory is not None for bar in chart.bars):
            text += f" Upright stroke: {chart.theory_name or 'closed form'}."
        return text
    if isinstance(chart, Scatter):
        return chart.caption
    rims = "as the line is now" if chart.best is None else "as the line is now, and the best"
    return (
        f"The larger the disc, the more; rim: {rims}. The figures with their intervals stand in the"
        " table."
    )


def _curve(chart: Curve) -> Drawing:
    known = [(p.x, p.figure) for p in chart.points if p.figure is not None]
    theory = [(p.x, p.theory) for p in chart.points if p.theory is not None]
    said = "; ".join(f"{x:g}: {written(figure)}" for x, figure in known)
    drawing = Drawing(_WIDTH, 300, chart.title, f"{chart.y.heading} by {chart.x.heading}. {said}.")
    if not known:
        drawing.text(_WIDTH / 2, 150, "no point could be run", "quiet", anchor="middle")
        return drawing
    xs = [point.x for point in chart.points]
    lower, upper = ([(x, figure.inner[side]) for x, figure in known] for side in (0, 1))
    outer = [[(x, figure.outer[side]) for x, figure in known] for side in (0, 1)]
    values = [value for _, value in (*outer[0], *outer[1], *theory)]
    plane = Plane(drawing, scale(xs, 76, 464), scale(values, 246, 30))
    plane.mark_y(chart.y.heading)
    plane.mark_x(chart.x.heading)
    drawing.area(*plane.at([*upper, *reversed(lower)]), fill="band")
    if any(figure.doubt for _, figure in known):
        for edge in outer:
            drawing.line(*plane.at(edge), colour="quiet", thick=1, dashed=True)
    if chart.present is not None:
        at = plane.x.at(chart.present)
        drawing.line((at, 30), (at, 246), colour="blocked", thick=1.5)
        drawing.text(at + 4, 40, "now", "quiet", size=12)
    if len(theory) > 1:
        drawing.line(*plane.at(theory), colour="down", thick=1.5, dashed=True)
    means = plane.at((x, figure.mean) for x, figure in known)
    drawing.line(*means, colour="accent", thick=2)
    for x, y in means:
        drawing.circle(x, y, 3, "accent")
    return drawing


def _bars(chart: Bars) -> Drawing:
    bars = chart.bars[:_MOST_BARS]
    said = "; ".join(f"{bar.label}: {bar_text(chart, bar)}" for bar in bars)
    labels = [_lines(bar.label, 70 if chart.bands else 156) for bar in bars]
    pitch = 28 if any(len(lines) > 1 for lines in labels) else 22
    bottom = 30 + pitch * len(bars)
    drawing = Drawing(_WIDTH, bottom + 40, chart.title, f"{chart.y.heading}. {said}.")
    figures = [bar.figure for bar in bars if bar.figure is not None]
    values = [end for figure in figures for end in figure.outer]
    values += [bar.theory for bar in bars if bar.theory is not None]
    if not values or not chart.bands:
        values.append(0.0)
    left, right = (70, 252) if chart.bands else (170, 352)
    x_of = scale(values, left, right)
    marks = round_marks(x_of, 4)
    # So many marks that their texts have room, the zero among them.
    widest = max(len(text) for _, text in marks) * 0.6 * 12 + 8
    every = math.ceil(widest / (x_of.at(marks[1].at) - x_of.at(marks[0].at)))
    first = next((n for n, mark in enumerate(marks) if mark.at == 0), 0) % every
    Plane(drawing, x_of, Scale(0, 1, bottom, 24)).mark_x("", marks[first::every])
    if not chart.bands:
        drawing.line((x_of.at(0), 24), (x_of.at(0), bottom), colour="faint")
    drawing.text(left, 14, chart.y.heading, "quiet", size=12)
    for number, bar in enumerate(bars):
        y = 30.0 + pitch * (number + 0.5) - 5
        for n, line in enumerate(labels[number]):
            at = y + 4 + 12 * (n - (len(labels[number]) - 1) / 2)
            drawing.text(left - 8, at, line, anchor="end", size=12)
        drawing.text(right + 12, y + 4, bar_text(chart, bar), size=12)
        if bar.figure is None:
            continue
        shown = bar.figure.shown
        colour = "accent" if shown else "quiet"
        if chart.plain:
            left_end, end = x_of.at(0), x_of.at(bar.figure.mean)
            drawing.rect(left_end, y - 6, end - left_end, 12, "accent")
            continue
        if bar.figure.doubt:
            drawing.line(*((x_of.at(end), y) for end in bar.figure.outer), colour=colour, thick=1)
        thick = 5 if chart.bands else 4 if bar.figure.doubt else 2
        drawing.line(*((x_of.at(end), y) for end in bar.figure.inner), colour=colour, thick=thick)
        if not chart.bands:
            at = x_of.at(bar.figure.mean)
            drawing.circle(at, y, 4.5, "accent" if shown else "card", colour, 1.5)
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


def _map(chart: Map) -> Drawing:
    rows, columns = len(chart.down_values), len(chart.across_values)
    step = min(44.0, 360.0 / max(columns, 1))
    known = [f.mean for row in chart.rows for f in row if f is not None]
    low, high = (min(known), max(known)) if known else (0.0, 1.0)
    drawing = Drawing(
        _WIDTH,
        82 + step * rows,
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
            marks = chart.marks((down, across))
            drawing.circle(x, y, radius, "accent", "blocked" if marks else "", 3 if marks else 1)
            if marks:
                # Words in a large disc are as light as the card that it lies on.
                colour = "card" if radius > step * 0.2 else "quiet"
                below = 4 if colour == "card" else step / 2 - 3
                drawing.text(x, y + below, marks, colour, size=10, anchor="middle")
    return drawing
