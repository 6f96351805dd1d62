"""The plane of a chart: marks along its axes and where values stand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from linesim.report.answers.charts import Tick
from linesim.report.page.drawing import Drawing, Point
from linesim.report.scales import Scale, tick_text


@dataclass(frozen=True)
class Plane:
    """The part of a drawing in which values stand; ``y`` starts at its foot."""

    drawing: Drawing
    x: Scale
    y: Scale

    def at(self, places: Iterable[Point]) -> list[Point]:
        """Where these places stand in the drawing."""
        return [(self.x.at(x), self.y.at(y)) for x, y in places]

    def mark_y(self, heading: str, marks: Iterable[Tick] = ()) -> None:
        """A line across at each mark, else at round values, and what the axis is."""
        left, right = self.x.start, self.x.end
        for value, text in marks or round_marks(self.y, 5):
            y = self.y.at(value)
            self.drawing.line((left, y), (right, y), colour="grid")
            self.drawing.text(left - 6, y + 4, text, "quiet", size=12, anchor="end")
        self.drawing.text(left, self.y.end - 16, heading, "quiet", size=12)

    def mark_x(self, heading: str, marks: Iterable[Tick] = ()) -> None:
        """A line upwards at each mark, else at round values, and what the axis is."""
        foot = self.y.start
        for value, text in marks or round_marks(self.x, 6):
            x = self.x.at(value)
            self.drawing.line((x, self.y.end), (x, foot), colour="grid")
            self.drawing.text(x, foot + 16, text, "quiet", size=12, anchor="middle")
        middle = (self.x.start + self.x.end) / 2
        if heading:
            self.drawing.text(middle, foot + 38, heading, "quiet", size=12.5, anchor="middle")


def scale(values: Iterable[float], start: float, end: float) -> Scale:
    """A scale with a little room beyond the values at both ends."""
    found = sorted(values)
    room = 0.04 * (found[-1] - found[0]) or 0.5
    return Scale(found[0] - room, found[-1] + room, start, end)


def round_marks(along: Scale, most: int) -> list[Tick]:
    """Round values on a scale, about as many as asked."""
    values = along.ticks(most)
    return [Tick(value, tick_text(value, values)) for value in values]
