"""How full the pockets are at a moment.

A record says when each set was full, and the books say what lay in the pockets at the end. In
between, cuts follow from the web that ran. The cuts that were rejected meanwhile are known by
their number only: they are taken as those that follow each restart of the webs, or as spread
evenly where the webs did not stand. So the fill is exact at every full set and at the end of the
run, and wherever nothing was rejected.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from linesim.record.products import OrdersInTime
from linesim.record.record import Record, Spans
from linesim.record.web_motion import WebMotion

_Curve = tuple[list[float], list[float]]
"""Web through the knives, um, rising; and the good cuts made by then."""


class PocketFill:
    """Good cuts since the last full set, by web through the knives."""

    def __init__(
        self, record: Record, motion: WebMotion, orders: OrdersInTime, stations: list[Spans]
    ) -> None:
        history = record.recorded
        self._motion, self._orders = motion, orders
        self._restarts = motion.starts_um()
        full = np.sort(history.set_full_ns)
        per_ream = float(orders.products[0].cuts_per_ream)
        resets = [int(t) for t in orders.from_ns[1:] if t <= record.end_ns]
        resets += _cleared(record, stations)
        self.still_full = _sets_not_placed(record)
        """Sets that were full but not on the bridge when the run ended."""
        in_pockets = record.scenario.unwind.webs * orders.product(record.end_ns).lanes
        left = record.books.sheets.at_end / in_pockets + self.still_full * per_ream
        # Moments at which the fill is known, and the good cuts up to each; a reset has none.
        inner_ns = np.concatenate([full, np.array(resets, dtype=np.int64)])
        inner_good = np.concatenate([np.full(len(full), per_ream), np.full(len(resets), np.nan)])
        order = np.argsort(inner_ns, kind="stable")
        self._marks_ns = np.concatenate(
            [[record.begun_ns], inner_ns[order], [record.end_ns]]
        ).astype(np.int64)
        self._good = np.concatenate([inner_good[order], [left]])
        self._last: tuple[int, _Curve] | None = None
        self.full_ns: NDArray[np.int64] = np.concatenate(
            [full, np.array(self._full_at_end(record, per_ream), dtype=np.int64)]
        )
        """When each set was full, those not yet on the bridge at the end of the run last."""

    def cuts(self, t_ns: int) -> float:
        found = max(0, int(np.searchsorted(self._marks_ns[:-1], t_ns, "right")) - 1)
        made = float(np.interp(self._motion.place_um(t_ns), *self._curve(found)))
        if self.still_full and found == len(self._good) - 1:
            passed = int((self.full_ns[-self.still_full :] <= t_ns).sum())
            made = max(0.0, made - passed * self._orders.products[0].cuts_per_ream)
        return made

    def _curve(self, mark: int) -> _Curve:
        # Made when asked for: a year has millions of them, and few are looked at.
        if self._last is None or self._last[0] != mark:
            self._last = mark, self._made(mark)
        return self._last[1]

    def _made(self, mark: int) -> _Curve:
        """Between two moments at which the fill is known."""
        before_ns, after_ns = (int(t) for t in self._marks_ns[mark : mark + 2])
        start, end = self._motion.place_um(before_ns), self._motion.place_um(after_ns)
        cut_um = self._orders.product(before_ns).sheet_length_mm * 1000
        good = float(self._good[mark])
        if math.isnan(good):
            return [start, end], [0.0, (end - start) / cut_um]
        rejected = (end - start) - good * cut_um
        inside = self._restarts[slice(*np.searchsorted(self._restarts, [start, end]))]
        knots, cuts, place, made = [float(start)], [0.0], float(start), 0.0
        if rejected >= cut_um:
            for restart in inside:
                begin = max(place, float(restart))
                made += (begin - place) / cut_um
                place = begin + rejected / len(inside)
                knots += [begin, place]
                cuts += [made, made]
        if place > end:  # rejects of one restart reach beyond the stretch: spread them
            knots, cuts = [float(start)], [0.0]
        return [*knots, float(end)], [*cuts, good]

    def _full_at_end(self, record: Record, per_ream: float) -> list[int]:
        places_um, cuts = self._curve(len(self._good) - 1)
        full = per_ream * np.arange(1, self.still_full + 1)
        places = np.interp(full, cuts, places_um).tolist()
        return [self._motion.moment_ns(round(place), record.end_ns) for place in places]


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
    history = record.recorded
    reams, lanes = record.books.reams, record.scenario.set_reams
    if record.start_ns > record.begun_ns:
        placed = history.set_placed_ns > record.start_ns
        late = history.set_full_ns[placed] <= record.start_ns
        before = int(history.set_reams[placed][late].sum())
        on_bridge = int(history.set_reams[placed].sum()) - before
        waiting = reams.made - on_bridge - reams.set_aside
    else:
        waiting = reams.made - int(history.set_reams.sum()) - reams.set_aside
    if record.scenario.order:
        pairs = zip(record.scenario.order, record.orders, strict=True)
        uncut = (order for order, done in pairs if done.cut_ns is None)
        lanes = next(uncut, record.scenario.order[-1]).lanes or lanes
    return min(2, max(0, round(waiting / lanes)))
