"""A running counter in place of a clock: which readings can be right, and when that was.

A log may tell time by a number that only grows: hours since it began, or the hour meter of the
machine. Typing slips, a meter that rolls over at its last digit and one that was set back all look
the same in one row: the reading is lower than the one before. Which it was, the rows after it tell.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_NEW_START_COST = 3.5
"""A new start must explain more rows than this; fewer are slips of the hand."""
_NEAR_TOP, _NEAR_ZERO = 0.9, 0.1
_LEAST_TOP = 100.0
_SHARE_THAT_OVERLAPS = 0.05
_FEWEST_THAT_OVERLAP = 3


@dataclass(frozen=True)
class Elapsed:
    """What a column of readings says, row by row in the order given.

    ``since`` is what was counted since the first reading that is right; None where a reading runs
    backwards. ``anew`` holds the rows (from 0) from which it was set back, ``rolled`` those from
    which it had rolled over. ``newest_first`` says that the rows were read from the end.
    """

    since: tuple[float | None, ...]
    anew: tuple[int, ...]
    rolled: tuple[int, ...]
    newest_first: bool


def elapsed_of(readings: Sequence[float]) -> Elapsed:
    """Take the most rows that can be right together: never falling, but for new starts.

    A new start is believed where it explains more than three rows. What was counted up to the top
    of a meter that rolled over is kept; what was counted between the last row and a setting back is
    not known, and taken as nothing.

    >>> elapsed_of([5, 7, 6.5, 8]).since
    (0.0, 2.0, None, 3.0)
    """
    values = [float(value) for value in readings]
    falling = sum(b < a for a, b in pairwise(values))
    rising = sum(b > a for a, b in pairwise(values))
    newest_first = falling > rising
    order = range(len(values) - 1, -1, -1) if newest_first else range(len(values))
    kept = [order[n] for n in _kept([values[n] for n in order])]
    since: list[float | None] = [None] * len(values)
    anew, rolled = [], []
    total = 0.0
    for before, now in pairwise([kept[0], *kept] if kept else []):
        step = values[now] - values[before]
        if step < 0:
            top = top_of(values[before])
            if values[before] >= _NEAR_TOP * top and values[now] <= _NEAR_ZERO * top:
                step += top
                rolled.append(now)
            else:
                step = values[now]
                anew.append(now)
        total += step
        since[now] = total
    return Elapsed(tuple(since), tuple(anew), tuple(rolled), newest_first)


def top_of(reading: float) -> float:
    """Where a meter that shows *reading* rolls over: the next power of ten, 100 at the least.

    >>> top_of(99_991.5), top_of(12)
    (100000.0, 100.0)
    """
    return max(_LEAST_TOP, 10.0 ** (math.floor(math.log10(max(reading, 1.0))) + 1))


def stands_in_stops(since: Sequence[float], lengths: Sequence[float], finest: float) -> bool | None:
    """Whether the counter stands while a stop lasts, told by the readings; None: they do not tell.

    All in one unit. A counter that runs on cannot show less at the next stop than the end of the
    one before; *finest* is how finely it is read.
    """
    pairs = list(zip(pairwise(since), lengths, strict=False))
    early = sum(b - a < length - finest for (a, b), length in pairs)
    if early >= max(_FEWEST_THAT_OVERLAP, _SHARE_THAT_OVERLAPS * len(pairs)):
        return True
    return None


def _kept(values: Sequence[float]) -> list[int]:
    """Rows of the cheapest reading: 1 for each row left out, more for each new start.

    ``least[i]`` is the least cost of all rows up to i, with i kept, less i; the row before it is
    the cheapest at or below its value, or any at the price of a new start.
    """
    ranks = sorted(set(values))
    tree: list[tuple[float, int]] = [(math.inf, -1)] * (len(ranks) + 1)
    anywhere = (math.inf, -1)
    before = [-1] * len(values)
    best = (math.inf, -1)
    for i, value in enumerate(values):
        rank = bisect.bisect_left(ranks, value) + 1
        cost, came = 1.0, -1  # nothing kept before
        at = rank
        while at:
            if tree[at][0] <= cost:
                cost, came = tree[at]
            at -= at & -at
        if anywhere[0] + _NEW_START_COST < cost:
            cost, came = anywhere[0] + _NEW_START_COST, anywhere[1]
        before[i] = came
        here = (cost - 1, i)
        best = min(best, (here[0] + len(values) - 1, i))
        anywhere = min(anywhere, here)
        at = rank
        while at <= len(ranks):
            tree[at] = min(tree[at], here)
            at += at & -at
    kept = []
    at = best[1]
    while at >= 0:
        kept.append(at)
        at = before[at]
    return kept[::-1]
