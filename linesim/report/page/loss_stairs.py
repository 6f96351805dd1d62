"""The staircase from planned time down to good output, each step with its interval."""

from __future__ import annotations

import math

from linesim.report.at_a_glance import loss_staircase
from linesim.report.page.drawing import Drawing
from linesim.studies import Replicated

_ROW, _TOP = 27.0, 14.0
_LEFT, _RIGHT = 168.0, 344.0
_FILLS = {
    "planned busy time": "running",
    "good output": "good",
    "breakdowns": "down",
    "set-up and adjustment": "changeover",
    "idling and minor stops": "blocked",
    "reduced speed": "slowed",
}


def loss_stairs(replicated: Replicated) -> Drawing:
    """The staircase as a drawing 480 wide."""
    steps = loss_staircase(replicated)
    said = ", ".join(f"{step.name} {step.value}" for step in steps)
    title = "From planned time to good output"
    drawing = Drawing(480, _TOP + _ROW * len(steps) + 8, title, f"Hours: {said}.")
    whole = max(steps[0].top_h, 1e-9)

    def x_of(hours: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * min(1.05, max(-0.05, hours / whole))

    for number, step in enumerate(steps):
        y = _TOP + _ROW * number
        drawing.text(_LEFT - 8, y + 15, step.name, anchor="end", bold=step.whole)
        left, right = sorted((x_of(step.top_h), x_of(step.bottom_h)))
        drawing.rect(left, y, max(right - left, 1.0), 20, _FILLS.get(step.name, "rejects"))
        end = step.top_h if step.whole else step.bottom_h
        if not step.whole:
            drawing.line((x_of(end), y + 20), (x_of(end), y + _ROW), colour="faint")
        strokes = [(step.both_h, 1.2)]
        if step.both_h > step.half_width_h:
            strokes.append((step.half_width_h, 3.0))
        for half, thick in strokes:
            if math.isfinite(half):
                low, high = x_of(end - half), x_of(end + half)
                if high - low >= 2:
                    drawing.line((low, y + 10), (high, y + 10), colour="ink", thick=thick)
        drawing.text(_RIGHT + 12, y + 15, step.value, bold=step.whole)
    return drawing
