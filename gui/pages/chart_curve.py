"""A curve with its band, the closed form beside it, and a mark where the line is now."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPolygonF

import linesim
from gui.look.drawn import Spot
from gui.look.scales import Scale, along, upwards
from gui.pages.chart_frame import Paper, label, spoken, x_axis, y_axis, y_room

_DOT = 3.0
_RING = 5.5
_KEY = 26.0


class ChartMark(NamedTuple):
    """A place on the curve, what is written there, and the points that speak for it."""

    x: float
    words: str
    rests_on: tuple[int, ...]


def paint_curve(paper: Paper, chart: linesim.Curve, mark: ChartMark | None = None) -> list[Spot]:
    """Draw it; gives the places that have something to say when pointed at."""
    metrics, room = paper.metrics, paper.room
    top = (
        room.top()
        + paper.title(f"{chart.title}, {chart.y.unit}" if chart.y.unit else chart.title)
        + metrics.height()
        + 6
    )
    bottom = room.bottom() - 2 * metrics.height() - 6
    known = [p for p in chart.points if p.figure is not None]
    theories = [p.theory for p in chart.points if p.theory is not None]
    figures = [p.figure for p in known if p.figure is not None]
    ends = [f.mean + side * f.half_width for f in figures for side in (-1, 1)]
    up = upwards([*(f.mean for f in figures), *theories], ends, bottom, top)
    plot = QRectF(QPointF(room.left() + y_room(paper, up, bottom - top), top), room.bottomRight())
    plot.setBottom(bottom)
    plot.setRight(room.right() - 8)
    xs = [p.x for p in chart.points] + ([] if chart.present is None else [chart.present])
    across = along(xs, plot.left(), plot.right())
    y_axis(paper, plot, up)
    words = label(chart.x) + (" (logarithmic)" if across.logarithmic else "")
    x_axis(paper, plot, across, words)
    paper.painter.save()
    paper.painter.setClipRect(plot.adjusted(-1, -1, 1, 1))
    if up.low < 0 < up.high:
        paper.pen(paper.look.text)
        paper.painter.drawLine(QPointF(plot.left(), up.at(0)), QPointF(plot.right(), up.at(0)))
    if chart.present is not None:
        _present(paper, plot, across.at(chart.present))
    for stretch in _stretches(chart.points):
        _band(paper, stretch, across, up)
    _theory(paper, chart, across, up)
    if mark is not None:
        _mark(paper, plot, known, mark, across, up)
    spots = []
    for point in known:
        assert point.figure is not None
        spot = QPointF(across.at(point.x), up.at(point.figure.mean))
        paper.painter.setBrush(QColor(paper.look.curve))
        paper.pen(paper.look.curve)
        paper.painter.drawEllipse(spot, _DOT, _DOT)
        said = f"{chart.x.name} {point.x:g}: {spoken(point.figure, chart.y.unit)}"
        if point.theory is not None:
            said += f"\n{chart.theory_name}: {linesim.cell_text(point.theory)} {chart.y.unit}"
        box = QRectF(0, plot.top(), 14, plot.height())
        box.moveCenter(QPointF(spot.x(), plot.center().y()))
        spots.append((box, said))
    paper.painter.restore()
    _legend(
        paper,
        chart,
        QRectF(plot.left(), top - metrics.height() - 6, plot.width(), metrics.height()),
    )
    return spots


def _stretches(
    points: tuple[linesim.CurvePoint, ...],
) -> Iterator[list[tuple[float, linesim.Figure]]]:
    """Points without a gap between them."""
    stretch: list[tuple[float, linesim.Figure]] = []
    for point in points:
        if point.figure is not None:
            stretch.append((point.x, point.figure))
        elif stretch:
            yield stretch
            stretch = []
    if stretch:
        yield stretch


def _band(
    paper: Paper, stretch: list[tuple[float, linesim.Figure]], across: Scale, up: Scale
) -> None:
    upper = [QPointF(across.at(x), up.at(f.mean + f.half_width)) for x, f in stretch]
    lower = [QPointF(across.at(x), up.at(f.mean - f.half_width)) for x, f in stretch]
    painter = paper.painter
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(paper.faint(paper.look.curve))
    painter.drawPolygon(QPolygonF(upper + lower[::-1]))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    paper.pen(paper.look.curve, 2)
    painter.drawPolyline(QPolygonF([QPointF(across.at(x), up.at(f.mean)) for x, f in stretch]))


def _theory(paper: Paper, chart: linesim.Curve, across: Scale, up: Scale) -> None:
    found = [QPointF(across.at(p.x), up.at(p.theory)) for p in chart.points if p.theory is not None]
    if found:
        paper.pen(paper.look.ghost, 1.6, Qt.PenStyle.DashLine)
        paper.painter.drawPolyline(QPolygonF(found))


def _present(paper: Paper, plot: QRectF, x: float) -> None:
    paper.pen(paper.look.text, 1, Qt.PenStyle.DotLine)
    paper.painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
    wide = paper.metrics.horizontalAdvance("now ")
    left = x + 4 if x + 4 + wide < plot.right() else x - 4 - wide
    # The mark has its words at the lower end.
    box = QRectF(left, plot.top() + 2, wide, paper.metrics.height())
    paper.text(box, Qt.AlignmentFlag.AlignLeft, "now")


def _mark(
    paper: Paper,
    plot: QRectF,
    known: list[linesim.CurvePoint],
    mark: ChartMark,
    across: Scale,
    up: Scale,
) -> None:
    """A line up the plot; the intervals it rests on stand out from the band."""
    painter, look = paper.painter, paper.look
    x = across.at(mark.x)
    paper.pen(look.text, 1.5)
    painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
    for point in known:
        if point.figure is None or point.x not in mark.rests_on:
            continue
        at, figure = across.at(point.x), point.figure
        high, low = (up.at(figure.mean + side * figure.half_width) for side in (1, -1))
        paper.pen(look.curve, 5)
        painter.drawLine(QPointF(at, high), QPointF(at, low))
        painter.setBrush(QColor(look.ground))
        paper.pen(look.curve, 2)
        painter.drawEllipse(QPointF(at, up.at(figure.mean)), _RING, _RING)
    wide = paper.metrics.horizontalAdvance(mark.words) + 8
    left = x + 4 if x + 4 + wide < plot.right() else x - 4 - wide
    box = QRectF(left, plot.bottom() - 2 * paper.metrics.height() - 6, wide, 0)
    box.setHeight(paper.metrics.height())
    painter.fillRect(box, QColor(look.ground))
    paper.text(box, Qt.AlignmentFlag.AlignCenter, mark.words)


def _legend(paper: Paper, chart: linesim.Curve, room: QRectF) -> None:
    """Keys in one row above the plot."""
    left = room.left()
    middle = room.center().y()
    shares = [(f"{chart.of}, with its {100 * paper.level:.0f} % interval", True)]
    if chart.theory_name and any(p.theory is not None for p in chart.points):
        shares.append((chart.theory_name, False))
    for words, simulated in shares:
        if simulated:
            band = QRectF(left, middle - 5, _KEY - 6, 10)
            paper.painter.fillRect(band, paper.faint(paper.look.curve))
            paper.pen(paper.look.curve, 2)
        else:
            paper.pen(paper.look.ghost, 1.6, Qt.PenStyle.DashLine)
        paper.painter.drawLine(QPointF(left, middle), QPointF(left + _KEY - 6, middle))
        wide = paper.metrics.horizontalAdvance(words) + 2
        box = QRectF(left + _KEY, room.top(), min(wide, room.right() - left - _KEY), room.height())
        paper.text(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        left += _KEY + wide + 18
