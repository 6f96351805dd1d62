"""How long a line remembers: two runs on the same luck, one of them disturbed.

Compared are the sets filled at the knives and the reams off the wrappers, each on its own clock,
which stands during planned stops (these come by the calendar, whatever the line did before).
"As before, so much later" means: the disturbed run has at every moment the count that the
undisturbed run had that delay earlier, give or take one set. One set is allowed because a stop
that falls between two sets in one run may fall a set earlier or later in the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesim.record.record import Column, History, Record, Spans
from linesim.record.states import State

SETS_TO_BE_SURE = 20
"""So many sets must have come as before, up to the end of the run, before it is believed."""


@dataclass(frozen=True)
class Forgetting:
    """Delay of the disturbed run at its end, and from when on nothing but that delay was left."""

    delay_ns: int
    """Of the reams off the wrappers: the median over the last sets of the run; 0 where the runs
    have too few reams to tell."""
    from_ns: int | None
    """Moment of the disturbed run; None where it still differed near the end of the run."""


def forgetting(undisturbed: Record, disturbed: Record, since_ns: int) -> Forgetting:
    """When the disturbed run did the same again as the undisturbed one, apart from a delay.

    Both records need their history. ``since_ns`` is the end of what disturbed.
    """
    knives, wrapper = _station(disturbed, "cutter"), _station(disturbed, None)
    sets = [_Flow(each, _history(each).set_full_ns, knives) for each in (undisturbed, disturbed)]
    reams = [_Flow(each, _history(each).ream_end_ns, wrapper) for each in (undisturbed, disturbed)]
    size = int(max((_history(each).set_reams.max(initial=1)) for each in (undisturbed, disturbed)))
    delay = _delay(reams[0], reams[1], SETS_TO_BE_SURE * size)
    if delay is None:
        return Forgetting(0, None)
    by_sets = _same_from(sets[0], sets[1], delay, 1, SETS_TO_BE_SURE)
    by_reams = _same_from(reams[0], reams[1], delay, size, SETS_TO_BE_SURE * size)
    if by_sets is None or by_reams is None:
        return Forgetting(delay, None)
    return Forgetting(delay, max(since_ns, by_sets, by_reams))


class _Flow:
    """Moments at which something came, by the clock of the run and by that of its station."""

    def __init__(self, record: Record, times: Column, station: int) -> None:
        self.at_ns: Column = np.sort(times)
        self.clock_ns = self.at_ns - _planned_before(_history(record).spans.of(station), self.at_ns)


def _planned_before(spans: Spans, times: Column) -> Column:
    planned = spans.state == State.PLANNED
    start, end = spans.start_ns[planned], spans.end_ns[planned]
    if not len(start):
        return np.zeros(len(times), dtype=np.int64)
    whole = np.concatenate([[0], np.cumsum(end - start)])
    row = np.searchsorted(start, times, side="right")
    last = np.maximum(row - 1, 0)
    over = np.where(row > 0, np.maximum(0, end[last] - times), 0)
    return np.asarray(whole[row] - over, dtype=np.int64)


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
    far = np.iinfo(np.int64).max // 2
    padded = np.concatenate(
        [np.full(give, -far), before.clock_ns + delay, np.full(give + common, far)]
    )
    mine = after.clock_ns[:common]
    other = (mine < padded[:common]) | (mine > padded[2 * give : 2 * give + common])
    apart = np.flatnonzero(other)
    first = int(apart[-1]) + 1 if len(apart) else 0
    if common - first < sure:
        return None
    return int(after.at_ns[first]) if first else 0


def _station(record: Record, name: str | None) -> int:
    return record.station(record.scenario.wrapper[0].name if name is None else name)


def _history(record: Record) -> History:
    if record.history is None:
        raise ValueError("the record has no history: run the line with history=True")
    return record.history
