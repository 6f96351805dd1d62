"""Plays the run: moves the cursor on with the clock on the wall, at a chosen speed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

if TYPE_CHECKING:
    from gui.shift import ShownShift

SPEEDS = (1, 10, 60, 600, 3600)
_TICK_MS = 33
_NS_PER_S = 1_000_000_000


class Player(QObject):
    """Moves ``shown.cursor_ns``; stops at the end of the run."""

    playing_changed = Signal(bool)
    speed_changed = Signal(int)

    def __init__(self, shown: ShownShift, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._speed = 60
        self._rest_ns = 0
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self._tick)
        self._since = QElapsedTimer()

    @property
    def playing(self) -> bool:
        """Whether it plays."""
        return self._timer.isActive()

    @property
    def speed(self) -> int:
        """Seconds of the run in a second on the wall."""
        return self._speed

    @speed.setter
    def speed(self, speed: int) -> None:
        if speed != self._speed:
            self._speed = speed
            self.speed_changed.emit(speed)

    def play(self) -> None:
        """Go on from the cursor; from the beginning where the cursor is at the end."""
        record = self._shown.record
        if record is None or self.playing:
            return
        if self._shown.cursor_ns >= record.end_ns:
            self._shown.cursor_ns = record.start_ns
        self._since.start()
        self._timer.start()
        self.playing_changed.emit(True)

    def pause(self) -> None:
        """Stand still."""
        if self.playing:
            self._timer.stop()
            self.playing_changed.emit(False)

    def toggle(self) -> None:
        """Play or pause."""
        if self.playing:
            self.pause()
        else:
            self.play()

    def step(self, seconds: float) -> None:
        """Move the cursor by so many seconds of the run; playing stops."""
        self.pause()
        if self._shown.record is not None:
            self._shown.cursor_ns = self._shown.cursor_ns + round(seconds * _NS_PER_S)

    def step_on(self) -> None:
        """One second of the run on."""
        self.step(1)

    def step_back(self) -> None:
        """One second of the run back."""
        self.step(-1)

    def faster(self, steps: int = 1) -> None:
        """The next faster speed; with -1 the next slower."""
        nearest = min(range(len(SPEEDS)), key=lambda i: abs(SPEEDS[i] - self._speed))
        self.speed = SPEEDS[min(len(SPEEDS) - 1, max(0, nearest + steps))]

    def _tick(self) -> None:
        self.advance(self._since.restart())

    def advance(self, elapsed_ms: int) -> None:
        """Move on by what this much time on the wall is worth."""
        record = self._shown.record
        if record is None:
            self.pause()
            return
        self._shown.cursor_ns = self._shown.cursor_ns + elapsed_ms * 1_000_000 * self._speed
        if self._shown.cursor_ns >= record.end_ns:
            self.pause()
