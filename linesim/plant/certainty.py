"""How sure a fitted law is: intervals of its parameters and whether it fits, by the bootstrap.

The fitted law itself makes new logs of the same length, and each is fitted again (parametric
bootstrap; B. Efron and R. J. Tibshirani, *An Introduction to the Bootstrap*, 1993). The last
interval of each is cut off by the end of the log, as in the real one, and others by planned changes
at such ages as those of the real one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from pydantic import TypeAdapter

from linesim.plant.lifetimes import Fit, Sample, Values, fit_law
from linesim.scenario.laws import AnyLaw, Law
from linesim.studies.runner import StoppedError

RESAMPLES = 200
_LEAST = 3
_DOES_NOT_FIT, _DOUBTFUL = 0.01, 0.10


@dataclass(frozen=True)
class Certainty:
    """``intervals`` by parameter, low and high; ``p`` small where the law does not fit.

    ``correlation`` is that of the logarithms of the mean and of the law's other parameter; None
    where it has no other.
    """

    intervals: dict[str, tuple[float, float]]
    p: float
    resamples: int
    level: float
    correlation: float | None = None

    @property
    def words(self) -> str:
        if self.p < _DOES_NOT_FIT:
            return "does not fit"
        return "fits doubtfully" if self.p < _DOUBTFUL else "nothing contradicts it"


def certainty(
    sample: Sample,
    fit: Fit,
    *,
    seed: int,
    resamples: int = RESAMPLES,
    level: float = 0.95,
    stop: Callable[[], bool] | None = None,
) -> Certainty:
    """Intervals (basic bootstrap on the logarithm of each parameter) and goodness of fit.

    The measure of fit is that of Anderson and Darling (1952) on the complete values. The same
    seed gives the same figures. Raises ``ValueError`` where too few resamples could be fitted, and
    :class:`StoppedError` when *stop* says so between two.
    """
    rng = np.random.default_rng(seed)
    observed = _misfit(sample, fit)
    logs: dict[str, list[float]] = {name: [] for name in fit.parameters}
    worse = 0
    made = 0
    for again in resampled(sample, fit, rng, resamples):
        if stop is not None and stop():
            raise StoppedError
        try:
            refit = fit_law(again, fit.law)
        except ValueError:
            continue
        made += 1
        for name, value in refit.parameters.items():
            logs[name].append(math.log(value / fit.parameters[name]))
        worse += _misfit(again, refit) >= observed
    if made < resamples / 2:
        raise ValueError("too few values to say how sure the law is")
    tail = (1 - level) / 2
    intervals = {}
    for name, found in logs.items():
        # A law whose resamples come out too high is itself too high: the tails change places.
        upper, lower = np.quantile(found, [1 - tail, tail])
        value = fit.parameters[name]
        intervals[name] = (value * math.exp(-float(upper)), value * math.exp(-float(lower)))
    correlation = float(np.corrcoef(list(logs.values()))[0, 1]) if len(logs) == 2 else None
    return Certainty(intervals, (worse + 1) / (made + 1), made, level, correlation)


def resampled(
    sample: Sample, fit: Fit, rng: np.random.Generator, resamples: int
) -> Iterator[Sample]:
    """Logs that the law itself makes, as long as that of *sample*; some yield too few values."""
    law: AnyLaw = TypeAdapter(Law).validate_python(fit.as_law())
    watch = float(sample.values.sum())
    cut_off = not sample.complete.all()
    for _ in range(resamples):
        if not cut_off:
            values, complete = law.quantile(rng.random(sample.count)), np.ones(sample.count, bool)
            if sample.rounding is not None:
                yield replace(sample, values=sample.rounding.rounded(values, rng))
            else:
                yield Sample(np.maximum(values, 1e-12), complete)
            continue
        block = 2 * sample.count + 20
        lives, values = np.empty(0), np.empty(0)
        while values.sum() <= watch:
            lives = np.concatenate([lives, law.quantile(rng.random(block))])
            values = np.concatenate([values, lives[-block:]])
            if sample.by_plan is not None:
                values[-block:] = np.minimum(values[-block:], sample.plans(rng, block))
        values = np.maximum(values, 1e-12)
        ends = np.cumsum(values)
        last = int(np.searchsorted(ends, watch, side="left"))
        values = values[: last + 1].copy()
        values[last] -= ends[last] - watch
        changed = values[: last + 1] < lives[: last + 1]
        changed[last] = False
        complete = ~changed & (np.arange(last + 1) < last)
        if complete.sum() < _LEAST or values[last] <= 0:
            continue
        if sample.rounding is not None:
            # The moments of a log are to the minute.
            step = sample.rounding.step
            moments = np.floor(ends[:last] / step) * step
            values = np.diff([0.0, *moments, watch])
        by_plan = None if sample.by_plan is None else changed
        yield Sample(values, complete, sample.rounding, by_plan)


def _misfit(sample: Sample, fit: Fit) -> float:
    values: Values = np.sort(sample.values[sample.complete])
    longer = fit.longer_than(values) if sample.rounding is None else _midway(values, sample, fit)
    longer = np.clip(longer, 1e-12, 1 - 1e-12)
    n = len(values)
    weights = 2 * np.arange(1, n + 1) - 1
    return float(-n - (weights * (np.log1p(-longer) + np.log(longer[::-1]))).sum() / n)


def _midway(values: Values, sample: Sample, fit: Fit) -> Values:
    """Chance of lasting longer than the middle of what each written value means."""
    assert sample.rounding is not None
    ends = [
        weight * (fit.longer_than(low) + fit.longer_than(high)) / 2
        for low, high, weight in sample.rounding.cells(values)
    ]
    return np.asarray(np.sum(ends, axis=0))
