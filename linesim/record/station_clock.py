"""Time a station has run by a moment, and back: its own clock, which stands while it stands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from linesim.record.record import Record, Spans
from linesim.record.states import State


class StationClock:
    """A clock that moves in given states of a station only. Times in ns.

    Before the spans begin (run-in and warm-up are not in them) it counts as moving.
    """

    def __init__(self, record: Record, spans: Spans, moving: tuple[State, ...]) -> None:
        moves = np.isin(spans.state, [int(state) for state in moving])
        steps = np.where(moves, spans.end_ns - spans.start_ns, 0)
        begun, at = record.begun_ns, record.start_ns
        times = np.concatenate([[begun, at], spans.end_ns])
        self._times: NDArray[np.int64] = times.astype(np.int64)
        readings = np.concatenate([[begun, at], at + np.cumsum(steps)])
        self._readings: NDArray[np.int64] = readings.astype(np.int64)

    def reading(self, t_ns: int) -> int:
        """How far the clock has moved by ``t_ns``."""
        times, readings = self._times, self._readings
        i = min(max(int(np.searchsorted(times, t_ns, "right")) - 1, 0), len(times) - 1)
        last = i + 1 >= len(times)
        if last or readings[i + 1] == readings[i]:
            return int(readings[i])
        return int(readings[i]) + t_ns - int(times[i])

    def readings(self, t_ns: NDArray[np.int64]) -> NDArray[np.int64]:
        """The same for many moments."""
        exact = np.interp(t_ns, self._times, self._readings)
        return np.rint(exact).astype(np.int64)

    def first_at(self, reading: NDArray[np.int64]) -> NDArray[np.int64]:
        """When the clock came to these readings."""
        return self._at(reading, "left")

    def last_at(self, reading: NDArray[np.int64]) -> NDArray[np.int64]:
        """When the clock moved on from these readings."""
        return self._at(reading, "right")

    def _at(self, reading: NDArray[np.int64], side: str) -> NDArray[np.int64]:
        found = np.searchsorted(self._readings, reading, side)  # type: ignore[call-overload]
        i = np.clip(found - (1 if side == "right" else 0), 0, len(self._times) - 1)
        if side == "right":
            moment = self._times[i] + np.maximum(0, reading - self._readings[i])
        else:
            moment = self._times[i] - np.maximum(0, self._readings[i] - reading)
        return np.asarray(moment, dtype=np.int64)
