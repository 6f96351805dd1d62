"""The plane of a chart: round marks along its axes and where a value stands."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from linesim.report.answers.charts import Tick
from linesim.report.page.drawing import Drawing, Point


@dataclass(frozen=True)
class Scale:
    """Values from ``low`` to ``high`` laid out from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value stands; beyond the ends it stands at the end."""
        part = (value - self.low) / (self.high - self.low)
        return self.start + (self.end - self.start) * min(1.0, max(0.0, part))


@dataclass(frozen=True)
class Plane:
    """The part of a drawing in which values stand; ``y`` starts at its foot."""

    drawing: Drawing
    x: Scale
    y: Scale

    def at(self, places: Iterable[Point]) -> list[Point]:
        """Where these places stand in the drawing."""
        return [(self.x.at(x), self.y.at(y)) for x, y in places]

    def mark_y(self, marks: Iterable[Tick], heading: str) -> None:
        """A line across at each mark, and what the axis is."""
        left, right = self.x.start, self.x.end
        for value, text in marks:
            y = self.y.at(value)
            self.drawing.line((left, y), (right, y), colour="grid")
            self.drawing.text(left - 6, y + 4, text, "quiet", size=12, anchor="end")
        self.drawing.text(left, self.y.end - 16, heading, "quiet", size=12)

    def mark_x(self, marks: Iterable[Tick], heading: str = "") -> None:
        """A line upwards at each mark, and what the axis is."""
        foot = self.y.start
        for value, text in marks:
            x = self.x.at(value)
            self.drawing.line((x, self.y.end), (x, foot), colour="grid")
            self.drawing.text(x, foot + 16, text, "quiet", size=12, anchor="middle")
        middle = (self.x.start + self.x.end) / 2
        if heading:
            self.drawing.text(middle, foot + 38, heading, "quiet", size=12.5, anchor="middle")


def round_marks(low: float, high: float, about: int = 5) -> tuple[Tick, ...]:
    """Round values (1, 2 or 5 times a power of ten apart) that take in ``low`` and ``high``.

    They are written with no more digits than their step has.

    >>> [text for _, text in round_marks(-12, 31)], [text for _, text in round_marks(0, 1.2)]
    (['−20', '−10', '0', '10', '20', '30', '40'], ['0.0', '0.5', '1.0', '1.5'])
    """
    if not high > low:
        high = low + (abs(low) or 1.0)
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(f * power for f in (1, 2, 5, 10) if f * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    return tuple(
        Tick(n * step, f"{n * step:,.{digits}f}".replace("-", "−")) for n in range(first, last + 1)
    )


def marks_within(low: float, high: float, about: int = 5) -> list[Tick]:
    """Round values between two ends."""
    room = 0.001 * (high - low)
    return [mark for mark in round_marks(low, high, about) if low - room <= mark.at <= high + room]
