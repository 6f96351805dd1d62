"""What fewer than ten stops of a cause tell, and what none at all tells.

Leaving out what was rare and writing what was frequent would be a bias: causes that happened to
come often would be taken from the log, those that happened to stay away from the scenario.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import optimize, stats

from linesim.plant.lifetimes import Fit, Sample, unlikelihood
from linesim.plant.running_meter import Meter
from linesim.scenario.laws import AnyLaw
from linesim.statistics.counts import exact_rate

_POINTS = 2000
_FARTHEST, _CLOSE = 12.0, 1e-9
"""By the logarithm: how far off a mean is looked for, and how near it is found."""
_FEWEST = 3
"""From so many stops on their own mean is taken; fewer leave the scenario's where they can."""
Ends = tuple[float, float]


def mean_ends(mean: float, count: int, level: float, spread: float = 1.0) -> Ends:
    """Ends for the mean of the law behind ``count`` values whose own mean is ``mean``.

    ``spread`` is the law's coefficient of variation. Twice the sum of exponential values over the
    mean is chi-squared with two degrees for each (B. Epstein and M. Sobel 1953), so with 1 the ends
    are exact. Else the sum is taken for a gamma value of the same spread: exact for gamma laws and
    near it for lognormal ones (of 5 values of spread 0.7 it holds the mean in 97 of 100).
    """
    degrees, tail = 2 * count / spread**2, (1 - level) / 2
    low, high = stats.chi2.ppf([1 - tail, tail], degrees)
    return degrees * mean / float(low), degrees * mean / float(high)


def spread_of_few(law: AnyLaw | None, values: Sequence[float]) -> float:
    """Coefficient of variation to go by: that of *law*, or of the values where theirs is greater.

    A law that is not known, or has no spread, is taken for an exponential one: 1.
    """
    own = stated = 0.0
    if len(values) > 1 and np.mean(values) > 0:
        own = float(np.std(values, ddof=1) / np.mean(values))
    if law is not None and law.average() > 0:
        sd = getattr(law, "sd", None)
        draws = law.quantile((np.arange(_POINTS) + 0.5) / _POINTS)
        stated = (float(np.std(draws)) if sd is None else sd) / law.average()
    return max(own, stated or 1.0)


def mean_of_few(stated: float, mean: float, count: int, ends: Ends) -> float:
    """The mean to write: that of the values, or what is stated where one or two allow it."""
    return stated if count < _FEWEST and ends[0] <= stated <= ends[1] else mean


def scaled_to(law: AnyLaw, sample: Sample, level: float) -> tuple[Fit, Ends] | None:
    """*law* moved to its likeliest mean, its spread and shape kept, and the ends of that mean.

    Few failures of a part that is changed by plan tell no mean by themselves: time in use for each
    is as long as the plan makes it. With the kind of wear known they do (W. Q. Meeker and
    L. A. Escobar, *Statistical Methods for Reliability Data*, 1998, section 8.4; from memory).
    Ends by the likelihood ratio. None where the law has no shape or spread to go by, or so wide a
    one that the mean has no ends.
    """
    kept = {name: getattr(law, name) for name in ("mean", "shape", "sd") if hasattr(law, name)}
    if law.law not in ("weibull", "lognormal", "gamma") or not all(kept.values()):
        return None
    stated = Fit(law.law, kept, -np.inf, np.inf)
    place, shape = stated.inner.tolist()
    cost = unlikelihood(sample, law.law)

    def at(by: float) -> float:
        return cost(np.array([place + by, shape]))

    # Looked for round time in use for each failure, as a multiple of the stated mean.
    near = float(np.log(sample.above_zero.sum() / sample.count / kept["mean"]))
    tried = near + np.linspace(-_FARTHEST, _FARTHEST, _POINTS)
    least = int(np.argmin([at(by) for by in tried]))
    between = tried[max(0, least - 1)], tried[min(least + 1, _POINTS - 1)]
    found = optimize.minimize_scalar(
        at, bounds=between, method="bounded", options={"xatol": _CLOSE}
    )
    best = float(found.x)
    most = at(best) + float(stats.chi2.ppf(level, 1)) / 2
    outer = best - 2 * _FARTHEST, best + 2 * _FARTHEST
    if min(at(by) for by in outer) <= most:
        return None
    low, high = (float(optimize.brentq(lambda by: at(by) - most, best, end)) for end in outer)
    fit = stated.at(np.array([place + best, shape]))
    mean = fit.parameters["mean"]
    return fit, (mean * float(np.exp(low - best)), mean * float(np.exp(high - best)))


@dataclass(frozen=True)
class Unseen:
    """A cause of the scenario, at ``place``, that the log never names, and over how much."""

    place: int
    cause: str
    meter: Meter
    webs: int
    field: str
    """The meter that the scenario has for it."""

    @property
    def exposure(self) -> float | None:
        """All webs together, in the unit of the meter; None where the log does not move it."""
        return self.meter.total * self.webs if self.meter.field == self.field else None

    def least(self, level: float) -> float | None:
        """The shortest mean interval that none in that long allows (exact, Poisson)."""
        return 1 / exact_rate(0, self.exposure, level).high if self.exposure else None

    def ends(self, stated: float, level: float) -> Ends | None:
        """Ends for a mean interval that the scenario states; None where it can say nothing.

        Where the scenario would have made so many stops that none has less chance than the tail of
        *level*, the cause is probably not logged at all. The log tells no upper end: it is as far
        above what is stated, by the logarithm, as the lower one is below, and at least as long as
        was watched.
        """
        least, exposure = self.least(level), self.exposure
        if least is None or exposure is None or stated <= least:
            return None
        return least, max(stated * stated / least, exposure)
