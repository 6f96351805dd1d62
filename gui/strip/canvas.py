"""The strip with hands: mouse, wheel and keys turned into looking."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QMenu, QToolTip, QWidget

import linesim
from gui.charts import ChartWidget
from gui.charts.readout import ReadOut
from gui.look import palette_of, plain_tip
from gui.strip.readout import moment_words, tip
from gui.strip.rows import Row
from gui.strip.sheet import StripSheet
from gui.strip.window_of_time import TimeWindow
from linesim.record import Ripple, StopEvent

if TYPE_CHECKING:
    from gui.shift import ShownShift

_ZOOM_STEP = 1.4


class StripCanvas(StripSheet):
    """A sheet that is clicked, dragged and stepped through; it announces what is asked of it."""

    stop_requested = Signal(str, float)
    """Station and hour of the run at which the user wants it to stand."""
    stoppable = True
    """Whether its menu offers to put a stop into the run."""
    step_requested = Signal(int)
    """To the next (1) or previous (-1) stop."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(shown, parent)
        self._held: tuple[QPoint, TimeWindow] | None = None
        self._dragged = False
        self._read_out = ReadOut()
        self.window_changed.connect(self._say_nothing_old)
        self._charts: dict[str, ChartWidget] = {}
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def time_at(self, x: float) -> int:
        """The moment drawn at a place across the widget, ns."""
        plot = self._plot()
        return self._window.to_ns((x - plot.left()) / plot.width())

    def _row_at(self, y: float) -> Row | None:
        return next((row for row in self.rows if row.top <= y < row.bottom), None)

    def stop_under(self, place: QPointF) -> StopEvent | None:
        """The stop drawn there, or the one a wait drawn there is for."""
        row, record = self._row_at(place.y()), self._shown.record
        if row is None or row.lane is None or record is None:
            return None
        # A short stop is narrower than a pointer: take one that begins within three points.
        for offset in (0, -1, 1, -2, 2, -3, 3):
            there = row.lane.row_at(self.time_at(place.x() + offset))
            if there is None:
                continue
            found = row.lane.stop_at(record, self._events, there)
            if found is not None:
                return found
        return None

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer; sideways, or with Shift, pan."""
        turned = event.angleDelta()
        sideways = turned.x() or (
            turned.y() if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 0
        )
        if sideways:
            self.look_at(self._window.moved(-sideways * self._window.length_ns // 1200))
        elif turned.y():
            about = self.time_at(event.position().x())
            self.look_at(self._window.zoomed(_ZOOM_STEP ** (turned.y() / 120), about))
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold: moving pans, letting go at once sets the cursor."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held, self._dragged = (event.position().toPoint(), self._window), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan by as much as the pointer moved."""
        if self._held is None:
            self._read(event.position())
            return
        start, window = self._held
        moved = event.position().toPoint().x() - start.x()
        if not self._dragged and abs(moved) < QApplication.startDragDistance():
            return
        self._dragged = True
        self.setCursor(Qt.CursorShape.ClosedHandCursor)
        self.look_at(window.moved(-round(moved / self._plot().width() * window.length_ns)))

    def _read(self, place: QPointF) -> None:
        """Say what a curve comes to there; lanes have tips, which leave more room to look."""
        row, point = self._row_at(place.y()), None
        words = self.tip_at(place.toPoint())
        if words and row is not None and row.curve is not None:
            point = self.point_of(row, self.time_at(place.x()))
        if point is None:
            self._leave_off()
            return
        self._read_out.dress(palette_of(self), self.font())
        self._read_out.say(words, point, QRectF(self.rect()))
        self.update()

    def _say_nothing_old(self) -> None:
        """What was pointed at is elsewhere, or nowhere, when a key shows another stretch."""
        QToolTip.hideText()
        self._leave_off()

    def _leave_off(self) -> None:
        if self._read_out.words:
            self._read_out.quiet()
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Nothing is pointed at any more."""
        self._leave_off()
        super().leaveEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet, and over it what is read of a curve."""
        super().paintEvent(event)
        if self._read_out.words:
            painter = QPainter(self)
            self._read_out.paint(painter)
            painter.end()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click sets the cursor and selects the stop under it."""
        if event.button() != Qt.MouseButton.LeftButton or self._held is None:
            return
        self._held = None
        self.unsetCursor()
        if self._dragged or not self._plot().left() <= event.position().x() <= self._plot().right():
            return
        self._shown.cursor_ns = self.time_at(event.position().x())
        lanes = [row for row in self.rows if row.lane is not None]
        row = self._row_at(event.position().y())
        if row in lanes:
            self._at_lane = lanes.index(row)
        self._shown.selected = self.stop_under(event.position())
        self.update()

    def event(self, event: QEvent) -> bool:
        """Tips are made for the place they are asked at."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            words = self.tip_at(event.pos())
            if words and not self._read_out.words:
                QToolTip.showText(event.globalPos(), plain_tip(words), self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def tip_at(self, place: QPoint) -> str:
        """What the tip says there; nothing outside the rows."""
        row, record, plot = self._row_at(place.y()), self._shown.record, self._plot()
        if row is None or record is None or self._curves is None:
            return ""
        if not plot.left() <= place.x() <= plot.right():
            return ""
        return tip(record, self._curves, self._ghost, row, self.time_at(place.x()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys for all that the mouse does; what is not ours goes to the window."""
        window, cursor, key = self._window, self._shown.cursor_ns, event.key()
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        ways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if key in ways and shift:
            self.look_at(window.moved(ways[Qt.Key(key)] * window.length_ns // 4))
        elif key in ways:
            self._move_cursor(cursor + ways[Qt.Key(key)] * max(1, window.length_ns // 200))
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            way = 1 if key == Qt.Key.Key_PageDown else -1
            self.look_at(window.moved(way * window.length_ns))
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.look_at(window.holding(cursor).zoomed(_ZOOM_STEP, cursor))
        elif key == Qt.Key.Key_Minus:
            self.look_at(window.holding(cursor).zoomed(1 / _ZOOM_STEP, cursor))
        elif key == Qt.Key.Key_Home:
            self._move_cursor(window.first_ns)
        elif key == Qt.Key.Key_End:
            self._move_cursor(window.last_ns)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            way = 1 if key == Qt.Key.Key_Down else -1
            self._at_lane = min(max(0, self._at_lane + way), len(self._lanes) - 1)
            self.say_moment()
            self.update()
        elif key in (Qt.Key.Key_N, Qt.Key.Key_P):
            self.step_requested.emit(1 if key == Qt.Key.Key_N else -1)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._shown.selected = self._stop_at_cursor()
        elif key == Qt.Key.Key_Escape and self._shown.selected is not None:
            self._shown.selected = None
        else:
            super().keyPressEvent(event)

    def _move_cursor(self, t_ns: int) -> None:
        self._shown.cursor_ns = t_ns
        self.look_at(self._window.holding(self._shown.cursor_ns))

    def show_ripple(self, ripple: Ripple | None) -> None:
        """Light it up, and take the lane of its stop in hand."""
        super().show_ripple(ripple)
        record = self._shown.record
        if ripple is not None and record is not None:
            station = ripple.event.station
            own = (n for n, lane in enumerate(self._lanes) if station in lane.stations)
            self._at_lane = next(own, self._at_lane)
        self.say_moment()

    def _stop_at_cursor(self) -> StopEvent | None:
        lanes, record = self._lanes, self._shown.record
        if record is None or not lanes:
            return None
        lane = lanes[self._at_lane]
        there = lane.row_at(self._shown.cursor_ns)
        return None if there is None else lane.stop_at(record, self._events, there)

    def say_moment(self) -> None:
        """Tell a screen reader what the lane in hand does at the cursor, and the chosen stop."""
        lanes = [row for row in self.rows if row.lane is not None]
        record, curves = self._shown.record, self._curves
        if record is not None and curves is not None and self._at_lane < len(lanes):
            row = lanes[self._at_lane]
            words = tip(record, curves, self._ghost, row, self._shown.cursor_ns).replace("\n", ", ")
            if self._ripple is not None:
                words += f". Chosen: {linesim.report.ripple_words(record, self._ripple)}"
            self.setAccessibleDescription(words)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done at a moment of a station."""
        keys = event.reason() == QContextMenuEvent.Reason.Keyboard
        lanes = [row for row in self.rows if row.lane is not None]
        place = QPointF(event.pos())
        row = self._row_at(place.y())
        t_ns = self.time_at(place.x())
        if keys and lanes:
            row, t_ns = lanes[self._at_lane], self._shown.cursor_ns
        if row is None:
            return
        menu = self.menu_for(row, t_ns)
        # Keys go from lane to lane, and come to no row without one.
        others = [each for each in self.rows if each.lane is None] if keys else []
        for chart in filter(None, map(self.chart_of, others)):
            chart.add_ways_to_take_it(menu.addMenu(chart.title.text()))
        menu.exec(event.globalPos())
        menu.deleteLater()

    def menu_for(self, row: Row, t_ns: int) -> QMenu:
        """The menu of a row at a moment: what a lane does there, and how a curve is taken away."""
        menu = QMenu(self)
        t_ns = min(max(t_ns, self._window.first_ns), self._window.last_ns)
        lane, record = row.lane, self._shown.record
        if self.stoppable and lane is not None and record is not None:
            here = moment_words(record, t_ns)
            stop = menu.addAction(f"Stop the {lane.title} here ({here})…")
            stop.triggered.connect(
                lambda: self.stop_requested.emit(lane.name, t_ns / linesim.scenario.HOUR)
            )
        cursor = menu.addAction("Put the cursor here")
        cursor.triggered.connect(lambda: setattr(self._shown, "cursor_ns", t_ns))
        if lane is not None:
            there, found = lane.row_at(t_ns), None
            if there is not None and record is not None:
                found = lane.stop_at(record, self._events, there)
            show = menu.addAction("Show what this stop did")
            show.setEnabled(found is not None)
            show.triggered.connect(lambda: setattr(self._shown, "selected", found))
        chart = self.chart_of(row)
        if chart is not None:
            menu.addSeparator()
            chart.add_ways_to_take_it(menu)
        return menu

    def chart_of(self, row: Row) -> ChartWidget | None:
        """The curve of a row as a chart by itself, with axes, to be taken away; None: no curve."""
        from gui.strip.row_plots import CHARTS

        stretch = self._stretch()
        if row.curve is None or stretch is None:
            return None
        if row.what not in self._charts:
            self._charts[row.what] = ChartWidget(self)
            self._charts[row.what].hide()
        chart, drawn = self._charts[row.what], CHARTS[row.what]
        line = stretch.record.scenario.line.name
        chart.about = (line,)
        window = stretch.window
        ends = (
            linesim.report.clock_words(t, window.starts) for t in (window.start_ns, window.end_ns)
        )
        chart.source = f"{line}: one run, " + " to ".join(ends)
        chart.show_drawing(
            row.what,
            drawn.title,
            partial(drawn.draw, stretch=stretch),
            partial(drawn.table, stretch),
        )
        return chart
