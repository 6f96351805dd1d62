"""The strip as a widget: draws the picture, and turns mouse and keys into looking."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QMenu, QSizePolicy, QToolTip, QWidget

import linesim
from gui.look import palette_of
from gui.strip.curves import RunCurves
from gui.strip.lanes import Filter, Lane, lanes_of
from gui.strip.picture import Picture
from gui.strip.readout import readings, tip
from gui.strip.rows import AXIS_PX, READOUT_PX, TITLE_PX, Row, least_height, rows_of
from gui.strip.window_of_time import TimeWindow
from linesim import Ripple, State, StopEvent

if TYPE_CHECKING:
    from gui.shift import ShownShift

_CALM = (State.RUNNING, State.SLOWED, State.PLANNED)
_ZOOM_STEP = 1.4


class StripCanvas(QWidget):
    """Lanes and curves of the run on screen. It announces what the user asks of it."""

    stop_requested = Signal(str, float)
    """Station and hour of the run at which the user wants it to stand."""
    step_requested = Signal(int)
    """To the next (1) or previous (-1) stop."""
    window_changed = Signal()

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._lanes: list[Lane] = []
        self._curves: RunCurves | None = None
        self._ghost: RunCurves | None = None
        self._window = TimeWindow.whole(0, 1)
        self._rows: list[Row] = []
        self._picture: Picture | None = None
        self._pixmap: QPixmap | None = None
        self._ripple: Ripple | None = None
        self._filter = Filter()
        self._events: tuple[StopEvent, ...] = ()
        self._with_parts = False
        self._held: tuple[QPoint, TimeWindow] | None = None
        self._dragged = False
        self._at_lane = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("strip of the run")

    # What is shown ---------------------------------------------------------------------------

    def show_run(self) -> None:
        """Take the run and its ghost from the model; the stretch looked at stays if it can."""
        record, ghost = self._shown.record, self._shown.ghost
        if record is None or record.history is None:
            return
        before = self._window
        self._events = linesim.stop_events(record)
        self._lanes = lanes_of(record)
        self._curves = RunCurves(record)
        self._ghost = RunCurves(ghost) if ghost is not None and ghost.history else None
        self._ripple = None
        self._window = TimeWindow.whole(record.start_ns, record.end_ns)
        if (before.first_ns, before.last_ns) == (record.start_ns, record.end_ns):
            self._window = before
        self._colour()
        self._layout()

    @property
    def events(self) -> tuple[StopEvent, ...]:
        """All stops of the run."""
        return self._events

    @property
    def window_of_time(self) -> TimeWindow:
        """The stretch on screen."""
        return self._window

    def look_at(self, window: TimeWindow) -> None:
        """Show another stretch."""
        if window != self._window:
            self._window = window
            self._stale()
            self.window_changed.emit()

    def show_parts(self, with_parts: bool) -> None:
        """Show the sheeter's parts as lanes of their own, or not."""
        self._with_parts = with_parts
        self._layout()

    def show_ripple(self, ripple: Ripple | None) -> None:
        """Light up a stop and what it reached; None: all as usual."""
        self._ripple = ripple
        self._stale()

    def set_filter(self, only: Filter) -> None:
        """Colour only what passes."""
        self._filter = only
        self._colour()
        self._stale()

    def _colour(self) -> None:
        if self._shown.record is not None:
            for lane in self._lanes:
                lane.colour(self._shown.record, self._filter)

    def _visible_lanes(self) -> list[Lane]:
        return [lane for lane in self._lanes if self._with_parts or not lane.part]

    def _layout(self) -> None:
        lanes = self._visible_lanes()
        self._rows = rows_of(lanes, self.height()) if lanes else []
        self.setMinimumHeight(least_height(len(lanes)))
        self._at_lane = min(self._at_lane, max(0, len(lanes) - 1))
        self._stale()

    def _stale(self) -> None:
        self._pixmap = None
        self.update()

    def _plot(self) -> QRect:
        width = max(10, self.width() - TITLE_PX - READOUT_PX)
        return QRect(TITLE_PX, AXIS_PX, width, self.height() - AXIS_PX)

    def sizeHint(self) -> QSize:
        """Wide, and high enough for lanes that can be read."""
        return QSize(1100, max(520, least_height(len(self._visible_lanes()))))

    # Painting --------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The picture from its store where it still holds, and the cursor over it."""
        painter = QPainter(self)
        palette = palette_of(self)
        record, curves = self._shown.record, self._curves
        if record is None or curves is None or not self._rows:
            painter.fillRect(self.rect(), QColor(palette.ground))
            return
        if self._pixmap is None:
            scale = self.devicePixelRatioF()
            self._picture = Picture(
                record,
                curves,
                self._ghost,
                self._window,
                self._rows,
                self._plot(),
                palette,
                scale,
                self.font(),
                self._ripple,
            )
            pixmap = QPixmap(self.size() * scale)
            pixmap.setDevicePixelRatio(scale)
            pixmap.fill(QColor(palette.ground))
            onto = QPainter(pixmap)
            self._picture.paint(onto)
            onto.end()
            self._pixmap = pixmap
        painter.drawPixmap(0, 0, self._pixmap)
        self._paint_cursor(painter)
        self._paint_readout(painter)

    def _paint_cursor(self, painter: QPainter) -> None:
        assert self._picture is not None
        palette, now = palette_of(self), self._shown.cursor_ns
        if self._window.start_ns <= now <= self._window.end_ns:
            x = self._picture.x_of(now)
            painter.setPen(QPen(QColor(palette.text), 1))
            painter.drawLine(QPointF(x, AXIS_PX - 6), QPointF(x, self._rows[-1].bottom))
        lanes = [row for row in self._rows if row.what == "lane"]
        if self.hasFocus() and self._at_lane < len(lanes):
            row = lanes[self._at_lane]
            painter.setPen(QPen(QColor(palette.curve), 1, Qt.PenStyle.DotLine))
            painter.drawRect(QRect(1, row.top, TITLE_PX - 4, row.height - 1))

    def _paint_readout(self, painter: QPainter) -> None:
        record, curves = self._shown.record, self._curves
        assert record is not None
        assert curves is not None
        palette, now = palette_of(self), self._shown.cursor_ns
        left = self.width() - READOUT_PX + 10
        wide = READOUT_PX - 14
        painter.setFont(self.font())
        metrics = painter.fontMetrics()
        painter.setPen(QColor(palette.text))
        head = QRect(left, 0, wide, AXIS_PX - 4)
        middle = int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        painter.drawText(head, middle, f"at {linesim.clock_words(now)}")
        for reading in readings(record, curves, self._ghost, self._rows, now):
            row = reading.row
            x = left
            if reading.state is not None and reading.state not in _CALM:
                fill = QColor(palette.fills[reading.state])
                painter.fillRect(QRect(left, row.top + 3, 5, row.height - 6), fill)
            if reading.state is not None:
                x = left + 10
            painter.setPen(QColor(palette.text))
            space = metrics.height() + 1
            lines = reading.lines
            top = row.top if len(lines) > 1 else row.top + (row.height - space) // 2
            for number, line in enumerate(lines):
                box = QRect(x, top + number * space, wide - (x - left), space)
                text = metrics.elidedText(line, Qt.TextElideMode.ElideRight, box.width())
                painter.drawText(box, middle, text)

    # Looking ---------------------------------------------------------------------------------

    def _time_at(self, x: float) -> int:
        plot = self._plot()
        return self._window.to_ns((x - plot.left()) / plot.width())

    def _row_at(self, y: float) -> Row | None:
        return next((row for row in self._rows if row.top <= y < row.bottom), None)

    def stop_under(self, place: QPointF) -> StopEvent | None:
        """The stop drawn there, or the one a wait drawn there is for."""
        row, record = self._row_at(place.y()), self._shown.record
        if row is None or row.lane is None or row.what != "lane" or record is None:
            return None
        # A short stop is narrower than a pointer: take one that begins within three points.
        for offset in (0, -1, 1, -2, 2, -3, 3):
            there = row.lane.row_at(self._time_at(place.x() + offset))
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
            about = self._time_at(event.position().x())
            self.look_at(self._window.zoomed(_ZOOM_STEP ** (turned.y() / 120), about))
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold: moving pans, letting go at once sets the cursor."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held, self._dragged = (event.position().toPoint(), self._window), False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan by as much as the pointer moved."""
        if self._held is None:
            return
        start, window = self._held
        moved = event.position().toPoint().x() - start.x()
        if not self._dragged and abs(moved) < QApplication.startDragDistance():
            return
        self._dragged = True
        self.setCursor(Qt.CursorShape.ClosedHandCursor)
        self.look_at(window.moved(-round(moved / self._plot().width() * window.length_ns)))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click sets the cursor and selects the stop under it."""
        if event.button() != Qt.MouseButton.LeftButton or self._held is None:
            return
        self._held = None
        self.unsetCursor()
        if self._dragged or not self._plot().left() <= event.position().x() <= self._plot().right():
            return
        self._shown.cursor_ns = self._time_at(event.position().x())
        lanes = [row for row in self._rows if row.what == "lane"]
        row = self._row_at(event.position().y())
        if row in lanes:
            self._at_lane = lanes.index(row)
        self._shown.selected = self.stop_under(event.position())
        self.update()

    def event(self, event: QEvent) -> bool:
        """Tips are made for the place they are asked at."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            row, record = self._row_at(event.pos().y()), self._shown.record
            plot = self._plot()
            if row is not None and record is not None and event.pos().x() <= plot.right():
                words = tip(record, row, self._time_at(event.pos().x()))
                QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)

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
            self._at_lane = min(max(0, self._at_lane + way), len(self._visible_lanes()) - 1)
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

    def _stop_at_cursor(self) -> StopEvent | None:
        lanes, record = self._visible_lanes(), self._shown.record
        if record is None or not lanes:
            return None
        lane = lanes[self._at_lane]
        there = lane.row_at(self._shown.cursor_ns)
        return None if there is None else lane.stop_at(record, self._events, there)

    def say_moment(self) -> None:
        """Tell a screen reader what the lane in hand does at the cursor."""
        lanes = [row for row in self._rows if row.what == "lane"]
        if self._shown.record is not None and self._at_lane < len(lanes):
            words = tip(self._shown.record, lanes[self._at_lane], self._shown.cursor_ns)
            self.setAccessibleDescription(words.replace("\n", ", "))

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done at a moment of a station."""
        keys = event.reason() == QContextMenuEvent.Reason.Keyboard
        lanes = [row for row in self._rows if row.what == "lane"]
        place = QPointF(event.pos())
        row = self._row_at(place.y())
        t_ns = self._time_at(place.x())
        if keys and lanes:
            row, t_ns = lanes[self._at_lane], self._shown.cursor_ns
        if row is None or row.lane is None:
            return
        menu = self.menu_for(row.lane, t_ns)
        menu.exec(event.globalPos())
        menu.deleteLater()

    def menu_for(self, lane: Lane, t_ns: int) -> QMenu:
        """The menu of a lane at a moment."""
        menu = QMenu(self)
        t_ns = min(max(t_ns, self._window.first_ns), self._window.last_ns)
        stop = menu.addAction(f"Stop the {lane.title} here ({linesim.clock_words(t_ns)})…")
        stop.triggered.connect(lambda: self.stop_requested.emit(lane.name, t_ns / linesim.NS_PER_H))
        cursor = menu.addAction("Put the cursor here")
        cursor.triggered.connect(lambda: setattr(self._shown, "cursor_ns", t_ns))
        there, record = lane.row_at(t_ns), self._shown.record
        found = None
        if there is not None and record is not None:
            found = lane.stop_at(record, self._events, there)
        show = menu.addAction("Show what this stop did")
        show.setEnabled(found is not None)
        show.triggered.connect(lambda: setattr(self._shown, "selected", found))
        return menu

    # Changes from outside --------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out again."""
        self._layout()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's colours and fonts."""
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if event.type() in kinds:
            self._stale()
        super().changeEvent(event)
