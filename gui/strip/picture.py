"""Draws the strip: axis, lanes, curves, titles and legend; all that does not follow the cursor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen

import linesim
from gui.look import Palette
from gui.strip.curves import Stretch
from gui.strip.lanes import Lane, Layer, lit
from gui.strip.legend import Entry, draw_legend
from gui.strip.rows import TITLES, Row
from gui.strip.span_image import draw_pixels, lane_pixels
from linesim.record import Ripple, State

if TYPE_CHECKING:
    from gui.strip.row_plots import RowPlots

_DIM = 0.22
TITLE_INDENT_PX = 10
"""How far the title of a part stands in."""


def upright(rows: list[Row], plots: RowPlots, top: int) -> list[tuple[int, int]]:
    """From where to where a line through all rows is drawn: not over the keys of the last."""
    last = rows[-1]
    return [(top, last.top), (last.top + round(plots.keys_px(last.what)), last.bottom)]


@dataclass
class Picture:
    """What is to be painted, and into which space (points of the widget)."""

    stretch: Stretch
    plots: RowPlots
    rows: list[Row]
    plot: QRect
    legend: list[list[Entry]]
    palette: Palette
    scale: float
    font: QFont
    ripple: Ripple | None

    def __post_init__(self) -> None:
        self._edges = self.stretch.edges_ns(round(self.plot.width() * self.scale))

    def paint(self, painter: QPainter) -> None:
        """Everything, from the axis down."""
        painter.setFont(self.font)
        time = Row("time", 0, self.plot.top() - 1)
        self.plots.draw_time(
            painter, self._whole(time), self.plot.left(), self.stretch, self.palette
        )
        self._title(painter, time, self.stretch.window.title)
        for row in self.rows:
            if row.curve is not None:
                area = self._whole(row.curve)
                left, what = self.plot.left(), row.what
                self.plots.draw(painter, area, left, what, self.stretch, self.palette)
            if row.lane is None:
                self._title(
                    painter, Row("", row.top, painter.fontMetrics().height()), TITLES[row.what]
                )
            elif row.what == "level":
                self._states(painter, row.band, row.lane)
                self._title(painter, row.head, row.lane.title)
            else:
                self._states(painter, row, row.lane)
                self._title(painter, row, row.lane.title, indent=TITLE_INDENT_PX * row.lane.part)
        if self.ripple is not None:
            self._limits(painter, self.ripple)
        top = self.rows[-1].bottom + 5
        draw_legend(painter, top, self.legend, self.palette, self.scale)

    def _whole(self, row: Row) -> QRect:
        """A row with what stands left of its plot."""
        return QRect(0, row.top, self.plot.left() + self.plot.width(), row.height)

    def x_of(self, t_ns: int) -> float:
        """Where a moment lies across the widget."""
        return self.plot.left() + self.stretch.window.to_part(t_ns) * self.plot.width()

    def _limits(self, painter: QPainter, ripple: Ripple) -> None:
        """Where the stop begins and ends, through all rows."""
        painter.setPen(QPen(QColor(self.palette.text), 1, Qt.PenStyle.DotLine))
        for t_ns in (ripple.event.start_ns, ripple.event.end_ns):
            if self.stretch.window.start_ns <= t_ns <= self.stretch.window.end_ns:
                x = self.x_of(t_ns)
                for top, bottom in upright(self.rows, self.plots, self.plot.top()):
                    painter.drawLine(QPointF(x, top), QPointF(x, bottom))

    def _title(self, painter: QPainter, row: Row, words: str, indent: int = 0) -> None:
        painter.setPen(QColor(self.palette.text))
        box = QRect(4 + indent, row.top, self.plot.left() - 10 - indent, row.height)
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
        # The cursor stands where the stop began: words that it would cross end there, given room.
        began, felt = self.x_of(event.start_ns), self.x_of(first.starts_ns[0])
        x = felt - wide
        if x < began < felt and self.plot.left() + wide <= began:
            x = began - wide
        if x < self.plot.left():
            x = self.x_of(first.ends_ns[-1]) + 2
        if self.plot.left() <= x <= self.plot.right() - wide:
            painter.setPen(text)
            flags = int(Qt.AlignmentFlag.AlignCenter)
            painter.drawText(QRectF(x, row.top, wide, row.height), flags, words)
