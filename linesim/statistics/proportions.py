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
    """Exact interval for a chance (Clopper and Pearson 1934), by quantiles of the beta law.

    It covers the true chance with at least ``level``, however few the runs. Raises
    ``ValueError`` unless 0 <= count <= n with n of 1 or more.

    >>> found = exact_proportion(0, 20)
    >>> found.low, round(found.high, 3)
    (0.0, 0.168)
    """
    if n < 1 or not 0 <= count <= n:
        raise ValueError(f"{count} of {n} is no share; it must be 0 to n of at least 1")
    if not 0 < level < 1:
        raise ValueError(f"level is {level}; it must lie between 0 and 1, such as 0.95")
    tail = (1 - level) / 2
    low = float(scipy.special.betaincinv(count, n - count + 1, tail)) if count else 0.0
    high = float(scipy.special.betainccinv(count + 1, n - count, tail)) if count < n else 1.0
    return Proportion(count, n, low, high, level)


def chance_of_as_odd(count: int, n: int, chance: float) -> float:
    """Two-sided p-value: how likely a count as odd as this is where ``chance`` is true.

    The chances of all counts that are no likelier than this one, added up.
    """
    return float(scipy.stats.binomtest(count, n, chance).pvalue)
