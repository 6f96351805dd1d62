"""Single values beside the law or the mean they are held against, as a drawing."""

from __future__ import annotations

import itertools

from linesim.report.answers.charts import Scatter, Tick
from linesim.report.page.drawing import Drawing
from linesim.report.page.scales import Scale, tick_text, ticks
from linesim.statistics import counted

_WIDTH, _HEIGHT = 480.0, 352.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 76.0, 464.0, 76.0, 298.0
_ROOM = 0.04
_MOST_TOLD = 40
_KEY_AT, _KEY_ROW = 14.0, 16.0


def scatter_drawing(chart: Scatter) -> Drawing:
    """The drawing of it, 480 wide."""
    drawing = Drawing(
        _WIDTH,
        _HEIGHT,
        chart.title,
        f"{chart.y.heading} by {chart.x.heading}. {chart.caption} {_counted_points(chart)}",
    )
    low_x, high_x, low_y, high_y = chart.ends
    x_of = Scale(*_wider(low_x, high_x), _LEFT, _RIGHT)
    y_of = Scale(*_wider(low_y, high_y), _BOTTOM, _TOP)
    for tick in chart.y_ticks or even_ticks(low_y, high_y, 5):
        y = y_of.at(tick.at)
        drawing.line((_LEFT, y), (_RIGHT, y), colour="grid")
        drawing.text(_LEFT - 6, y + 4, tick.text, "quiet", size=12, anchor="end")
    for tick in chart.x_ticks or even_ticks(low_x, high_x, 6):
        x = x_of.at(tick.at)
        drawing.line((x, _TOP), (x, _BOTTOM), colour="grid")
        drawing.text(x, _BOTTOM + 16, tick.text, "quiet", size=12, anchor="middle")
    drawing.text(_LEFT, _TOP - 6, chart.y.heading, "quiet", size=12)
    middle = (_LEFT + _RIGHT) / 2
    drawing.text(middle, _BOTTOM + 38, chart.x.heading, "quiet", size=12.5, anchor="middle")

    def at(place: tuple[float, float]) -> tuple[float, float]:
        return x_of.at(place[0]), y_of.at(place[1])

    if chart.band:
        drawing.area(*map(at, chart.band), fill="band")
    if chart.thin:
        drawing.line(*map(at, chart.thin), colour="down", thick=1.3)
    if chart.line:
        drawing.line(*map(at, chart.line), colour="accent", thick=2)
    for place in chart.points:
        drawing.circle(*at(place), 2.4, "ink")
    for place in chart.cut_off:
        drawing.circle(*at(place), 4, "", "ink", 1.4)
    _key(drawing, chart)
    return drawing


def even_ticks(low: float, high: float, about: int) -> tuple[Tick, ...]:
    """Round numbers between two ends."""
    marks = ticks(low, high, about)
    step = min((b - a for a, b in itertools.pairwise(marks)), default=1.0)
    room = 0.001 * (high - low)
    return tuple(
        Tick(mark, tick_text(mark, step)) for mark in marks if low - room <= mark <= high + room
    )


def _wider(low: float, high: float) -> tuple[float, float]:
    room = _ROOM * (high - low) or 0.5
    return low - room, high + room


def _counted_points(chart: Scatter) -> str:
    count = len(chart.points)
    return f"{counted(count, 'point')}; the tables give the fit."


def _key(drawing: Drawing, chart: Scatter) -> None:
    """What each mark is, in rows above the plot."""
    x, row = _LEFT, 0
    for kind, words in chart.key:
        wide = 24 + 6.1 * len(words) + 14
        if x > _LEFT and x + wide > _WIDTH:
            x, row = _LEFT, row + 1
        y = _KEY_AT + _KEY_ROW * row
        if kind == "points":
            drawing.circle(x + 8, y - 4, 2.4, "ink")
        elif kind == "cut_off":
            drawing.circle(x + 8, y - 4, 4, "", "ink", 1.4)
        elif kind == "band":
            drawing.rect(x, y - 9, 18, 10, "band")
        else:
            colour, thick = ("accent", 2.0) if kind == "line" else ("down", 1.3)
            drawing.line((x, y - 4), (x + 18, y - 4), colour=colour, thick=thick)
        drawing.text(x + 24, y, words, "quiet", size=11.5)
        x += wide
