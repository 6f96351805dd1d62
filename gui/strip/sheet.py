"""The strip as a sheet: what it shows, how it is laid out, and its painting."""

from __future__ import annotations

import contextlib
import threading
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontInfo,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from gui.look import RING, Palette, palette_of
from gui.strip.curves import RunCurves, Stretch
from gui.strip.lanes import Filter, Lane
from gui.strip.legend import Entry, entries, in_rows, legend_px
from gui.strip.picture import TITLE_INDENT_PX, Picture, upright
from gui.strip.readings_column import paint_readings
from gui.strip.rows import (
    TITLES,
    USUAL_READING,
    Row,
    axis_px,
    columns_px,
    least_height,
    level_marks,
    rows_of,
)
from gui.strip.run_shown import Look, RunShown, RunsShown, Seen
from gui.strip.window_of_time import TimeWindow
from linesim.record import Record, Ripple, StopEvent

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from gui.strip.row_plots import RowPlots

_LEAST_WIDTH = 420
"""Below this nothing is left between titles and readings, px."""


class StripSheet(QWidget):
    """Lanes and curves of the run on screen, without hands: mouse and keys are not its own."""

    window_changed = Signal()
    look_changed = Signal()
    """Other stops have colour, or other lanes are shown."""
    _looked = Signal(object, object)
    """A run and what is seen of it; sent from the thread that looked."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._lanes: list[Lane] = []
        self._runs = RunsShown()
        self._curves: RunCurves | None = None
        self._ghost: RunCurves | None = None
        self._window = TimeWindow.whole(0, 1)
        self.rows: list[Row] = []
        """Bands of the picture, top to bottom."""
        self._legend: list[list[Entry]] = [[]]
        self._plots: RowPlots | None = None
        self._pixmap = QPixmap()
        self._to_paint = True
        self._ripple: Ripple | None = None
        self._look = Look()
        self._events: tuple[StopEvent, ...] = ()
        self._causes: tuple[str, ...] = ()
        self._passing: tuple[StopEvent, ...] = ()
        self._at_lane = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("strip of the run")
        self._looked.connect(self._take)
        shown.add_preparation(self.prepare)

    # What is shown ---------------------------------------------------------------------------

    def show_run(self) -> None:
        """Take the run and its ghost from the model; the stretch looked at stays if it can."""
        record, ghost = self._shown.record, self._shown.ghost
        if record is None or record.history is None:
            self._lanes, self._events, self._causes, self._passing = [], (), (), ()
            self._curves = self._ghost = self._ripple = None
            self._runs.keep_only()
            self._layout()
            return
        before = self._window
        run = self._runs.of(record)
        seen = run.seen(self._look)
        self._lanes, self._passing = seen.lanes, seen.passing
        self._events, self._causes, self._curves = run.events, run.causes, run.curves
        self._ghost = None
        if ghost is not None and ghost.history is not None:
            self._ghost = self._runs.of(ghost).curves
            self._ghost.title = self._shown.ghost_title
        self._runs.keep_only(record, ghost)
        self._ripple = None
        self._window = TimeWindow.whole(
            record.start_ns, record.end_ns, record.scenario.calendar.start
        )
        if before.of_all == self._window:
            self._window = before
        self._layout()

    def prepare(self, record: Record, ghost: Record | None) -> None:
        """Work out what a run that is about to be shown needs; in any thread."""
        if record.history is not None:
            self._runs.of(record).seen(self._look)
        if ghost is not None and ghost.history is not None:
            self._runs.of(ghost)

    @property
    def events(self) -> tuple[StopEvent, ...]:
        """All stops of the run."""
        return self._events

    @property
    def causes(self) -> tuple[str, ...]:
        """Names of what the stops were made for, in the order of the alphabet."""
        return self._causes

    @property
    def passing(self) -> tuple[StopEvent, ...]:
        """The stops that have colour, in order of their start."""
        return self._passing

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
        self._see(replace(self._look, with_parts=with_parts))

    def show_ripple(self, ripple: Ripple | None) -> None:
        """Light up a stop and what it reached; None: all as usual."""
        self._ripple = ripple
        self._stale()

    def set_filter(self, only: Filter) -> None:
        """Colour only what passes."""
        if only != self._look.only:
            self._see(replace(self._look, only=only))

    def _see(self, look: Look) -> None:
        self._look = look
        record = self._shown.record
        if record is None or record.history is None:
            self._layout()
            return
        run = self._runs.of(record)
        if run.long:
            # The window goes on meanwhile, with what it shows.
            threading.Thread(target=self._see_aside, args=(run, look), daemon=True).start()
        else:
            self._take(run, run.seen(look))

    def _see_aside(self, run: RunShown, look: Look) -> None:
        seen = run.seen(look)
        # The window may have been closed.
        with contextlib.suppress(RuntimeError):
            self._looked.emit(run, seen)

    def _take(self, run: RunShown, seen: Seen) -> None:
        if seen.look == self._look and run.record is self._shown.record:
            self._lanes, self._passing = seen.lanes, seen.passing
            self._layout()
            self.look_changed.emit()

    def _layout(self) -> None:
        self.rows, self._legend = self._laid_out(self.size(), self._plot().right())
        below = legend_px(len(self._legend), self._line_px())
        least = least_height(self._lanes, self._line_px(), orders=self._with_orders) + below
        self.setMinimumSize(_LEAST_WIDTH, least)
        self._at_lane = min(self._at_lane, max(0, len(self._lanes) - 1))
        self._stale()

    def _laid_out(self, size: QSize, right: int) -> tuple[list[Row], list[list[Entry]]]:
        """Rows and legend in so much space; the legend ends where readings begin."""
        found = entries(self._lanes, filtered=self._look.only != Filter())
        legend = in_rows(found, self.fontMetrics(), right)
        high = size.height() - legend_px(len(legend), self._line_px())
        if not self._lanes:
            return [], legend
        return rows_of(self._lanes, high, self._line_px(), orders=self._with_orders), legend

    @property
    def _with_orders(self) -> bool:
        record = self._shown.record
        return record is not None and bool(record.orders)

    def picture(self, size: QSize, palette: Palette, scale: float) -> Picture | None:
        """What is looked at, in another size and other colours: for paper, without readings.

        None where no run is shown. ``scale``: pixels to a point.
        """
        stretch = self._stretch()
        if stretch is None:
            return None
        left, top = self._columns(size.width())[0], axis_px(self._line_px())
        plot = QRect(left, top, size.width() - left - 4, size.height() - top)
        rows, legend = self._laid_out(size, size.width())
        font = QFont(self.font())
        font.setPixelSize(QFontInfo(font).pixelSize())
        return Picture(
            stretch, self._row_plots(), rows, plot, legend, palette, scale, font, self._ripple
        )

    def _stretch(self) -> Stretch | None:
        """What is looked at; None where no run is shown."""
        record, curves = self._shown.record, self._curves
        if record is None or curves is None:
            return None
        return Stretch(record, curves, self._ghost, self._window)

    def _row_plots(self) -> RowPlots:
        # At the first run, not at the start: pyqtgraph takes its time.
        from gui.strip.row_plots import RowPlots

        if self._plots is None:
            self._plots = RowPlots(self)
        return self._plots

    def _stale(self) -> None:
        self._to_paint = True
        self.update()

    def _plot(self) -> QRect:
        left, right = self._columns(self.width())
        top = axis_px(self._line_px())
        return QRect(left, top, max(10, self.width() - left - right), self.height() - top)

    def _columns(self, width: int) -> tuple[int, int]:
        """Widths of what stands at the left and at the right of the run, px."""
        wide = self.fontMetrics().horizontalAdvance
        titles = [wide(each) for each in TITLES.values()]
        # The first moment stands half beside the plot.
        titles.append(wide(self._window.title) + wide("0:00") // 2)
        titles += [wide(lane.title) + TITLE_INDENT_PX * lane.part for lane in self._lanes]
        if self._shown.record is not None:
            titles += [wide(words) for _, words in level_marks(self._shown.record.scenario)]
        return columns_px(width, max(titles), wide(USUAL_READING))

    def _line_px(self) -> int:
        return self.fontMetrics().height() + 1

    def x_of(self, t_ns: int) -> float:
        """Where a moment lies across the widget."""
        return self._plot().left() + self._window.to_part(t_ns) * self._plot().width()

    def point_of(self, row: Row, t_ns: int) -> QPointF | None:
        """Where the curve of a row is at a moment; None where it has none, or is not drawn yet."""
        if row.curve is None or self._plots is None or self._curves is None:
            return None
        if row.what == "orders":
            return QPointF(self.x_of(t_ns), row.top + row.height / 2)
        at = np.array([self._window.start_ns, t_ns], dtype=np.int64)
        if row.what == "level":
            value = int(self._curves.level.at(at)[1])
        else:
            value = int(np.diff(self._curves.out.good(at))[0])
        point = self._plots.place(row.what, self._window.to_part(t_ns), value)
        return None if point is None else point + QPointF(0, row.curve.top)

    def sizeHint(self) -> QSize:
        """Wide, and as low as may be: what stands below it on a page is to be seen, too."""
        return QSize(1100, self.minimumHeight())

    # Painting --------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The picture from its store where it still holds, and the cursor over it."""
        painter = QPainter(self)
        palette = palette_of(self)
        stretch = self._stretch()
        if stretch is None or not self.rows:
            painter.fillRect(self.rect(), QColor(palette.ground))
            painter.setPen(QColor(palette.text))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "No run is shown yet.")
            return
        scale = self.devicePixelRatioF()
        fits = self._pixmap.size() == self.size() * scale
        if self._to_paint or not fits or self._pixmap.devicePixelRatio() != scale:
            # Plots that are drawn have Qt hand on what waits, a new size of this sheet, too.
            self._to_paint = False
            picture = Picture(
                stretch,
                self._row_plots(),
                self.rows,
                self._plot(),
                self._legend,
                palette,
                scale,
                self.font(),
                self._ripple,
            )
            # Pages of memory are dear: a pixmap of the right size is painted over.
            if not fits:
                self._pixmap = QPixmap(self.size() * scale)
            self._pixmap.setDevicePixelRatio(scale)
            self._pixmap.fill(QColor(palette.ground))
            onto = QPainter(self._pixmap)
            picture.paint(onto)
            onto.end()
        painter.drawPixmap(0, 0, self._pixmap)
        self._paint_cursor(painter)
        left = self._plot().right() + 10
        column = QRect(left, 0, self.width() - left - 4, self.height())
        painter.setFont(self.font())
        paint_readings(painter, column, stretch, self.rows, self._shown.cursor_ns, palette)

    def _paint_cursor(self, painter: QPainter) -> None:
        palette, now = palette_of(self), self._shown.cursor_ns
        if self._window.start_ns <= now <= self._window.end_ns:
            x = self.x_of(now)
            painter.setPen(QPen(QColor(palette.text), 1))
            for top, bottom in upright(self.rows, self._row_plots(), self._plot().top() - 6):
                painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        lanes = [row for row in self.rows if row.lane is not None]
        if self.hasFocus() and self._at_lane < len(lanes):
            row = lanes[self._at_lane]
            painter.setPen(QPen(QColor(palette.curve), RING))
            painter.drawRect(QRect(1, row.top, self._plot().left() - 4, row.height - 1))

    # Changes from outside --------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out again."""
        self._layout()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's colours and fonts."""
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.StyleChange)
        if event.type() in kinds:
            self._layout()
        super().changeEvent(event)
