"""A probability plot: do the values lie along the law that was fitted to them?

Each complete value stands at the share of values that are shorter, on an axis on which the law is
a straight line. Values cut off by the end of the log count for those they outlast (E. L. Kaplan and
P. Meier 1958, *J. American Statistical Association* 53:457); a value stands in the middle of its
step (W. Q. Meeker and L. A. Escobar, *Statistical Methods for Reliability Data*, 1998, section 6.4;
from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from linesim.plant.certainty import RESAMPLES, resampled
from linesim.plant.lifetimes import FEW, Fit, Sample, Values

_FEWEST_OF_A_RESAMPLE = 2
_MOST_BAND = 60
"""Places at which the band is worked out: a line through more looks the same."""


@dataclass(frozen=True)
class ProbabilityPlot:
    """``values`` in order and the ``shares`` shorter than each; all in the unit of the sample.

    ``band_low`` and ``band_high`` are the values between which one of a log of this law would
    stand at each of ``band_shares``, with probability ``level``, each place by itself; empty where
    there are too few values. ``logarithmic`` says whether the law is straight over the values'
    logarithms.
    """

    fit: Fit
    values: Values
    shares: Values
    logarithmic: bool
    band_shares: Values
    band_low: Values
    band_high: Values
    level: float

    def height(self, shares: Values) -> Values:
        return straightened(self.fit)(np.asarray(shares, float))


def probability_plot(
    sample: Sample, fit: Fit, *, seed: int = 1, resamples: int = RESAMPLES, level: float = 0.95
) -> ProbabilityPlot:
    """The plot of *sample* against *fit*; the band by logs that the law itself makes.

    (A simulated envelope: A. C. Atkinson, *Plots, Transformations and Regression*, 1985.) The same
    seed gives the same band.
    """
    values, shares = plotting_positions(sample)
    empty = np.empty(0)
    logarithmic = fit.law in ("weibull", "lognormal")
    found = ProbabilityPlot(fit, values, shares, logarithmic, empty, empty, empty, level)
    if sample.count < FEW or len(values) < 2:
        return found
    places = np.linspace(shares[0], shares[-1], min(len(shares), _MOST_BAND))
    places = np.union1d(places, shares[[0, 1, -2, -1]])
    drawn = []
    rng = np.random.default_rng(seed)
    for again in resampled(sample, fit, rng, resamples):
        other_values, other_shares = plotting_positions(again)
        if len(other_values) >= _FEWEST_OF_A_RESAMPLE:
            drawn.append(np.interp(places, other_shares, other_values))
    if len(drawn) < resamples / 2:
        return found
    tail = (1 - level) / 2
    low, high = np.quantile(np.array(drawn), [tail, 1 - tail], axis=0)
    return replace(found, band_shares=places, band_low=low, band_high=high)


def plotting_positions(sample: Sample) -> tuple[Values, Values]:
    """The different complete values in order, and the share shorter than each."""
    every = sample.above_zero
    values, events = np.unique(every[sample.complete], return_counts=True)
    at_risk = every.size - np.searchsorted(np.sort(every), values, side="left")
    longer = np.cumprod(1 - events / at_risk)
    before = np.concatenate([[1.0], longer[:-1]])
    return values, 1 - (before + longer) / 2


def straightened(fit: Fit) -> Callable[[Values], Values]:
    """From a share to the height at which the law of *fit* is a straight line.

    Exponential over the values, Weibull and lognormal over their logarithms; gamma over the values
    by its own quantiles, for which its shape must be known.
    """
    if fit.law == "gamma":
        shape = (fit.parameters["mean"] / fit.parameters["sd"]) ** 2
        return lambda p: np.asarray(special.gammaincinv(shape, p))
    heights: dict[str, Callable[[Values], Values]] = {
        "exponential": lambda p: np.asarray(-np.log1p(-p)),
        "weibull": lambda p: np.asarray(np.log(-np.log1p(-p))),
        "lognormal": lambda p: np.asarray(special.ndtri(p)),
    }
    if fit.law not in heights:
        raise ValueError(f"no probability plot for a {fit.law} law")
    return heights[fit.law]


def straight_line(fit: Fit) -> tuple[float, float]:
    """Where the law lies on that plot: height = slope times x plus the other, x as drawn."""
    inner = fit.inner.tolist()
    if fit.law == "weibull":
        shape = math.exp(inner[1])
        return shape, -shape * inner[0]
    if fit.law == "lognormal":
        sd = math.exp(inner[1])
        return 1 / sd, -inner[0] / sd
    mean = fit.parameters["mean"]
    return (mean / fit.parameters["sd"] ** 2 if fit.law == "gamma" else 1 / mean), 0.0
