"""The staircase of losses, put onto a plot."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QColor

from gui.charts.bars import row_box, row_middle
from gui.charts.keys import Key
from gui.charts.pens import DASHES
from gui.charts.plot import Plot
from gui.charts.readout import Spot
from gui.charts.scales import upwards
from gui.charts.shapes import Box, Shape, Stroke
from linesim.report import LossChange, LossStep

DIFFERENCE = "difference, same random numbers"
_NAMES = 0.3
_BAR_PX = 24.0
_BEYOND_PX = 3.0
"""The line before is higher than the bar, so that it shows where both are alike."""


def draw_staircase(
    plot: Plot, steps: tuple[LossStep, ...], changes: tuple[LossChange, ...], before: str
) -> None:
    """Each loss begins where the last one ended.

    ``changes`` are drawn as the outline of the line ``before``; none: there is none.
    """
    if not steps:
        plot.put_nothing("No run yet.")
        return
    rows = len(steps)
    differs = {change.name: change for change in changes}
    hours = [each for step in (*steps, *changes) for each in (step.top_h, step.bottom_h)]
    plot.put_scales(upwards(hours, hours, 0, 1, zero=True), plot.up)
    plot.only_across()
    plot.put_axis("top", "hours of planned time")
    at = [row_middle(n, rows) for n in range(rows)]
    plot.put_names(
        "left", [(y, step.name) for y, step in zip(at, steps, strict=True)], share=_NAMES
    )
    for texts in (
        [step.value for step in steps],
        [step.share for step in steps],
        [differs[step.name].value if step.name in differs else "" for step in steps],
    ):
        if any(texts):
            plot.put_names("right", list(zip(at, texts, strict=True)))
    shapes: list[Shape] = []
    spots = []
    last: LossStep | None = None
    for n, (y, step) in enumerate(zip(at, steps, strict=True)):
        change = differs.get(step.name)
        shapes += _step(plot, y, step, last, rows)
        if change is not None:
            dashed = plot.pen(plot.look.ghost, 1.2, DASHES)
            shapes.append(
                Box(
                    _area(plot, y, change, rows),
                    None,
                    dashed,
                    (1e6, _BAR_PX),
                    beyond_px=(0, _BEYOND_PX),
                )
            )
        end = plot.place(max(step.top_h, step.bottom_h), 0).x()
        spots.append(Spot(QPointF(end, y), _words(step, change), row_box(n, rows)))
        last = step
    plot.put_shapes(shapes)
    plot.reading.spots = tuple(spots)
    if changes:
        keys = [Key(f"{before}; last column: {DIFFERENCE}", plot.pen(plot.look.ghost, 1.2, DASHES))]
        plot.put_keys(*keys)


def _words(step: LossStep, change: LossChange | None) -> str:
    words = f"{step.name}: {step.value}, {step.share} of planned time"
    return words if change is None else f"{words}\n{DIFFERENCE}: {change.value}"


def _area(plot: Plot, y: float, step: LossStep | LossChange, rows: int) -> QRectF:
    low, high = (plot.place(each, 0).x() for each in sorted((step.top_h, step.bottom_h)))
    thick = 0.64 / rows
    return QRectF(low, y - thick / 2, high - low, thick)


def _step(plot: Plot, y: float, step: LossStep, last: LossStep | None, rows: int) -> list[Shape]:
    look = plot.look
    fill = look.grid
    if not step.whole:
        fill = look.ghost
    elif step.name == "good output":
        fill = look.curve
    edge = plot.pen(look.ghost) if step.whole else None
    area = _area(plot, y, step, rows)
    found: list[Shape] = [Box(area, QBrush(QColor(fill)), edge, (1e6, _BAR_PX))]
    if last is not None and not step.whole:
        x = plot.place(step.top_h, 0).x()
        found.append(Stroke(x, y + 1 / rows, x, y, plot.pen(look.ghost), 0))
    if not 0 < step.both_h < math.inf:
        return found
    # At the end of the bar that the figure moves.
    end = step.top_h if step.whole else step.bottom_h
    halves = [(step.both_h, plot.pen(look.text, 1.2), 4.0)]
    if step.both_h > step.half_width_h:
        # Thick: what luck alone leaves open.
        halves.append((step.half_width_h, plot.pen(look.text, 3), 0.0))
    for half, line, end_px in halves:
        low, high = plot.place(end - half, 0).x(), plot.place(end + half, 0).x()
        found.append(Stroke(low, y, high, y, line, end_px))
    return found
