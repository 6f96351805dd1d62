"""Paints the strip: axis, lanes, curves, titles and legend; all that does not follow the cursor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF

import linesim
from gui.look import Palette, mixed
from gui.strip.curves import RunCurves, band_pixels, bridge_marks, level_pixels
from gui.strip.lanes import Lane, Layer, lit
from gui.strip.legend import Entry, draw_legend
from gui.strip.rows import AXIS_PX, TITLE_PX, Row
from gui.strip.span_image import draw_pixels, lane_pixels
from gui.strip.window_of_time import TimeWindow
from linesim.record import Record, Ripple, State

_DIM = 0.22
_NS_PER_PX_WITH_SECONDS = 10**9
_LONG_NS = 48 * linesim.scenario.HOUR


_DASHED = Qt.PenStyle.DashLine
_POINT_EVERY = 6
_CLEAR_PX = 3
_BETWEEN_PX = 26
Said = tuple[QRect, str, str]
"""Where, the colour it is about (empty: none), and the words."""
Band = tuple[NDArray[np.float64], NDArray[np.float64]]
"""The lowest and the highest of the curves, column by column, in parts of the row's height."""
_LOSS_TINTS = (State.DOWN, State.CHANGEOVER, State.BLOCKED, State.SLOWED)


def loss_tints(palette: Palette) -> list[str]:
    """The colours of the bands between nameplate and good reams, from above."""
    return [mixed(palette.ground, palette.fills[state], 0.45) for state in _LOSS_TINTS]


