"""What one plant may show that agrees with what is known, from crossed runs.

A plant is one of many that agree, and it is that in all it shows: its shifts share what is not
known of it, and only luck tells them apart. Both parts are taken from squares of runs as
``linesim.statistics.crossed`` tells them apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from linesim.statistics.crossed import SQUARE, Crossing, half_differences, interval_of, squares_of
from linesim.statistics.intervals import Bounds, Interval, t_factor
from linesim.statistics.quantiles import prediction_band

_SCORES = 200


@dataclass(frozen=True, eq=False)
class OnePlant:
    """Values of a kind that a run has several of, such as good reams of each shift.

    ``lucky`` has a row for each run and a column for each value of a run: the values less what the
    doubt makes of them in the mean of their square. ``mean`` is that of all runs.
    """

    mean: Interval
    lucky: NDArray[np.float64]

    @classmethod
    def of(cls, values: Sequence[Sequence[float]], level: float, crossed: Crossing) -> OnePlant:
        """From the values of each run. Raises ``ValueError`` for fewer than two whole squares."""
        table = np.asarray(values, dtype=np.float64)
        by_run = table.mean(axis=1)
        doubt = half_differences(squares_of(by_run.tolist())).mean(axis=1)
        moved = np.repeat(doubt, SQUARE) * np.tile([1.0, -1.0], 2 * len(doubt))
        mean = interval_of(by_run.tolist(), level, crossed=crossed)
        return cls(mean, table[: len(moved)] - moved[:, None])

    @property
    def doubt_error(self) -> float:
        """Standard error of what is not known; it goes with the mean's degrees of freedom."""
        return math.sqrt(doubt_of(self.mean)[0])

    @property
    def luck_variance(self) -> float:
        """Variance by luck of the mean of one run's values, in one plant.

        Luck moves plant and image together, by their mean, and apart, by their half difference;
        how far it moves those between the two lucks of a square tells both.
        """
        squares = squares_of(self.lucky.mean(axis=1).tolist())
        apart = half_differences(squares)
        together = squares.mean(axis=2).ravel().var(ddof=1)
        return float(together + ((apart[:, 0] - apart[:, 1]) ** 2).mean() / 2)

    @property
    def band(self) -> Bounds:
        """Where one value of one plant falls.

        The band of luck alone is by order statistics (S. S. Wilks 1941) over one run of each luck,
        the mean of both ways to take them; on either side of the mean the doubt adds to it as one
        spread adds to another. So few plants as the squares hold bear Student's t, but no order
        statistics of their own.
        """
        mean, level = self.mean, self.mean.level
        sides = [prediction_band(self.lucky[n::2].ravel().tolist(), level) for n in (0, 1)]
        low, high = (
            math.copysign(math.hypot(end - mean.mean, mean.doubt), end - mean.mean)
            for end in (
                sum(side.low for side in sides) / 2,
                sum(side.high for side in sides) / 2,
            )
        )
        return Bounds(mean.mean, mean.mean + low, mean.mean + high, level, self.lucky.size)

    def shares_within(self, band: Bounds, scores: NDArray[np.float64]) -> NDArray[np.float64]:
        """Of a plant at each of these scores, the share of values within a band."""
        moved = self.lucky.ravel() + (scores * self.doubt_error)[:, None]
        return np.asarray(((moved >= band.low) & (moved <= band.high)).mean(axis=1))


def number_within_p(inside: int, groups: Sequence[tuple[int, OnePlant]]) -> float:
    """Chance of a number within their bands as odd as ``inside``, of all values of one plant.

    ``groups`` has so many values of each kind. In a given plant each is within its band by luck of
    its own, so that the number is a sum of binomial ones; but how often depends on the plant, which
    all share: at one score of the doubt for all kinds. The number's law is the mean over scores by
    Student's t. As odd are all numbers of no greater chance.
    """
    freedom = min(kind.mean.freedom for _, kind in groups)
    scores = stats.t.ppf((np.arange(_SCORES) + 0.5) / _SCORES, freedom)
    laws = np.ones((_SCORES, 1))
    for count, kind in groups:
        shares = kind.shares_within(kind.band, scores)
        more = stats.binom.pmf(np.arange(count + 1), count, shares[:, None])
        laws = np.array([np.convolve(a, b) for a, b in zip(laws, more, strict=True)])
    law = laws.mean(axis=0)
    return min(1.0, float(law[law <= law[inside] * (1 + 1e-7)].sum()))


@dataclass(frozen=True)
class Apart:
    """Spreads of a difference, each a variance with its degrees of freedom."""

    parts: tuple[tuple[float, float], ...]

    @property
    def error(self) -> float:
        return math.sqrt(sum(variance for variance, _ in self.parts))

    def p(self, difference: float) -> float:
        """Chance of a difference at least as large (B. L. Welch 1947, F. E. Satterthwaite 1946)."""
        if not self.error:
            return 1.0 if not difference else 0.0
        freedom = self.error**4 / sum(variance**2 / degrees for variance, degrees in self.parts)
        return 2 * float(stats.t.sf(abs(difference) / self.error, freedom))


def luck_of(interval: Interval) -> tuple[float, float]:
    """Variance of the mean of runs by luck, and its degrees of freedom."""
    freedom = interval.n - 1
    return (interval.half_width / t_factor(interval.level, freedom)) ** 2, freedom


def doubt_of(interval: Interval) -> tuple[float, float]:
    """Variance of what is not known, and its degrees of freedom."""
    return (interval.doubt / t_factor(interval.level, interval.freedom)) ** 2, interval.freedom


def count_p(count: int, predicted: Interval, tests: int) -> float:
    """Chance of a count of events as odd, where their mean is ``predicted`` by crossed runs.

    Events come at random in a plant, and the means of plants that agree with what is known follow
    a gamma law with the spread of what is not known and of luck in the runs: the count is a
    negative binomial one (M. Greenwood and G. U. Yule 1920). That is what Poisson counts of a log
    leave open of their rate. The spread is from few squares, and a gamma law does not have the
    tails of Student's: it is taken as much wider as those are at the level of ``tests`` at once.
    """
    tail = (1 - predicted.level) / tests
    doubt, freedom = doubt_of(predicted)
    wider = t_factor(1 - tail, freedom) / t_factor(1 - tail, math.inf)
    variance = luck_of(predicted)[0] + doubt * wider**2
    mean = max(predicted.mean, 1e-12)
    law = stats.nbinom(mean**2 / variance, mean / (mean + variance)) if variance else None
    law = stats.poisson(mean) if law is None else law
    return min(1.0, 2 * float(min(law.cdf(count), law.sf(count - 1))))
