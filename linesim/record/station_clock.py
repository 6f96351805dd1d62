"""Time a station has run by a moment, and back: its own clock, which stands while it stands."""

from __future__ import annotations

import numpy as np

from linesim.record.record import Column, Record, Spans
from linesim.record.states import State


class StationClock:
    """A clock that moves in given states of a station only. Times in ns, exact.

    Before the spans begin (run-in and warm-up are not in them) it counts as moving.
    """

    def __init__(self, record: Record, spans: Spans, moving: tuple[State, ...]) -> None:
        moves = np.isin(spans.state, [int(state) for state in moving])
        steps = np.where(moves, spans.end_ns - spans.start_ns, 0)
        began = np.array([record.begun_ns, record.start_ns], dtype=np.int64)
        self._times: Column = np.concatenate([began, spans.end_ns])
        self._readings: Column = np.concatenate([began, began[1] + np.cumsum(steps)])
        self._last = len(self._times) - 1

    def reading(self, t_ns: int) -> int:
        """How far the clock has moved by ``t_ns``."""
        # As readings, without arrays: a picture asks for many a moment.
        row = min(max(int(np.searchsorted(self._times, t_ns, "right")) - 1, 0), self._last)
        moves = self._readings[min(row + 1, self._last)] > self._readings[row]
        return int(self._readings[row]) + (t_ns - int(self._times[row]) if moves else 0)

    def readings(self, t_ns: Column) -> Column:
        """The same for many moments."""
        row = np.clip(np.searchsorted(self._times, t_ns, "right") - 1, 0, self._last)
        moves = self._readings[np.minimum(row + 1, self._last)] > self._readings[row]
        return np.asarray(self._readings[row] + np.where(moves, t_ns - self._times[row], 0))

    def first_at(self, reading: Column) -> Column:
        """When the clock came to these readings."""
        row = np.minimum(np.searchsorted(self._readings, reading, "left"), self._last)
        return np.asarray(self._times[row] - np.maximum(0, self._readings[row] - reading))

    def last_at(self, reading: Column) -> Column:
        """When the clock moved on from these readings."""
        row = np.clip(np.searchsorted(self._readings, reading, "right") - 1, 0, self._last)
        return np.asarray(self._times[row] + np.maximum(0, reading - self._readings[row]))
