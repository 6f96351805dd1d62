"""How long a line remembers: two runs with the same random numbers, one of them disturbed.

Compared are the sets filled at the knives and the reams off the wrappers, each on its own clock,
which stands during planned stops (these come by the calendar, whatever the line did before).
"As before, so much later" means: the disturbed run has at every moment the count that the
undisturbed run had that delay earlier, give or take one set. One set is allowed because a stop
that falls between two sets in one run may fall a set earlier or later in the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.record.record import Column, Record
from linesim.record.states import State
from linesim.record.station_clock import StationClock

SETS_TO_BE_SURE = 20
"""So many sets must have come as before, up to the end of the run, before it is believed."""

_SETS_TO_LOOK_AT = 5000
"""Looking for the first moment in step ends after so many sets; they are most of a day's."""


@dataclass(frozen=True)
class Forgetting:
    """Delay of the disturbed run at its end, and from when on nothing but that delay was left."""

    delay_ns: int
    """Of the reams off the wrappers: the median over the last sets of the run; 0 where the runs
    have too few reams to tell."""
    from_ns: int | None
    """Moment of the disturbed run; None where it still differed near the end of the run."""
    in_step_ns: int | None
    """From when on it first did the same, for at least ``SETS_TO_BE_SURE`` sets. Before
    ``from_ns`` where it fell out of step again: a pause of people or of a reel, or a stop by the
    clock, met it at another point of its work. None where it was never in step."""
    in_step_delay_ns: int
    """How much later it then was; 0 where it was never in step."""


def forgetting(undisturbed: Record, disturbed: Record, since_ns: int) -> Forgetting:
    """When the disturbed run did the same again as the undisturbed one, apart from a delay.

    Both records need their history. ``since_ns`` is the end of what disturbed.
    """
    knives = disturbed.station("cutter")
    wrapper = disturbed.station(disturbed.scenario.wrapper[0].name)
    before, after = undisturbed.recorded, disturbed.recorded
    runs = (undisturbed, disturbed)
    one, other = (_Flow(run, run.recorded.set_full_ns, knives) for run in runs)
    sets = one, other
    one, other = (_Flow(run, run.recorded.ream_end_ns, wrapper) for run in runs)
    reams = one, other
    size = int(max(before.set_reams.max(initial=1), after.set_reams.max(initial=1)))
    delay = _delay(*reams, SETS_TO_BE_SURE * size)
    if delay is None:
        return Forgetting(0, None, None, 0)
    by_sets = _same_from(*sets, delay, 1, SETS_TO_BE_SURE)
    by_reams = _same_from(*reams, delay, size, SETS_TO_BE_SURE * size)
    last = None
    if by_sets is not None and by_reams is not None:
        last = max(since_ns, by_sets, by_reams)
    first = _first_in_step(sets, reams, size, since_ns, last)
    if first is None:
        return Forgetting(delay, last, last, 0 if last is None else delay)
    return Forgetting(delay, last, *first)


class _Flow:
    """Moments at which something came, by the clock of the run and by that of its station."""

    def __init__(self, record: Record, times: Column, station: int) -> None:
        self.at_ns: Column = np.sort(times)
        unplanned = tuple(state for state in State if state != State.PLANNED)
        clock = StationClock(record, record.recorded.spans.of(station), unplanned)
        self.clock_ns = clock.readings(self.at_ns)


_Pair = tuple[_Flow, _Flow]
"""Of the undisturbed run, and of the disturbed one."""


def _delay(before: _Flow, after: _Flow, count: int) -> int | None:
    common = min(len(before.at_ns), len(after.at_ns))
    if common == 0:
        return None
    first = max(0, common - count)
    delays = after.clock_ns[first:common] - before.clock_ns[first:common]
    return int(np.sort(delays)[len(delays) // 2])


def _same_from(before: _Flow, after: _Flow, delay: int, give: int, sure: int) -> int | None:
    """Moment of the first piece from which on all come as before, ``delay`` later.

    The k-th piece may come as early as the (k - give)-th did, and as late as the (k + give)-th.
    """
    common = min(len(before.at_ns), len(after.at_ns))
    apart = np.flatnonzero(_apart(before, after, delay, give, 0, common))
    first = int(apart[-1]) + 1 if len(apart) else 0
    if common - first < sure:
        return None
    return int(after.at_ns[first]) if first else 0


def _apart(
    before: _Flow, after: _Flow, delay: int, give: int, start: int, stop: int
) -> NDArray[np.bool_]:
    """Which pieces from ``start`` to ``stop`` came earlier or later than they may."""
    far = np.iinfo(np.int64).max // 2
    number = np.arange(start, stop)
    usual = np.concatenate([before.clock_ns + delay, [far, -far]])
    soonest = usual[np.where(number < give, -1, number - give)]
    latest = usual[np.minimum(number + give, len(before.clock_ns))]
    mine = after.clock_ns[start:stop]
    return np.asarray((mine < soonest) | (mine > latest), dtype=np.bool_)


def _first_in_step(
    sets: _Pair,
    reams: _Pair,
    size: int,
    since_ns: int,
    until_ns: int | None,
) -> tuple[int, int] | None:
    """First moment from which on enough sets, and their reams, came with one delay; and that.

    None where there is none before ``until_ns``, or among the first sets after ``since_ns``.
    """
    many = SETS_TO_BE_SURE * size
    common = min(len(each.at_ns) for each in sets)
    first = int(np.searchsorted(sets[1].at_ns, since_ns))
    for k in range(first, min(first + _SETS_TO_LOOK_AT, common - SETS_TO_BE_SURE + 1)):
        at = int(sets[1].at_ns[k])
        j = int(np.searchsorted(reams[1].at_ns, at))
        if j + many > min(len(each.at_ns) for each in reams):
            return None
        if until_ns is not None and sets[1].at_ns[k + SETS_TO_BE_SURE - 1] >= until_ns:
            return None
        delay = int(np.median(reams[1].clock_ns[j : j + many] - reams[0].clock_ns[j : j + many]))
        if not _apart(*sets, delay, 1, k, k + SETS_TO_BE_SURE).any() and (
            not _apart(*reams, delay, size, j, j + many).any()
        ):
            return at, delay
    return None
