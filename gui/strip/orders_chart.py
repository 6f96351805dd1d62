"""The orders of a run over its time, put onto a plot: from begun to done, and when each is due."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF

import linesim
from gui.charts.keys import Key
from gui.charts.pens import full
from gui.charts.plot import Plot
from gui.charts.shapes import Box, Shape, Stroke
from gui.look import mixed
from gui.strip.curves import Stretch
from gui.strip.time_axis import put_time
from linesim.report import OrderInTime, orders_in_time
from linesim.scenario import HOUR

TITLE = "Orders, and when they are due"
_DUE_FROM = 0.5
"""Bands stand below, what is due above this part of the height."""
_HATCH = 110
_CLEAR = 6.0


def draw_orders(plot: Plot, stretch: Stretch, *, in_row: bool = False) -> None:
    """Put them onto the plot: by itself, or in a row of the strip, whose axis says the time.

    A late order is hatched from when it was due, and says so.
    """
    orders = orders_in_time(stretch.record)
    put_time(plot, stretch.window, in_row=in_row)
    shapes: list[Shape] = []
    for number, order in enumerate(orders):
        shapes += _band(plot, stretch, order, lighter=number % 2 == 1)
    plot.put_shapes([*shapes, *_due(plot, stretch, orders)])
    if not in_row:
        plot.put_names("left", [(_DUE_FROM / 2, "made"), ((1 + _DUE_FROM) / 2, "due")])
        plot.put_keys(
            Key("from begun to done", None, full(plot.look.curve)),
            Key("late", None, _hatch(plot)),
            Key("due", plot.pen(plot.look.text, 2)),
        )


def _hatch(plot: Plot) -> QBrush:
    """Faint enough for words to be read on it."""
    colour = QColor(plot.look.trouble)
    colour.setAlpha(_HATCH)
    return QBrush(colour, Qt.BrushStyle.BDiagPattern)


def _part(stretch: Stretch, hours: float) -> float:
    """Where a moment stands; far away is beyond what is seen."""
    return min(max(stretch.window.to_part(round(hours * HOUR)), -1.0), 2.0)


def _band(plot: Plot, stretch: Stretch, order: OrderInTime, *, lighter: bool) -> list[Shape]:
    if order.begun_h is None:
        return []
    look = plot.look
    done_h = stretch.record.end_ns / HOUR if order.done_h is None else order.done_h
    left, right = (_part(stretch, hours) for hours in (order.begun_h, done_h))
    area = QRectF(left, 0.02, right - left, _DUE_FROM - 0.04)
    shade = mixed(look.ground, look.curve, 0.15 if lighter else 0.35)
    found: list[Shape] = [Box(area, QBrush(QColor(shade)), None)]
    line = plot.pen(look.curve)
    if order.late_h is not None:
        late_from = _part(stretch, order.due_h or 0.0)
        late = QRectF(area)
        late.setLeft(max(left, min(late_from, right)))
        found.append(Box(late, _hatch(plot), None))
        line = plot.pen(look.trouble, 1.6)
    # The words stand in the middle of what is seen of it.
    seen = area.intersected(QRectF(0, 0, 1, 1))
    found.append(Box(seen, None, line, words=order.titles, ink=look.text))
    return found


def _due(plot: Plot, stretch: Stretch, orders: tuple[OrderInTime, ...]) -> list[Shape]:
    """A line for each; words where they do not stand over those before, or beyond the edge."""
    metrics, wide = QFontMetricsF(plot.chart_font), max(1.0, plot.width() - plot.left_px)
    found: list[Shape] = []
    said_until = -_CLEAR
    due = sorted((each.due_h, each) for each in orders if each.due_h is not None)
    for due_h, order in due:
        at = _part(stretch, due_h)
        if not 0 <= at <= 1:
            continue
        colour = plot.look.text if order.late_h is None else plot.look.trouble
        found.append(Stroke(at, _DUE_FROM, at, 1, plot.pen(colour, 2), 0))
        for text in (f"{order.name} due", "due"):
            needed = metrics.horizontalAdvance(text) + _CLEAR
            # To the left of its line, so that it is read up to it.
            if at * wide - needed >= said_until + _CLEAR:
                area = QRectF(at - needed / wide, _DUE_FROM, needed / wide, 1 - _DUE_FROM)
                found.append(Box(area, words=(text,), ink=colour))
                said_until = at * wide
                break
    return found


def orders_table(stretch: Stretch) -> linesim.report.AnswerTable:
    """Its figures, of the whole run."""
    return linesim.report.orders_table(stretch.record)
