"""Single values, each a point, beside the law or the mean they are held against."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPolygonF

import linesim
from gui.look.drawn import Spot
from gui.pages.chart_frame import Paper
from linesim.report import Scale, tick_text

_DOT, _RING = 2.2, 4.2
_KEY = 24.0
_ROOM = 0.04
_GAP = 6.0
_REACH = 7.0


def paint_scatter(paper: Paper, chart: linesim.report.Scatter) -> list[Spot]:
    """Draw it; gives the places that have something to say when pointed at."""
    metrics, room = paper.metrics, paper.room
    top = room.top() + paper.title(chart.title)
    top += _said(paper, top, chart.caption)
    top += _key(paper, chart, top) + metrics.height() + 4
    bottom = room.bottom() - 2 * metrics.height() - 6
    low_x, high_x, low_y, high_y = chart.ends
    up = Scale(*_wider(low_y, high_y), bottom, top)
    marks = _marks(chart.y_ticks, up, int((bottom - top) / (1.6 * metrics.height())))
    wide = max((metrics.horizontalAdvance(text) for _, text in marks), default=0.0) + 2 * _GAP
    plot = QRectF(room.left() + wide, top, room.width() - wide - 8, bottom - top)
    across = Scale(*_wider(low_x, high_x), plot.left(), plot.right())
    paper.text(
        QRectF(room.left(), top - metrics.height() - 4, room.width(), metrics.height()),
        Qt.AlignmentFlag.AlignLeft,
        chart.y.heading,
    )
    taken = bottom + metrics.height()
    for at, text in marks:
        paper.pen(paper.look.grid)
        y = up.at(at)
        paper.painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
        if y > taken - metrics.height():
            continue
        taken = y
        box = QRectF(room.left(), y - metrics.height() / 2, wide - _GAP, metrics.height())
        paper.text(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
    _below(paper, chart, plot, across)
    _drawn(paper, chart, plot, across, up)
    return _spots(chart, across, up)


def _wider(low: float, high: float) -> tuple[float, float]:
    room = _ROOM * (high - low) or 0.5
    return low - room, high + room


def _marks(
    ticks: tuple[tuple[float, str], ...], scale: Scale, most: int
) -> list[tuple[float, str]]:
    if ticks:
        return [(at, text) for at, text in ticks]
    values = scale.ticks(max(2, most))
    return [(value, tick_text(value, values)) for value in values]


def _said(paper: Paper, top: float, words: str) -> float:
    """What the picture shows, in as many rows as it needs; gives the height it took."""
    flags = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
    box = QRectF(paper.room.left(), top, paper.room.width(), 4 * paper.metrics.height())
    needed = paper.metrics.boundingRect(box, flags, words)
    paper.pen(paper.look.text)
    paper.painter.drawText(box, flags, words)
    return float(needed.height()) + _GAP


def _below(paper: Paper, chart: linesim.report.Scatter, plot: QRectF, across: Scale) -> None:
    """Marks along the lower edge, as many as have room, and what they are."""
    metrics = paper.metrics
    numbers = plot.bottom() + 3
    taken = plot.left() - 1000
    wide = metrics.horizontalAdvance("00,000  ")
    for at, text in _marks(chart.x_ticks, across, int(plot.width() / wide)):
        x, half = across.at(at), metrics.horizontalAdvance(text) / 2
        paper.pen(paper.look.grid)
        paper.painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
        if x - half < taken:
            continue
        taken = x + half + 4
        box = QRectF(x - half - 2, numbers, 2 * half + 4, metrics.height())
        paper.text(box, Qt.AlignmentFlag.AlignCenter, text)
    box = QRectF(plot.left(), numbers + metrics.height() + 1, plot.width(), metrics.height())
    paper.text(box, Qt.AlignmentFlag.AlignCenter, chart.x.heading)


def _drawn(
    paper: Paper, chart: linesim.report.Scatter, plot: QRectF, across: Scale, up: Scale
) -> None:
    painter, look = paper.painter, paper.look

    def shape(places: tuple[tuple[float, float], ...]) -> QPolygonF:
        return QPolygonF([QPointF(across.at(x), up.at(y)) for x, y in places])

    painter.save()
    painter.setClipRect(plot.adjusted(-_RING, -_RING, _RING, _RING))
    if chart.band:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(paper.faint(look.curve))
        painter.drawPolygon(shape(chart.band))
        painter.setBrush(Qt.BrushStyle.NoBrush)
    if chart.thin:
        paper.pen(look.ghost, 1.4)
        painter.drawPolyline(shape(chart.thin))
    if chart.line:
        paper.pen(look.curve, 2)
        painter.drawPolyline(shape(chart.line))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(look.text))
    for x, y in chart.points:
        painter.drawEllipse(QPointF(across.at(x), up.at(y)), _DOT, _DOT)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    paper.pen(look.text, 1.4)
    for x, y in chart.cut_off:
        painter.drawEllipse(QPointF(across.at(x), up.at(y)), _RING, _RING)
    painter.restore()


def _spots(chart: linesim.report.Scatter, across: Scale, up: Scale) -> list[Spot]:
    """Each kind of mark says what it is."""
    found = []
    for places, words in ((chart.cut_off, chart.cut_off_name), (chart.points, chart.points_name)):
        for x, y in places:
            box = QRectF(0, 0, 2 * _REACH, 2 * _REACH)
            box.moveCenter(QPointF(across.at(x), up.at(y)))
            found.append((box, words))
    return found


def _key(paper: Paper, chart: linesim.report.Scatter, top: float) -> float:
    """What each mark is, in as many rows as it takes; gives their height."""
    metrics, room, look = paper.metrics, paper.room, paper.look
    left, row = room.left(), 0
    height = metrics.height() + 2
    for kind, words in chart.key:
        wide = _KEY + metrics.horizontalAdvance(words) + 16
        if left > room.left() and left + wide > room.right():
            left, row = room.left(), row + 1
        middle = top + row * height + metrics.height() / 2
        _sign(paper, kind, left, middle)
        box = QRectF(left + _KEY, middle - metrics.height() / 2, wide - _KEY, metrics.height())
        paper.text(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        left += wide
    paper.pen(look.text)
    return (row + 1) * height + _GAP


def _sign(paper: Paper, kind: str, left: float, middle: float) -> None:
    painter, look = paper.painter, paper.look
    if kind == "band":
        painter.fillRect(QRectF(left, middle - 5, _KEY - 6, 10), paper.faint(look.curve))
    elif kind in ("points", "cut_off"):
        whole = kind == "points"
        size = _DOT if whole else _RING
        painter.setPen(Qt.PenStyle.NoPen)
        if not whole:
            paper.pen(look.text, 1.4)
        painter.setBrush(QColor(look.text) if whole else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(left + (_KEY - 6) / 2, middle), size, size)
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        line = kind == "line"
        paper.pen(look.curve if line else look.ghost, 2 if line else 1.4)
        painter.drawLine(QPointF(left, middle), QPointF(left + _KEY - 6, middle))
