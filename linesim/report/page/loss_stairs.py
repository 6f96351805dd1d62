"""The staircase from planned time down to good output, each step with its interval."""

from __future__ import annotations

import math

from linesim.report import words
from linesim.report.page.drawing import Drawing
from linesim.report.page.plot import Scale
from linesim.statistics import Interval
from linesim.studies import Replicated
from linesim.studies.figures import LINE

_WIDTH, _ROW, _TOP = 480.0, 27.0, 14.0
_LEFT, _RIGHT = 168.0, 344.0
_WHOLE = ("planned busy time", "good output")


_FILLS = {
    "planned busy time": "running",
    "good output": "good",
    "breakdowns": "down",
    "set-up and adjustment": "changeover",
    "idling and minor stops": "blocked",
    "reduced speed": "slowed",
}


def line_steps(replicated: Replicated) -> dict[str, Interval]:
    """Hours of the line by step, from planned busy time to good output."""
    steps = replicated.over_table(lambda run: run.losses_h[LINE], "h")
    return {name: v for name, v in steps.items() if name not in ("counted time", "planned stops")}


def loss_stairs(replicated: Replicated) -> Drawing:
    """The staircase as a drawing 480 wide."""
    steps = line_steps(replicated)
    whole = max(steps["planned busy time"].mean, 1e-9)
    said = ", ".join(f"{name} {words.hours(value)} h" for name, value in steps.items())
    drawing = Drawing(
        _WIDTH, _TOP + _ROW * len(steps) + 8, "From planned time to good output", f"Hours: {said}."
    )

    room = 0.05 * (_RIGHT - _LEFT)
    x_of = Scale(-0.05 * whole, 1.05 * whole, _LEFT - room, _RIGHT + room).at
    left = whole
    for number, (name, value) in enumerate(steps.items()):
        y = _TOP + _ROW * number
        bold, fill = name in _WHOLE, _FILLS.get(name, "rejects")
        drawing.text(_LEFT - 8, y + 15, name, anchor="end", bold=bold)
        if bold:
            drawing.rect(_LEFT, y, x_of(value.mean) - _LEFT, 20, fill)
            end = value.mean
        else:
            end = left - value.mean
            a, b = sorted((x_of(left), x_of(end)))
            drawing.rect(a, y, max(b - a, 1.0), 20, fill)
            drawing.line((x_of(end), y + 20), (x_of(end), y + _ROW), colour="faint")
            left = end
        if 0 < value.half_width < math.inf:
            low, high = x_of(end - value.half_width), x_of(end + value.half_width)
            if high - low >= 2:
                drawing.line((low, y + 10), (high, y + 10), colour="ink", thick=1.2)
        drawing.text(_RIGHT + 12, y + 15, f"{words.hours(value)} h", bold=bold)
    return drawing
