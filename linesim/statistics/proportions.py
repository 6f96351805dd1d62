"""How sure a share of runs is: so many of so many runs ended late, or lay within a band."""

from __future__ import annotations

from dataclasses import dataclass

import scipy


@dataclass(frozen=True)
class Proportion:
    """``count`` of ``n``, with the ends of the interval for the chance behind it."""

    count: int
    n: int
    low: float
    high: float
    level: float

    @property
    def share(self) -> float:
        """The share met, 0 to 1."""
        return self.count / self.n

    def contains(self, chance: float) -> bool:
        """Whether *chance* lies within the interval, its ends included."""
        return self.low <= chance <= self.high


def exact_proportion(count: int, n: int, level: float = 0.95) -> Proportion:
    """Exact interval for a chance (Clopper and Pearson 1934), by scipy's exact binomial test.

    It covers the true chance with at least ``level``, however few the runs. Raises
    ``ValueError`` unless 0 <= count <= n with n of 1 or more, and level is 0 to 1.

    >>> found = exact_proportion(0, 20)
    >>> found.low, round(found.high, 3)
    (0.0, 0.168)
    """
    found = scipy.stats.binomtest(count, n).proportion_ci(level, method="exact")
    return Proportion(count, n, float(found.low), float(found.high), level)
