"""Any moment of a run, asked for many times: an index over a record with history."""

from __future__ import annotations

import numpy as np

from linesim import paper
from linesim.record.moment import Moment, ReelNow, StationNow
from linesim.record.pocket_fill import PocketFill
from linesim.record.products import OrdersInTime
from linesim.record.reams_in_time import ReamsInWrappers, ReamsOnBridge
from linesim.record.record import Column, Record, Spans
from linesim.record.set_moves import SetMoves
from linesim.record.states import WAITING, Kind, State
from linesim.record.web_motion import WebMotion


class Moments:
    """The line at any moment of one run. Raises ``ValueError`` for a record without history."""

    def __init__(self, record: Record) -> None:
        history = record.recorded
        self.record = record
        self._spans = [history.spans.of(number) for number in range(len(record.stations))]
        self._motion = WebMotion(history)
        self._orders = OrdersInTime(record)
        self._fill = PocketFill(record, self._motion, self._orders, self._spans)
        full = (self._fill.full_ns, self._fill.still_full)
        self._sets = SetMoves(record, self._of("transfer"), *full)
        self._bridge = ReamsOnBridge(record, self._of("bridge"))
        names = [wrapper.name for wrapper in record.scenario.wrapper]
        self._wrappers = ReamsInWrappers(record, [self._of(name) for name in names])
        mine = [history.reel_web == web for web in range(record.scenario.unwind.webs)]
        self._reels = [(history.reel_ns[rows], history.reel_left_um[rows]) for rows in mine]

    def _of(self, station: str) -> Spans:
        return self._spans[self.record.station(station)]

    def at(self, t_ns: int) -> Moment:
        """The line at ``t_ns`` (ns from the start of the run).

        Raises ``ValueError`` for a moment outside the counted time.
        """
        record = self.record
        if not record.start_ns <= t_ns <= record.end_ns:
            raise ValueError(
                f"t_ns is {t_ns}; the record covers {record.start_ns} to {record.end_ns}"
            )
        product = self._orders.product(t_ns)
        place = self._motion.place_um(t_ns)
        waits = self._sets.full_set_waits(t_ns)
        cuts = self._fill.cuts(t_ns)
        held = min(cuts, float(record.scenario.overlap_belt.hold_cuts)) if waits else 0.0
        return Moment(
            t_ns=t_ns,
            order=self._orders.name(t_ns),
            lanes=product.lanes,
            cuts_per_ream=product.cuts_per_ream,
            web_m=(place - self._motion.place_um(record.start_ns)) / 1e6,
            web_speed_m_per_min=self._motion.speed_m_per_min(t_ns),
            rated_speed_m_per_min=product.web_speed_m_per_min,
            reels=tuple(self._reel(web, t_ns, place) for web in range(len(self._reels))),
            full_set_waits=waits,
            pocket_cuts=float(product.cuts_per_ream) if waits else min(cuts, product.cuts_per_ream),
            belt_cuts=held,
            sets=self._sets.under_way(t_ns),
            bridge_level=self._bridge.level(t_ns),
            bridge_places=self._bridge.places,
            bridge_rows=self._bridge.rows(t_ns),
            wrappers=self._wrappers.at(t_ns),
            wrapped=self._wrappers.out(t_ns) - self._wrappers.out(record.start_ns),
            stations=tuple(self._station(n, t_ns) for n in range(len(record.stations))),
        )

    def _station(self, number: int, t_ns: int) -> StationNow:
        rows, record = self._spans[number], self.record
        row = _row(rows.start_ns, t_ns)
        root, why = int(rows.root_station[row]), int(rows.root_cause[row])
        state = State(int(rows.state[row]))
        return StationNow(
            record.stations[number],
            state,
            record.causes[int(rows.cause[row])],
            record.stations[root] if root >= 0 else None,
            record.causes[why] if why >= 0 else "",
            int(rows.start_ns[row]),
            int(rows.end_ns[row]),
            state in WAITING and why >= 0 and record.cause_kinds[why] == Kind.RATE,
        )

    def _reel(self, web: int, t_ns: int, place_um: int) -> ReelNow:
        at_ns, left_um = self._reels[web]
        row = _row(at_ns, t_ns)
        since = int(at_ns[row])
        left = max(0, int(left_um[row]) - (place_um - self._motion.place_um(since)))
        thickness = self._orders.product(since).thickness_um
        core = self.record.scenario.reels.core_diameter_mm
        return ReelNow(web + 1, paper.reel_diameter_mm(left / 1e6, core, thickness), left / 1e6)


def _row(from_ns: Column, t_ns: int) -> int:
    return max(0, int(np.searchsorted(from_ns, t_ns, "right")) - 1)


def moment_at(record: Record, t_ns: int) -> Moment:
    """The line at ``t_ns`` (ns from the start of the run), from a record with history.

    For many moments of one run, build :class:`Moments` once and ask it. Raises ``ValueError`` for
    a record without history or a moment outside the counted time.
    """
    return Moments(record).at(t_ns)