@dataclass
class Picture:
    """What is to be painted, and into which space (points of the widget)."""

    record: Record
    curves: RunCurves
    ghost: RunCurves | None
    window: TimeWindow
    rows: list[Row]
    plot: QRect
    legend: list[list[Entry]]
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
            if row.lane is None:
                self._reams(painter, row)
            elif row.what == "level":
                self._states(painter, row.band, row.lane)
                self._title(painter, row.head, row.lane.title)
                self._level(painter, row.curve)
            else:
                self._states(painter, row, row.lane)
                self._title(painter, row, row.lane.title, indent=10 if row.lane.part else 0)
        if self.ripple is not None:
            self._limits(painter, self.ripple)
        top = self.rows[-1].bottom + 5
        draw_legend(painter, top, self.legend, self.palette, self.scale)

    def x_of(self, t_ns: int) -> float:
        """Where a moment lies across the widget."""
        return self.plot.left() + self.window.to_part(t_ns) * self.plot.width()

    def _limits(self, painter: QPainter, ripple: Ripple) -> None:
        """Where the stop begins and ends, through all rows."""
        painter.setPen(QPen(QColor(self.palette.text), 1, Qt.PenStyle.DotLine))
        for t_ns in (ripple.event.start_ns, ripple.event.end_ns):
            if self.window.start_ns <= t_ns <= self.window.end_ns:
                x = self.x_of(t_ns)
                painter.drawLine(QPointF(x, AXIS_PX), QPointF(x, self.rows[-1].bottom))

    def _axis(self, painter: QPainter) -> None:
        palette, plot = self.palette, self.plot
        metrics = painter.fontMetrics()
        seconds = self.window.length_ns < plot.width() * _NS_PER_PX_WITH_SECONDS
        longest = "00:00:00" if seconds else "00:00"
        if self.window.last_ns > _LONG_NS:
            longest = f"day 364, {longest}"
        marks = self.window.marks(plot.width() // (metrics.horizontalAdvance(longest) + 10))
        bottom, said_until = self.rows[-1].bottom, float(plot.left() - _CLEAR_PX)
        for t_ns, label in marks:
            x = self.x_of(t_ns)
            painter.setPen(QPen(QColor(palette.grid), 1))
            painter.drawLine(QPointF(x, AXIS_PX - 5), QPointF(x, bottom))
            painter.setPen(QColor(palette.text))
            wide = metrics.horizontalAdvance(label) + 2
            box = QRectF(x - wide / 2, 0, wide, AXIS_PX - 6)
            box.moveLeft(min(max(box.left(), plot.left()), plot.right() - wide))
            # The last label is moved in from the edge, and may meet the one before.
            if box.left() >= said_until + _CLEAR_PX:
                painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), label)
                said_until = box.right()
        self._title(painter, Row("axis", 0, AXIS_PX - 6), "time, h:min")

    def _title(self, painter: QPainter, row: Row, words: str, indent: int = 0) -> None:
        painter.setPen(QColor(self.palette.text))
        box = QRect(4 + indent, row.top, TITLE_PX - 10 - indent, row.height)
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        words = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, box.width())
        painter.drawText(box, int(flags), words)

    def _states(self, painter: QPainter, row: Row, lane: Lane) -> None:
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

    def _layers(self, painter: QPainter, row: Row, layers: list[Layer]) -> None:
        high = round(row.height * self.scale)
        pixels = lane_pixels(layers, self._edges, high, self.palette, self.scale)
        draw_pixels(painter, QPointF(self.plot.left(), row.top), pixels, self.scale)

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
        after = "at once" if not first.after_ns else linesim.report.duration_words(first.after_ns)
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
        draw_pixels(painter, QPointF(plot.left(), row.top), pixels, self.scale)
        taken: list[float] = []
        for mark in sorted(marks, key=lambda m: -m.reams):
            y = row.bottom - 1 - mark.reams / most * (row.height - 2)
            painter.setPen(QPen(QColor(palette.text), 1, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
            place = max(y - 7, (taken[-1] + 13) if taken else row.top - 1.0)
            if place + 13 > row.bottom + 1:
                # The lowest levels of a low row have a line and no words; a tip has them.
                continue
            taken.append(place)
            painter.setPen(QColor(palette.text))
            box = QRectF(4, place, TITLE_PX - 10, 14)
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, int(right), mark.words)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if not taken or taken[-1] + 13 <= row.bottom - 13:
            painter.drawText(QRectF(4, row.bottom - 13, TITLE_PX - 10, 14), int(right), "empty")

    def _reams(self, painter: QPainter, row: Row) -> None:
        """From the left edge on: what the nameplate promised, the gap by loss, good reams."""
        palette, out = self.palette, self.curves.out
        losses, good = out.gap(self._edges), out.good(self._edges)
        whole = good + np.sum(list(losses.values()), axis=0)
        curves, colours, told = [whole[1:] - whole[0]], [], []
        for (step, lost), tint in zip(losses.items(), loss_tints(palette), strict=True):
            curves.append(curves[-1] - (lost[1:] - lost[0]))
            colours.append(tint)
            told.append((colours[-1], step, float(lost[-1] - lost[0])))
        promised, good = curves[0], curves[-1]
        before = None
        if self.ghost is not None:
            ghost = self.ghost.out.good(self._edges)
            before = (ghost[1:] - ghost[0]).astype(np.float64)
        lines = [promised, good, *([] if before is None else [before])]
        most = max(1.0, *(float(line[-1]) for line in lines))
        height = round((row.height - 8) * self.scale)
        pixels = band_pixels(curves, colours, height, most)
        draw_pixels(painter, QPointF(self.plot.left(), row.top + 6), pixels, self.scale)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._line(painter, row, promised / most, QPen(QColor(palette.text), 1.2, _DASHED))
        if before is not None:
            self._line(painter, row, before / most, QPen(QColor(palette.ghost), 1.2))
        self._line(painter, row, good / most, QPen(QColor(palette.curve), 2))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        since = linesim.report.clock_words(self.window.start_ns)
        self._title(painter, Row("", row.top, 15), "good reams")
        self._title(painter, Row("", row.top + 15, 15), f"since {since}")
        band = (np.min(lines, axis=0) / most, np.max(lines, axis=0) / most)
        self._gap(painter, row, band, (float(promised[-1]), float(good[-1])), told)

    def _line(self, painter: QPainter, row: Row, parts: NDArray[np.float64], pen: QPen) -> None:
        """A curve over the columns, in parts of the row's height; a point every few columns."""
        step = max(1, round(_POINT_EVERY * self.scale))
        columns = np.unique(np.append(np.arange(0, len(parts), step), len(parts) - 1))
        across = self.plot.left() + (columns + 1) / self.scale
        down = row.bottom - 2 - parts[columns] * (row.height - 8)
        points = [QPointF(x, y) for x, y in zip(across.tolist(), down.tolist(), strict=True)]
        painter.setPen(pen)
        painter.drawPolyline(QPolygonF(points))

    def _gap(
        self,
        painter: QPainter,
        row: Row,
        band: Band,
        ends: tuple[float, float],
        bands: list[tuple[str, str, float]],
    ) -> None:
        """The sums at the right edge, in what a rising curve leaves free at the upper left.

        A list that is not free of the curve to its end is left out; the reading has its own.
        """
        painter.setPen(QColor(self.palette.text))
        flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        for box, colour, text in self.gap_words(painter.fontMetrics(), row, band, ends, bands):
            if colour:
                swatch = QRect(box.left() - 16, box.top() + 3, 10, box.height() - 6)
                painter.fillRect(swatch, QColor(colour))
            painter.drawText(box, flags, text)

    def gap_words(
        self,
        metrics: QFontMetrics,
        row: Row,
        band: Band,
        ends: tuple[float, float],
        bands: list[tuple[str, str, float]],
    ) -> list[Said]:
        """What can be said free of the curves: where, the colour it is about, and the words.

        ``ends``: what was promised and made.
        """
        promised, good = ends
        left, line = self.plot.left() + 8, metrics.height()
        sums = f"nameplate {promised:,.0f} (dashed), good {good:,.0f}"
        gap = f"gap {promised - good:,.0f} reams"
        listed = [("", f"{gap}, by loss:")]
        listed += [(colour, f"{step} {lost:,.0f}") for colour, step, lost in bands]
        for words in (
            [("", f"this run, as shown: {sums}"), *listed],
            [("", f"this run, as shown: {sums}"), ("", gap)],
            [("", f"as shown: {sums}"), ("", gap)],
            [("", f"nameplate {promised:,.0f}, good {good:,.0f}"), ("", gap)],
            [("", gap)],
        ):
            places = []
            for number, (colour, text) in enumerate(words):
                top, indent = row.top + 1 + number * line, 26 if colour else 0
                box = QRect(left + indent, top, metrics.horizontalAdvance(text) + 4, line)
                places.append((box, colour, text))
            if all(box.right() < self._free_until(row, band, box) for box, _, _ in places):
                listed_there = len(words) > len(bands)
                return places if listed_there else places + self._below(metrics, row, band, bands)
        return []

    def _below(
        self, metrics: QFontMetrics, row: Row, band: Band, bands: list[tuple[str, str, float]]
    ) -> list[Said]:
        """The losses at the lower right, below the curves, in as few lines as have room there."""
        line = metrics.height()
        for in_a_line in (len(bands), (len(bands) + 1) // 2, 1):
            places: list[Said] = []
            lines = [bands[at : at + in_a_line] for at in range(0, len(bands), in_a_line)]
            for up, listed in enumerate(reversed(lines), start=1):
                right = self.plot.right() - 4
                for colour, step, lost in reversed(listed):
                    text = f"{step} {lost:,.0f}"
                    wide = metrics.horizontalAdvance(text) + 4
                    box = QRect(right - wide, row.bottom - 2 - up * line, wide, line)
                    places.insert(0, (box, colour, text))
                    right = box.left() - _BETWEEN_PX
            if all(box.left() - 16 > self._free_from(row, band, box) for box, _, _ in places):
                return places
        return []

    def _free_from(self, row: Row, band: Band, box: QRect) -> float:
        """From where on the curves stay above a box."""
        part = (row.bottom - 2 - box.top() + _CLEAR_PX) / (row.height - 8)
        below = np.flatnonzero(band[0] < part)
        return self.plot.left() + (int(below[-1]) + 1 if len(below) else 0) / self.scale

    def _free_until(self, row: Row, band: Band, box: QRect) -> float:
        """How far to the right the curves stay below a box."""
        highest = band[1]
        part = (row.bottom - 2 - box.bottom() - _CLEAR_PX) / (row.height - 8)
        above = np.flatnonzero(highest >= part)
        columns = int(above[0]) if len(above) else len(highest)
        return self.plot.left() + columns / self.scale
