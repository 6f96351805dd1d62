"""Reams on the bridge and in the wrappers at a moment."""

from __future__ import annotations

import numpy as np

from linesim.record.moment import WrapperNow
from linesim.record.products import OrdersInTime
from linesim.record.record import Column, Record, Spans
from linesim.record.states import PRODUCING, State
from linesim.record.station_clock import StationClock
from linesim.scenario.units import MINUTE, SECOND
from linesim.scenario.wrapping_tables import Wrapper

_MOST_ROWS = 20_000


class ReamsOnBridge:
    """First in, first out: what was put down and not yet taken, and how far it has travelled.

    A set is put down at the far end, as long as its reams are, and travels with the belt until
    it stands at the wrappers or behind the reams that stand there already.
    """

    def __init__(self, record: Record, bridge: Spans) -> None:
        history, scenario = record.recorded, record.scenario
        self.places = scenario.bridge_places
        self._tracks = scenario.bridge.tracks
        order = np.argsort(history.set_placed_ns, kind="stable")
        self._placed_ns: Column = history.set_placed_ns[order]
        self._reams: Column = history.set_reams[order]
        self._put_down = np.concatenate([[0], np.cumsum(self._reams)])
        self._taken_ns = np.sort(np.concatenate([history.ream_start_ns, history.ream_off_ns]))
        moving = tuple(s for s in State if s in PRODUCING or s in (State.STARVED, State.BLOCKED))
        self._belt = StationClock(record, bridge, moving)
        self._travel_ns = scenario.bridge_travel_ns

    def _taken(self, t_ns: int) -> int:
        return int(np.searchsorted(self._taken_ns, t_ns, "right"))

    def _sets(self, t_ns: int) -> int:
        return int(np.searchsorted(self._placed_ns, t_ns, "right"))

    def level(self, t_ns: int) -> int:
        return max(0, int(self._put_down[self._sets(t_ns)]) - self._taken(t_ns))

    def rows(self, t_ns: int) -> tuple[float, ...]:
        """Rows of places between each ream and the wrappers, the first to be wrapped first."""
        taken, sets = self._taken(t_ns), self._sets(t_ns)
        first = max(0, int(np.searchsorted(self._put_down, taken, "right")) - 1)
        belt = self._belt.reading(t_ns)
        long = -(-self.places // self._tracks)
        found: list[float] = []
        for number in range(first, sets):
            reams = int(self._reams[number])
            skip = max(0, taken - int(self._put_down[number]))
            behind = 0.0
            if self._travel_ns:
                gone = (belt - self._belt.reading(int(self._placed_ns[number]))) / self._travel_ns
                behind = max(0.0, (long - -(-reams // self._tracks)) * (1 - gone))
            for ream in range(skip, reams):
                stands = len(found) // self._tracks
                found.append(max(float(stands), behind + (ream - skip) // self._tracks))
                if len(found) >= _MOST_ROWS:
                    return tuple(found)
        return tuple(found)


class ReamsInWrappers:
    """The ream in each wrapper, and how far its wrapping has come by the wrapper's own clock."""

    def __init__(self, record: Record, wrappers: list[Spans]) -> None:
        history = record.recorded
        self._names = [wrapper.name for wrapper in record.scenario.wrapper]
        self._clocks = [StationClock(record, spans, PRODUCING) for spans in wrappers]
        self._start_ns, self._end_ns = record.start_ns, record.end_ns
        self._finished_ns: list[Column] = []
        self._in_hand: list[tuple[Column, Column]] = []
        for number in range(len(wrappers)):
            mine, lost = history.ream_wrapper == number, history.lost_wrapper == number
            finished = history.ream_end_ns[mine]
            begun = np.concatenate([history.ream_start_ns[mine], history.ream_off_ns[lost]])
            ended = np.concatenate([finished, history.lost_ns[lost]])
            order = np.argsort(begun, kind="stable")
            self._finished_ns.append(finished)
            self._in_hand.append((begun[order], ended[order]))
        made = OrdersInTime(record).product(record.end_ns)
        self._usual_ns = [
            _usual_ns(wrapper, made.wrapper_limit_per_min) for wrapper in record.scenario.wrapper
        ]
        self._out_ns = np.sort(history.ream_end_ns)

    def out(self, t_ns: int) -> int:
        return int(np.searchsorted(self._out_ns, t_ns, "right"))

    def at(self, t_ns: int) -> tuple[WrapperNow, ...]:
        return tuple(self._wrapper(number, t_ns) for number in range(len(self._names)))

    def _wrapper(self, number: int, t_ns: int) -> WrapperNow:
        starts, ends = self._in_hand[number]
        before, now = np.searchsorted(self._finished_ns[number], [self._start_ns, t_ns], "right")
        done = int(now - before)
        row = int(np.searchsorted(starts, t_ns, "right")) - 1
        if row < 0 or t_ns >= ends[row]:
            return WrapperNow(self._names[number], None, done)
        clock = self._clocks[number]
        begun = clock.reading(int(starts[row]))
        whole = self._usual_ns[number]
        if ends[row] <= self._end_ns:
            whole = float(clock.reading(int(ends[row])) - begun)
        part = (clock.reading(t_ns) - begun) / whole if whole > 0 else 1.0
        return WrapperNow(self._names[number], min(1.0, max(0.0, part)), done)


def _usual_ns(wrapper: Wrapper, limit_per_min: float) -> float:
    """Mean time for a ream: what is in hand when the run ends is measured against it."""
    if wrapper.wrap_s is not None:
        return float(wrapper.wrap_s.average()) * SECOND
    return MINUTE / min(wrapper.rate_reams_per_min, limit_per_min)
