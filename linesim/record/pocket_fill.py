"""How full the pockets are at a moment.

A record says when each set was full, and the books say what lay in the pockets at the end. In
between, cuts follow from the web that ran. The cuts that were rejected meanwhile are known by
their number only: they are taken as those that follow each restart of the webs, or as spread
evenly where the webs did not stand. So the fill is exact at every full set and at the end of the
run, and wherever nothing was rejected.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from linesim.record.orders_in_time import OrdersInTime
from linesim.record.record import Record, Spans
from linesim.record.web_motion import WebMotion


@dataclass(frozen=True)
class _Stretch:
    """Web between two moments at which the fill is known."""

    from_um: int
    to_um: int
    knots_um: list[float]
    cuts: list[float]


class PocketFill:
    """Good cuts since the last full set, by web through the knives."""

    def __init__(
        self, record: Record, motion: WebMotion, orders: OrdersInTime, stations: list[Spans]
    ) -> None:
        history = record.history
        assert history is not None
        self._motion, self._orders = motion, orders
        self._restarts = np.array(motion.starts_um(), dtype=np.int64)
        full = np.sort(history.set_full_ns)
        marks: list[tuple[int, float | None]] = [(0, 0.0)]  # moment, good cuts up to it
        per_ream = orders.jobs[0].cuts_per_ream
        marks += [(int(t), float(per_ream)) for t in full]
        resets = [int(t) for t in orders.from_ns[1:] if t <= record.end_ns]
        resets += _cleared(record, stations)
        marks += [(t, None) for t in resets]
        marks.sort(key=lambda mark: mark[0])
        self.still_full = _sets_not_placed(record)
        """Sets that were full but not on the bridge when the run ended."""
        left = _cuts_at_end(record, orders) + self.still_full * per_ream
        marks.append((record.end_ns, left))
        self._stretches = [
            self._stretch(before, after, good) for (before, _), (after, good) in pairwise(marks)
        ]
        self._starts = [stretch.from_um for stretch in self._stretches]
        self._start_ns = [t for t, _ in marks[:-1]]
        self.full_ns = [*(int(t) for t in full), *self._full_at_end(record, per_ream)]
        """When each set was full, those not yet on the bridge at the end of the run last."""

    def cuts(self, t_ns: int) -> float:
        """Good cuts since the last full set."""
        found = int(np.searchsorted(self._start_ns, t_ns, "right")) - 1
        stretch = self._stretches[max(0, found)]
        place = self._motion.place_um(t_ns)
        made = float(np.interp(place, stretch.knots_um, stretch.cuts))
        if self.still_full and found == len(self._stretches) - 1:
            passed = sum(t <= t_ns for t in self.full_ns[-self.still_full :])
            made = max(0.0, made - passed * self._orders.jobs[0].cuts_per_ream)
        return made

    def _stretch(self, before_ns: int, after_ns: int, good: float | None) -> _Stretch:
        start, end = self._motion.place_um(before_ns), self._motion.place_um(after_ns)
        cut_um = self._orders.job(before_ns).sheet_length_mm * 1000
        if good is None:
            return _Stretch(start, end, [start, end], [0.0, (end - start) / cut_um])
        rejected = (end - start) - good * cut_um
        inside = self._restarts[(self._restarts >= start) & (self._restarts < end)]
        if rejected < cut_um or len(inside) == 0:
            return _Stretch(start, end, [start, end], [0.0, good])
        each = rejected / len(inside)
        knots, cuts, place, made = [float(start)], [0.0], float(start), 0.0
        for restart in inside:
            begin = max(place, float(restart))
            made += (begin - place) / cut_um
            place = begin + each
            knots += [begin, place]
            cuts += [made, made]
        if place > end:  # rejects of one restart reach beyond the stretch: spread them
            return _Stretch(start, end, [start, end], [0.0, good])
        return _Stretch(start, end, [*knots, float(end)], [*cuts, good])

    def _full_at_end(self, record: Record, per_ream: int) -> list[int]:
        stretch = self._stretches[-1]
        found = []
        for number in range(1, self.still_full + 1):
            place = float(np.interp(number * per_ream, stretch.cuts, stretch.knots_um))
            found.append(self._motion.moment_ns(round(place), record.end_ns))
        return found


def _cleared(record: Record, stations: list[Spans]) -> list[int]:
    """When stops that spoil what lies in the pockets cleared them: as the webs stood."""
    found: list[int] = []
    for stop in record.scenario.stop:
        if not stop.spoils_pockets or stop.station not in record.stations:
            continue
        rows = stations[record.station(stop.station)]
        numbers = [n for n, name in enumerate(record.causes) if name.startswith(stop.cause)]
        mine = np.isin(rows.cause, numbers) & (rows.root_station < 0)
        begins = mine & ~np.concatenate([[False], mine[:-1]])
        found += [int(t) for t in rows.start_ns[begins]]
    return found


def _sets_not_placed(record: Record) -> int:
    """Full sets still in the pockets or in the transfer's grip at the end."""
    assert record.history is not None
    reams, lanes = record.books.reams, record.scenario.set_reams
    if record.start_ns:
        placed = record.history.set_placed_ns > record.start_ns
        late = record.history.set_full_ns[placed] <= record.start_ns
        before = int(record.history.set_reams[placed][late].sum())
        on_bridge = int(record.history.set_reams[placed].sum()) - before
        waiting = reams.made - on_bridge - reams.set_aside
    else:
        waiting = reams.made - int(record.history.set_reams.sum()) - reams.set_aside
    if record.scenario.order:
        lanes = record.scenario.order[-1].lanes or lanes
        for order, done in zip(record.scenario.order, record.orders, strict=True):
            if done.cut_ns is None:
                lanes = order.lanes or record.scenario.set_reams
                break
    return min(2, max(0, round(waiting / lanes)))


def _cuts_at_end(record: Record, orders: OrdersInTime) -> float:
    lanes = orders.job(record.end_ns).lanes
    return record.books.sheets.at_end / (record.scenario.unwind.webs * lanes)
