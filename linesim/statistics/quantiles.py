"""Percentiles over runs, with intervals that take no shape of the spread for granted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import scipy

from linesim.statistics.crossed import ALIKE
from linesim.statistics.intervals import Bounds, finite_sample, t_factor


@dataclass(frozen=True)
class Quantile:
    """A percentile over ``n`` runs. ``None`` stands for what so few runs cannot tell.

    ``value`` is also None where the percentile falls on runs that did not get there. ``low`` and
    ``high`` are runs themselves (order statistics).
    """

    share: float
    value: float | None
    low: float | None
    high: float | None
    level: float
    n: int


def quantile_ranks(n: int, share: float, level: float = 0.95) -> tuple[int | None, int | None]:
    """Ranks (1 is the least) of the runs that bound a quantile; None where there is none.

    The count of runs below the quantile is binomial whatever the law of the values. Each end
    misses with at most half of what ``level`` leaves: the largest l with P(B < l) within that,
    the least u with P(B >= u) within that (David and Nagaraja, *Order Statistics*, 2003, 7.1).

    >>> quantile_ranks(20, 0.5)
    (6, 15)
    """
    if n < 1:
        raise ValueError(f"{n} runs have no quantile; 1 or more are needed")
    if not 0 < share < 1:
        raise ValueError(f"share is {share}; it must lie between 0 and 1, such as 0.9")
    if not 0 < level < 1:
        raise ValueError(f"level is {level}; it must lie between 0 and 1, such as 0.95")
    return _ranks(n, share, level)


@lru_cache(maxsize=256)
def _ranks(n: int, share: float, level: float) -> tuple[int | None, int | None]:
    tail = (1 - level) / 2
    below = np.arange(n)
    lows = np.flatnonzero(scipy.stats.binom.cdf(below, n, share) <= tail)
    highs = np.flatnonzero(scipy.stats.binom.sf(below, n, share) <= tail)
    return (int(lows[-1]) + 1 if len(lows) else None, int(highs[0]) + 1 if len(highs) else None)


def runs_for_both_ends(share: float, level: float = 0.95, *, crossed: bool = False) -> int:
    """Fewest runs, ``crossed`` with plants or not, with which a quantile's interval has two ends.

    >>> runs_for_both_ends(0.9), runs_for_both_ends(0.9, crossed=True)
    (36, 72)
    """
    farther = max(share, 1 - share)
    independent = math.ceil(math.log((1 - level) / 2) / math.log(farther))
    return ALIKE * independent if crossed else independent


def quantile_of(
    values: Sequence[float | None], share: float, level: float = 0.95, *, crossed: bool = False
) -> Quantile:
    """A percentile of *values*, one from each run; None for a run that did not get there.

    Such a run counts as beyond all others. The value is the median-unbiased estimate (Hyndman
    and Fan 1996, their eighth), within the least and the greatest run. Of ``crossed`` runs each
    rank among the independent ones stands for :data:`~linesim.statistics.crossed.ALIKE` runs, of
    which the outer one is the end.
    """
    n = len(values)
    alike = ALIKE if crossed and n >= ALIKE else 1
    low, high = quantile_ranks(n // alike, share, level)
    if alike > 1:
        low = None if low is None else alike * (low - 1) + 1
        high = None if high is None else n - alike * (n // alike - high)
    ordered = sorted(math.inf if value is None else float(value) for value in values)

    def at(rank: int | None) -> float | None:
        return None if rank is None or math.isinf(ordered[rank - 1]) else ordered[rank - 1]

    place = min(max((n + 1 / 3) * share + 1 / 3, 1.0), float(n))
    below = math.floor(place)
    first, second = ordered[below - 1], ordered[min(below, n - 1)]
    part = place - below
    value = first if part == 0 or first == second else first + part * (second - first)
    return Quantile(share, None if not math.isfinite(value) else value, at(low), at(high), level, n)


def prediction_band(values: Sequence[float], level: float = 0.95) -> Bounds:
    """Band for one further value of the same kind: not for their mean.

    From order statistics where there are enough values: the r-th least to the r-th greatest hold
    a further one with chance (n + 1 - 2 r) / (n + 1), whatever the law (Wilks 1941). With fewer
    by Student's t, mean and t s sqrt(1 + 1/n), which takes the values for roughly normal.
    Raises ``ValueError`` for fewer than two values.
    """
    sample = finite_sample("values", values)
    n = len(sample)
    rank = math.floor((1 - level) / 2 * (n + 1) + 1e-9)
    mean = float(sample.mean())
    if rank >= 1:
        ordered = sorted(sample.tolist())
        return Bounds(mean, ordered[rank - 1], ordered[n - rank], level, n)
    spread = float(sample.std(ddof=1)) * math.sqrt(1 + 1 / n) * t_factor(level, n - 1)
    return Bounds(mean, mean - spread, mean + spread, level, n)
