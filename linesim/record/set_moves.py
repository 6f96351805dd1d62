"""Where full sets are between the pockets and the bridge.

A record says when a set was full, when it stood on the bridge, and when the transfer ran, waited
or stood. What lies between is exact where the times of the transfer's moves do not vary. Where
they do, the running time of a cycle is split among its moves in proportion to their means.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from linesim.record.moment import SetNow, SetPlace
from linesim.record.record import Column, Record, Spans
from linesim.record.states import PRODUCING, State
from linesim.record.station_clock import StationClock
from linesim.scenario.units import SECOND

_FAR = 1 << 62


class SetMoves:
    """Moments (ns) at which each set was full, gripped, lifted, at the bridge, put down."""

    def __init__(self, record: Record, transfer: Spans, full_ns: Column, unplaced: int) -> None:
        history = record.recorded
        self._clock = clock = StationClock(record, transfer, PRODUCING)
        table = record.scenario.transfer
        pick, carry, place, back = (
            law.average() * SECOND
            for law in (table.pick_s, table.carry_s, table.place_s, table.return_s)
        )
        placed = history.set_placed_ns
        order = np.argsort(history.set_full_ns, kind="stable")
        self.full_ns = full_ns
        self.reams = np.concatenate(
            [history.set_reams[order], np.full(unplaced, record.scenario.set_reams)]
        ).astype(np.int64)
        before = np.concatenate([[record.begun_ns], placed]).astype(np.int64)[: len(self.full_ns)]
        before = np.concatenate([before, np.full(len(self.full_ns) - len(before), _FAR)])
        self.placed_ns: Column = np.concatenate([placed, np.full(unplaced, _FAR)]).astype(np.int64)

        idle_ends = transfer.end_ns[transfer.state == State.STARVED]
        held_starts = transfer.start_ns[transfer.state == State.BLOCKED]
        idle = _last(idle_ends, before, self.placed_ns, "right")
        held = _last(held_starts, before, self.placed_ns, "left")
        run_before, run_placed = clock.readings(before), clock.readings(self.placed_ns)
        known = self.placed_ns < _FAR
        since_idle = np.where(idle > 0, clock.readings(np.maximum(idle, 0)), run_before)
        cycle = pick + carry + place + np.where(idle > 0, 0, back)
        factor = np.where(known & (cycle > 0), (run_placed - since_idle) / np.maximum(cycle, 1), 1)
        gripped = since_idle + np.where(idle > 0, 0, back) * factor
        there = gripped + (pick + carry) * factor
        # Where it had to wait at the bridge, the clock says when it came there.
        waited = held > 0
        at_wait = clock.readings(np.maximum(held, 0))
        into = np.where(
            waited & (there > gripped), (at_wait - gripped) / np.maximum(there - gripped, 1), 1.0
        )
        into = np.maximum(into, 0.0)
        there = np.where(waited, at_wait, there)
        lifted = gripped + pick * factor * into
        self._gripped, self._lifted = np.rint(gripped), np.rint(lifted)
        self._there, self._placed_at = np.rint(there), run_placed
        at = np.maximum(self.full_ns, clock.last_at(self._gripped.astype(np.int64)))
        self.gripped_ns: Column = np.where(idle > self.full_ns, idle, at)
        # A set whose predecessor was never put down has not been gripped either.
        self.gripped_ns[before >= _FAR] = _FAR
        lifted_ns = clock.first_at(self._lifted.astype(np.int64))
        self.taken_ns: Column = self.gripped_ns
        if not record.scenario.pockets.interim_fingers:
            self.taken_ns = np.maximum(self.gripped_ns, lifted_ns)
        self.put_from_ns: Column = clock.last_at(self._there.astype(np.int64))

    def under_way(self, t_ns: int) -> tuple[SetNow, ...]:
        """The sets that are full but not on the bridge, the oldest first."""
        first = int(np.searchsorted(self.placed_ns, t_ns, "right"))
        last = int(np.searchsorted(self.full_ns, t_ns, "right"))
        return tuple(self._set(number, t_ns) for number in range(first, last))

    def full_set_waits(self, t_ns: int) -> bool:
        last = int(np.searchsorted(self.full_ns, t_ns, "right")) - 1
        return last >= 0 and t_ns < self.taken_ns[last]

    def _set(self, number: int, t_ns: int) -> SetNow:
        reams = int(self.reams[number])
        if t_ns < self.gripped_ns[number]:
            return SetNow(reams, SetPlace.IN_POCKETS, 0.0)
        reading = self._clock.reading(t_ns)
        gripped, lifted = float(self._gripped[number]), float(self._lifted[number])
        there = float(self._there[number])
        if reading < lifted:
            return SetNow(reams, SetPlace.LIFTED, _part(reading, gripped, lifted))
        if reading < there:
            return SetNow(reams, SetPlace.CARRIED, _part(reading, lifted, there))
        if t_ns < self.put_from_ns[number]:
            return SetNow(reams, SetPlace.AT_BRIDGE, 0.0)
        return SetNow(
            reams, SetPlace.PUT_DOWN, _part(reading, there, float(self._placed_at[number]))
        )


def _part(reading: float, start: float, end: float) -> float:
    return min(1.0, max(0.0, (reading - start) / (end - start))) if end > start else 1.0


def _last(moments: Column, after: Column, until: Column, side: Literal["left", "right"]) -> Column:
    """The last moment after ``after`` and up to ``until``, itself counted on side "right"; or 0."""
    if len(moments) == 0:
        return np.zeros(len(after), dtype=np.int64)
    found = np.searchsorted(moments, until, side) - 1
    last = np.where(found >= 0, moments[np.maximum(found, 0)], 0)
    return np.where(last > after, last, 0).astype(np.int64)
