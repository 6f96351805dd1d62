"""The staircase from planned time down to good output, each step with its interval."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import Any

from linesim.report.answers.plots import label_rows
from linesim.report.at_a_glance import LossStep, loss_staircase
from linesim.report.colours import LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.picture_style import HALF
from linesim.studies import Replicated

_ROW, _FRAME = 15.0, 10.0
_NAME = 24
"""Letters of a name in one line."""
_FILLS = {
    "planned busy time": "running",
    "good output": "good",
    "breakdowns": "down",
    "set-up and adjustment": "changeover",
    "idling and minor stops": "blocked",
    "reduced speed": "slowed",
}


def loss_stairs(replicated: Replicated) -> Drawing:
    """The staircase as a drawing as wide as half a page."""
    from linesim.report.page.figure_drawing import figure_drawing

    steps = loss_staircase(replicated)
    said = ", ".join(f"{step.name} {step.value}" for step in steps)
    title = "From planned time to good output"
    height = _FRAME + _ROW * len(steps)
    return figure_drawing(partial(_paint, steps), HALF, height, title, f"Hours: {said}.")


def _paint(steps: Sequence[LossStep], axes: Any) -> None:
    whole = max(steps[0].top_h, 1e-9)
    low, high = -0.05 * whole, 1.05 * whole
    for n, step in enumerate(steps):
        left, right = sorted((step.top_h, step.bottom_h))
        colour = LIGHT[_FILLS.get(step.name, "rejects")]
        width = max(right - left, 0.004 * whole)
        axes.barh(n, width, left=left, height=0.72, facecolor=colour, edgecolor="none")
        end = step.top_h if step.whole else step.bottom_h
        if not step.whole:
            axes.plot([end, end], [n + 0.36, n + 0.64], color=LIGHT["faint"], linewidth=0.8)
        strokes = [(step.both_h, 0.9)] + [(step.half_width_h, 2.0)] * (
            step.both_h > step.half_width_h
        )
        for half, thick in strokes:
            if math.isfinite(half) and half > 0.004 * whole:
                ends = [max(low, end - half), min(high, end + half)]
                axes.plot(ends, [n, n], color=LIGHT["ink"], lw=thick, solid_capstyle="butt")
    axes.set_xlim(low, high)
    axes.spines[["left", "bottom"]].set_visible(False)
    axes.set_xticks([])
    rows = [(step.name, step.value, step.whole) for step in steps]
    label_rows(axes, rows, _NAME)
