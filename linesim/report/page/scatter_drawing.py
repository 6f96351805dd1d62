"""Single values beside the law or the mean they are held against, as a drawing."""

from __future__ import annotations

from linesim.report.answers.charts import Scatter
from linesim.report.page.drawing import Drawing
from linesim.report.page.plot import Plane, scale
from linesim.statistics import counted

_LEFT, _RIGHT, _TOP, _BOTTOM = 76.0, 464.0, 76.0, 298.0


def scatter_drawing(chart: Scatter) -> Drawing:
    """The drawing of it, 480 wide."""
    said = f"{counted(len(chart.points), 'point')}; the tables give the fit."
    about = f"{chart.y.heading} by {chart.x.heading}. {chart.caption} {said}"
    drawing = Drawing(480, 352, chart.title, about)
    low_x, high_x, low_y, high_y = chart.ends
    x_of, y_of = scale((low_x, high_x), _LEFT, _RIGHT), scale((low_y, high_y), _BOTTOM, _TOP)
    plane = Plane(drawing, x_of, y_of)
    plane.mark_y(chart.y.heading, chart.y_ticks)
    plane.mark_x(chart.x.heading, chart.x_ticks)
    if chart.band:
        drawing.area(*plane.at(chart.band), fill="band")
    for line, colour, thick in ((chart.thin, "down", 1.3), (chart.line, "accent", 2.0)):
        if line:
            drawing.line(*plane.at(line), colour=colour, thick=thick)
    for x, y in plane.at(chart.points):
        drawing.circle(x, y, 2.4, "ink")
    for x, y in plane.at(chart.cut_off):
        drawing.circle(x, y, 4, "", "ink", 1.4)
    _key(drawing, chart)
    return drawing


def _key(drawing: Drawing, chart: Scatter) -> None:
    """What each mark is, in rows above the plot."""
    x, y = _LEFT, 14.0
    for kind, words in chart.key:
        wide = 24 + 6.1 * len(words) + 14
        if x > _LEFT and x + wide > drawing.width:
            x, y = _LEFT, y + 16
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
