"""The strip with its controls; a stop that is looked at is brought near."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import CLOSE, NEAR, FlowRow, PlainLabel, spaced
from gui.shift import connect_weakly
from gui.strip.canvas import StripCanvas
from gui.strip.lanes import Filter
from linesim.record import Ripple, StopEvent

if TYPE_CHECKING:
    from gui.shift import ShownShift

_MIN = 60 * 10**9
_LEAST_NS = 2 * _MIN
"""So much is shown around the shortest stop."""
_STRETCHES = (("1 h", 60 * _MIN), ("10 min", 10 * _MIN), ("1 min", _MIN))
_LENGTHS = (
    ("of any length", 0),
    ("from 10 s", 10 * 10**9),
    ("from 1 min", _MIN),
    ("from 5 min", 5 * _MIN),
    ("from 15 min", 15 * _MIN),
)
_ENOUGH, _AROUND = 4, 0.15
"""A ripple is looked at closely unless it takes one in so many of what is on screen; and how much
is shown to both sides of it."""


def _place(event: StopEvent) -> tuple[int, int]:
    return event.start_ns, event.station


class _ShortButton(QPushButton):
    """As wide as its words in letters of any size, no wider: styles make few letters wide."""

    def sizeHint(self) -> QSize:
        wide = self.fontMetrics().horizontalAdvance(self.text()) + 22
        return QSize(max(40, wide), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class StripView(QWidget):
    """Everything the stations did over one time axis. It listens to ``shown`` and sets it."""

    stop_requested = Signal(str, float)
    """Station and hour of the run at which the user wants it to stand."""
    ripple_changed = Signal(object)
    """What is lit up: a ``Ripple``, or None."""

    def __init__(
        self, shown: ShownShift, parent: QWidget | None = None, *, stoppable: bool = True
    ) -> None:
        """``stoppable``: whether its menu offers to put a stop into the run."""
        super().__init__(parent)
        self._shown = shown
        self._cursor_before = shown.cursor_ns
        self._had_put_in = False
        self.canvas = StripCanvas(shown)
        self.canvas.stoppable = stoppable
        self.canvas.stop_requested.connect(self.stop_requested)
        self.canvas.step_requested.connect(self.step)
        column = QVBoxLayout(self)
        spaced(column, CLOSE, NEAR)
        column.addWidget(self._controls())
        column.addWidget(self.canvas, 1)
        self.canvas.look_changed.connect(self._tell_passing)
        connect_weakly(shown.record_changed, self._run_changed)
        connect_weakly(shown.cursor_moved, self._cursor_moved)
        connect_weakly(shown.stop_selected, self._stop_selected)
        self.setAccessibleName("strip")
        self._run_changed()

    def _controls(self) -> FlowRow:
        row = FlowRow()
        self.previous = self._button("‹ Stop", "previous stop", "The stop before (P)")
        self.previous.clicked.connect(self._step_back)
        self.next = self._button("Stop ›", "next stop", "The next stop (N)")
        self.next.clicked.connect(self._step_on)
        self.cause = QComboBox()
        self.cause.setAccessibleName("show stops by cause")
        self.cause.setToolTip("Only stops for this cause, and waits for them, have colour")
        # A long name must not make the window wider than a small screen; the list itself is wide.
        self.cause.setMinimumContentsLength(9)
        shorter = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        self.cause.setSizeAdjustPolicy(shorter)
        self.cause.currentIndexChanged.connect(self._filter_changed)
        self.length = QComboBox()
        self.length.setAccessibleName("show stops by length")
        self.length.setToolTip("Only stops and waits at least this long have colour")
        for words, ns in _LENGTHS:
            self.length.addItem(words, ns)
        self.length.currentIndexChanged.connect(self._filter_changed)
        self.count = PlainLabel()
        self.parts = QCheckBox("sheeter's parts")
        self.parts.setToolTip("A lane for each part of the web's way")
        self.parts.toggled.connect(self.canvas.show_parts)
        for widget in (self.previous, self.next, self.cause, self.length, self.count, self.parts):
            row.add(widget)
        self.stretches: dict[str, QPushButton] = {}
        for words, ns in (("back to all", 0), *_STRETCHES):
            told = "the whole run" if not ns else f"{words} around the cursor"
            button = self._button(words, f"show {told}", f"Show {told}")
            button.setProperty("length_ns", str(ns))
            button.clicked.connect(self._stretch_asked if ns else self.back_to_all)
            self.stretches[words] = button
            row.add(button)
        return row

    def _button(self, text: str, name: str, told: str) -> QPushButton:
        button = _ShortButton(text)
        button.setAccessibleName(name)
        button.setToolTip(told)
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        return button

    # From the model --------------------------------------------------------------------------

    def _run_changed(self) -> None:
        self.canvas.show_run()
        kept = self.cause.currentData()
        with QSignalBlocker(self.cause):
            self.cause.clear()
            self.cause.addItem("all causes", None)
            for name in self.canvas.causes:
                self.cause.addItem(name, name)
            self.cause.setCurrentIndex(max(0, self.cause.findData(kept)))
        listed = self.cause.view()
        listed.setMinimumWidth(listed.sizeHintForColumn(0) + 24)
        self._filter_changed()
        put_in = next(filter(self._shown.is_put_in, self.canvas.events), None)
        if put_in is not None:
            self._shown.cursor_ns = put_in.start_ns
        elif self._had_put_in:
            self.show_all()
        self._had_put_in = put_in is not None
        self._shown.selected = put_in

    def _cursor_moved(self, t_ns: int) -> None:
        window, before = self.canvas.window_of_time, self._cursor_before
        self._cursor_before = t_ns
        # Follow what plays on; leave alone who has looked elsewhere meanwhile.
        if window.start_ns <= before <= window.end_ns:
            self.canvas.look_at(window.holding(t_ns))
        self.canvas.say_moment()
        self.canvas.update()

    def follow(self, playing: bool) -> None:
        """What begins to play is on screen; from then on the strip goes along with it."""
        if playing:
            self.canvas.look_at(self.canvas.window_of_time.holding(self._shown.cursor_ns))

    def _stop_selected(self, event: StopEvent | None) -> None:
        record = self._shown.record
        ripple = None
        if event is not None and record is not None:
            ripple = linesim.record.ripple(record, event, self.canvas.events)
            self._look_closely(ripple)
        self.canvas.show_ripple(ripple)
        self._tell_passing()
        self.ripple_changed.emit(ripple)

    def _look_closely(self, ripple: Ripple) -> None:
        """Have all of a ripple on screen, and large enough to be read."""
        event, window = ripple.event, self.canvas.window_of_time
        end = max([event.end_ns, *(end for each in ripple.reached for end in each.ends_ns)])
        length, start = end - event.start_ns, event.start_ns
        inside = window.start_ns <= start and end <= window.end_ns
        if not inside or _ENOUGH * length < window.length_ns:
            wide = round((1 + 2 * _AROUND) * max(length, _LEAST_NS))
            self.canvas.look_at(window.showing(wide, (start + end) // 2))

    # From the user ---------------------------------------------------------------------------

    def filter(self) -> Filter:
        """Which stops are looked at."""
        return Filter(self.cause.currentData(), int(self.length.currentData() or 0))

    def _filter_changed(self) -> None:
        self.canvas.set_filter(self.filter())
        self._tell_passing()

    def _tell_passing(self) -> None:
        passing, selected = self.canvas.passing, self._shown.selected
        said = linesim.statistics.counted(len(passing), "stop")
        if selected is not None:
            at = bisect_left(passing, _place(selected), key=_place)
            if passing[at : at + 1] == (selected,):
                said = f"stop {at + 1:,} of {len(passing):,}"
        self.count.setText(said)
        self.previous.setEnabled(bool(passing))
        self.next.setEnabled(bool(passing))

    # What is connected are methods: Qt holds on to whatever else is, and with it to the view.
    def _step_on(self) -> None:
        self.step(1)

    def _step_back(self) -> None:
        self.step(-1)

    def _stretch_asked(self) -> None:
        self._show_stretch(int(self.sender().property("length_ns")))

    def step(self, way: int) -> None:
        """Select the next (1) or previous (-1) stop that passes the filter, and look at it."""
        stops = self.canvas.passing
        selected = self._shown.selected
        here = (self._shown.cursor_ns, -1 if way > 0 else 1 << 30)
        if selected is not None:
            here = (selected.start_ns, selected.station)
        # They are in this order: a year of them is not gone through.
        if way > 0:
            at = bisect_right(stops, here, key=_place)
        else:
            at = bisect_left(stops, here, key=_place) - 1
        if not 0 <= at < len(stops):
            return
        event = stops[at]
        self._shown.cursor_ns = event.start_ns
        self._shown.selected = event

    def back_to_all(self) -> None:
        """No stop is looked at any more, and the whole run is shown."""
        self._shown.selected = None
        self.show_all()

    def show_all(self) -> None:
        """Show the whole run."""
        self._show_stretch(0)

    def _show_stretch(self, length_ns: int) -> None:
        window = self.canvas.window_of_time
        whole = window.of_all
        if length_ns:
            whole = window.showing(length_ns, self._shown.cursor_ns)
        self.canvas.look_at(whole)
