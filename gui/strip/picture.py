"""Paints the strip: axis, lanes, curves, titles and legend; all that does not follow the cursor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPolygonF

import linesim
from gui.look import Palette, state_look
from gui.strip.curves import RunCurves, bridge_marks, level_pixels
from gui.strip.lanes import Lane, Layer, lit
from gui.strip.reduce import TimeIn
from gui.strip.rows import AXIS_PX, LEGEND_PX, TITLE_PX, Row
from gui.strip.span_image import image_of, lane_pixels, mixed
from gui.strip.window_of_time import TimeWindow
from linesim import Record, Ripple, State

_LEGEND = (
    (State.DOWN, False),
    (State.CHANGEOVER, False),
    (State.WAITING_PEOPLE, False),
    (State.WAITING_REEL, False),
    (State.BLOCKED, False),
    (State.STARVED, False),
    (State.BLOCKED, True),
    (State.SLOWED, True),
)
_DIM = 0.22
_LONG_NS = 48 * linesim.NS_PER_H


@dataclass
class Picture:
    """What is to be painted, and into which space (points of the widget)."""

    record: Record
    curves: RunCurves
    ghost: RunCurves | None
    window: TimeWindow
    rows: list[Row]
    plot: QRect
    palette: Palette
    scale: float
    font: QFont
    ripple: Ripple | None

    def __post_init__(self) -> None:
        pixels = max(1, round(self.plot.width() * self.scale))
        window = self.window
        self._edges = np.linspace(window.start_ns, window.end_ns, pixels + 1).astype(np.int64)

    def paint(self, painter: QPainter) -> None:
        """Everything, from the axis down."""
        painter.setFont(self.font)
        self._axis(painter)
        for row in self.rows:
            if row.what == "lane" and row.lane is not None:
                self._lane(painter, row, row.lane)
            elif row.what == "level":
                self._level(painter, row)
            else:
                self._reams(painter, row)
        self._legend(painter)

    def x_of(self, t_ns: int) -> float:
        """Where a moment lies across the widget."""
        return self.plot.left() + self.window.to_part(t_ns) * self.plot.width()

    def _axis(self, painter: QPainter) -> None:
        palette, plot = self.palette, self.plot
        metrics = painter.fontMetrics()
        longest = "day 364, 00:00:00" if self.window.last_ns > _LONG_NS else "00:00:00"
        marks = self.window.marks(plot.width() // (metrics.horizontalAdvance(longest) + 16))
        bottom = self.rows[-1].bottom
        for t_ns, label in marks:
            x = self.x_of(t_ns)
            painter.setPen(QPen(QColor(palette.grid), 1))
            painter.drawLine(QPointF(x, AXIS_PX - 5), QPointF(x, bottom))
            painter.setPen(QColor(palette.text))
            wide = metrics.horizontalAdvance(label) + 2
            box = QRectF(x - wide / 2, 0, wide, AXIS_PX - 6)
            box.moveLeft(min(max(box.left(), plot.left()), plot.right() - wide))
            painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), label)
        self._title(painter, Row("axis", 0, AXIS_PX - 6), "time, h:min")

    def _title(self, painter: QPainter, row: Row, words: str, indent: int = 0) -> None:
        painter.setPen(QColor(self.palette.text))
        box = QRect(4 + indent, row.top, TITLE_PX - 10 - indent, row.height)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        words = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, int(flags), words)

    def _lane(self, painter: QPainter, row: Row, lane: Lane) -> None:
        palette, plot = self.palette, self.plot
        box = QRect(plot.left(), row.top, plot.width(), row.height)
        painter.fillRect(box, QColor(palette.fills[State.RUNNING]))
        self._layers(painter, row, lane.layers)
        if self.ripple is not None:
            veil = QColor(palette.ground)
            veil.setAlphaF(1 - _DIM)
            painter.fillRect(box, veil)
            found = lit(lane, self.ripple)
            self._layers(painter, row, found)
            self._bracket(painter, row, lane, found)
        self._title(painter, row, lane.title, indent=10 if lane.part else 0)

    def _layers(self, painter: QPainter, row: Row, layers: list[Layer]) -> None:
        high = round(row.height * self.scale)
        pixels = lane_pixels(layers, self._edges, high, self.palette, self.scale)
        painter.drawImage(QPointF(self.plot.left(), row.top), image_of(pixels, self.scale))

    def _bracket(self, painter: QPainter, row: Row, lane: Lane, found: list[Layer]) -> None:
        """The frame around the stop itself, and how long after it the others felt it."""
        assert self.ripple is not None
        event = self.ripple.event
        text = QColor(self.palette.text)
        if event.station in lane.stations:
            left, right = self.x_of(event.start_ns), self.x_of(event.end_ns)
            frame = QRectF(left - 1, row.top - 1, max(4.0, right - left + 2), row.height + 2)
            painter.setPen(QPen(text, 2))
            painter.drawRect(frame.intersected(QRectF(self.plot).adjusted(-1, -1, 1, 1)))
            return
        if not found or row.height < 14:
            return
        of_lane = [r for r in self.ripple.reached if r.station in lane.stations]
        first = min(of_lane, key=lambda each: each.starts_ns[0], default=None)
        if first is None:
            return
        after = "at once" if not first.after_ns else linesim.duration_words(first.after_ns)
        words = after if not first.after_ns else f"after {after}"
        wide = painter.fontMetrics().horizontalAdvance(words) + 8
        x = self.x_of(first.starts_ns[0]) - wide
        if x < self.plot.left():
            x = self.x_of(first.ends_ns[-1]) + 2
        if self.plot.left() <= x <= self.plot.right() - wide:
            painter.setPen(text)
            flags = int(Qt.AlignmentFlag.AlignCenter)
            painter.drawText(QRectF(x, row.top, wide, row.height), flags, words)

    def _level(self, painter: QPainter, row: Row) -> None:
        palette, plot = self.palette, self.plot
        marks = bridge_marks(self.record)
        most = max([self.curves.level.highest, 1, *(mark.reams for mark in marks)])
        ghost = self.ghost.level if self.ghost else None
        high = round(row.height * self.scale)
        pixels = level_pixels(
            self.curves.level, ghost, self._edges, high, most, palette, self.scale
        )
        painter.drawImage(QPointF(plot.left(), row.top), image_of(pixels, self.scale))
        taken: list[float] = []
        for mark in sorted(marks, key=lambda m: -m.reams):
            y = row.bottom - 1 - mark.reams / most * (row.height - 2)
            painter.setPen(QPen(QColor(palette.text), 1, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
            place = max(y - 7, (taken[-1] + 13) if taken else row.top - 1.0)
            taken.append(place)
            painter.setPen(QColor(palette.text))
            box = QRectF(4, place, TITLE_PX - 10, 14)
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, int(right), mark.words)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(4, row.bottom - 13, TITLE_PX - 10, 14), int(right), "empty")
        middle = Row("", row.top + row.height // 2 - 8, 16)
        self._title(painter, middle, "reams on it", indent=10)

    def _reams(self, painter: QPainter, row: Row) -> None:
        palette = self.palette
        step = max(1, round(2 * self.scale))
        edges = np.unique(np.append(self._edges[::step], self._edges[-1]))
        wrapped = self.curves.wrapped(edges)
        promised = self.curves.promised(edges)
        lines = [(promised - promised[0], QColor(palette.text), Qt.PenStyle.DashLine, 1.2)]
        if self.ghost is not None:
            before = self.ghost.wrapped(edges)
            lines.append((before - before[0], QColor(palette.ghost), Qt.PenStyle.SolidLine, 1.2))
        lines.append((wrapped - wrapped[0], QColor(palette.curve), Qt.PenStyle.SolidLine, 2.0))
        most = max(1.0, *(float(values[-1]) for values, *_ in lines))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        polygons = []
        for values, *_ in lines:
            points = [
                QPointF(self.x_of(int(t)), row.bottom - 2 - float(v) / most * (row.height - 18))
                for t, v in zip(edges, values, strict=True)
            ]
            polygons.append(points)
        gap = QPolygonF([*polygons[0], *reversed(polygons[-1])])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(mixed(palette.ground, palette.fills[State.DOWN], 0.14)))
        painter.drawPolygon(gap)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for polygon, (_, colour, style, width) in zip(polygons, lines, strict=True):
            painter.setPen(QPen(colour, width, style))
            painter.drawPolyline(QPolygonF(polygon))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        self._title(painter, Row("", row.top, 15), "reams wrapped")
        since = linesim.clock_words(self.window.start_ns)
        self._title(painter, Row("", row.top + 15, 15), f"since {since}")
        self._gap(painter, row, float(wrapped[-1] - wrapped[0]), float(promised[-1] - promised[0]))

    def _gap(self, painter: QPainter, row: Row, wrapped: float, promised: float) -> None:
        words = (
            f"on screen, this run: nameplate {promised:,.0f} (dashed), wrapped {wrapped:,.0f},"
            f" gap {promised - wrapped:,.0f} reams"
        )
        painter.setPen(QColor(self.palette.text))
        box = QRect(self.plot.left() + 6, row.top, self.plot.width() - 12, 16)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft), words)

    def _legend(self, painter: QPainter) -> None:
        top, x = self.rows[-1].bottom + 5, self.plot.left()
        always = TimeIn(np.array([0]), np.array([1 << 20]))
        edges = np.arange(round(20 * self.scale) + 1, dtype=np.int64) * 4
        for state, quiet in _LEGEND:
            words = state_look(state, self.palette).words
            if quiet and state == State.BLOCKED:
                words = "waits for a pace only"
            high = round((LEGEND_PX - 12) * self.scale)
            layer = Layer(state, quiet, always)
            pixels = lane_pixels([layer], edges, high, self.palette, self.scale)
            wide = painter.fontMetrics().horizontalAdvance(words) + 42
            if x + wide > self.plot.right():
                return
            painter.drawImage(QPointF(x, top), image_of(pixels, self.scale))
            painter.setPen(QColor(self.palette.text))
            flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            box = QRectF(x + 25, top - 3, wide, LEGEND_PX - 6)
            painter.drawText(box, int(flags), words)
            x += wide
