"""How sure a share or a rate is that was counted, and whether a rate changes with time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import scipy

from linesim.statistics.crossed import ALIKE
from linesim.statistics.intervals import Bounds


@dataclass(frozen=True)
class Proportion(Bounds):
    """A share of ``n`` runs, 0 to 1: so many, ``count``, ended late or lay within a band."""

    count: int


def exact_proportion(
    count: int, n: int, level: float = 0.95, *, crossed: bool = False
) -> Proportion:
    """Exact interval for a chance (Clopper and Pearson 1934), by scipy's exact binomial test.

    It covers the true chance with at least ``level``, however few the runs. Of ``crossed`` runs
    every :data:`~linesim.statistics.crossed.ALIKE` count as one; what is over is taken to the
    outer side. Raises ``ValueError`` unless 0 <= count <= n with n of 1 or more, and level is
    0 to 1.

    >>> found = exact_proportion(0, 20)
    >>> found.low, round(found.high, 3)
    (0.0, 0.168)
    """
    alike = ALIKE if crossed and n >= ALIKE else 1
    independent, least = n // alike, count // alike
    most = independent - (n - count) // alike
    low, high = _ends(least, independent, level)
    if most != least:
        high = _ends(most, independent, level)[1]
    return Proportion(count / n, low, high, level, n, count)


def _ends(count: int, n: int, level: float) -> tuple[float, float]:
    low, high = scipy.stats.binomtest(count, n).proportion_ci(level, method="exact")
    return float(low), float(high)


def exact_rate(count: int, exposure: float, level: float = 0.95) -> Bounds:
    """Exact interval for the rate behind a Poisson count (Garwood 1936, *Biometrika* 28:437).

    The rate is events per unit of ``exposure``, ``n`` is their count.

    By quantiles of the chi-squared law; it covers the true rate with at least ``level``, however
    few the events. Raises ``ValueError`` for a negative count or an exposure not above 0.

    >>> found = exact_rate(5, 1.0)
    >>> round(found.low, 3), round(found.high, 3)
    (1.623, 11.668)
    """
    if count < 0 or not exposure > 0 or not math.isfinite(exposure):
        raise ValueError(f"{count} events in {exposure}: needs 0 or more events in more than 0")
    if not 0 < level < 1:
        raise ValueError(f"level is {level}; it must lie between 0 and 1, such as 0.95")
    tail = (1 - level) / 2
    low = float(scipy.special.gammaincinv(count, tail)) if count else 0.0
    high = float(scipy.special.chdtri(2 * count + 2, tail)) / 2
    return Bounds(count / exposure, low / exposure, high / exposure, level, count)


def equal_rates(count: int, exposure: float, other: int, other_exposure: float) -> float:
    """Chance of two Poisson counts as far apart or farther, though their rates are equal.

    The exact conditional test (J. Przyborowski and H. Wilenski 1940, *Biometrika* 31:313): of all
    events together those of the one are binomial by its share of the exposure. 1 where there was
    none.

    >>> round(equal_rates(8, 1.0, 2, 1.0), 3)
    0.109
    """
    if not count and not other:
        return 1.0
    share = exposure / (exposure + other_exposure)
    return float(scipy.stats.binomtest(count, count + other, share).pvalue)


@dataclass(frozen=True)
class Trend:
    """``u`` is near normal(0, 1) where the rate is steady; above 0 it grows, below it falls."""

    u: float
    p: float
    count: int

    @property
    def shown(self) -> bool:
        """Whether a trend is shown at the 5 % level."""
        return self.p < 0.05


def laplace_trend(moments: Sequence[float], end: float | None = None) -> Trend:
    """Laplace's test for a trend in the rate of events since a start at 0.

    ``moments`` are the events' distances from the start, on any meter. With ``end`` the watch
    ended there, whatever happened; without it, it ended with the last event, which then tells
    nothing. (D. R. Cox and P. A. W. Lewis, *The Statistical Analysis of Series of Events*, 1966.)
    Raises ``ValueError`` for fewer than two events that tell, or one outside the watch.

    >>> trend = laplace_trend([1, 2, 3, 4], end=10)
    >>> round(trend.u, 2), trend.shown
    (-1.73, False)
    """
    ordered = sorted(float(moment) for moment in moments)
    if end is None:
        if not ordered:
            raise ValueError("no events: nothing can be said about a trend")
        end = ordered.pop()
    if len(ordered) < 2:
        raise ValueError("fewer than two events that tell: nothing can be said about a trend")
    if not end > 0 or ordered[0] < 0 or ordered[-1] > end:
        raise ValueError(f"events must lie between 0 and the end of the watch, {end}")
    count = len(ordered)
    u = (sum(ordered) / count - end / 2) / (end * math.sqrt(1 / (12 * count)))
    return Trend(u, float(2 * scipy.special.ndtr(-abs(u))), count)
