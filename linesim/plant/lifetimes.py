"""Fitting laws to intervals and times to restore, some of which were cut off by the log's end.

A length that is written down as whole minutes is only known to lie about them: it enters by its
chance of being rounded to what was written (interval-censored).

An interval that was still running when the log ended is no stop, but it happened: dropping it
makes a machine look worse than it is. It enters the likelihood by its chance of lasting longer.
So does the life of a part that was changed by plan before it failed.
Fits are by maximum likelihood, chosen by AIC (H. Akaike 1974, *IEEE Trans. Automatic Control*
19:716), with the bias of few values taken off (AICc, N. Sugiura 1978).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray
from scipy import optimize, special

Values = NDArray[np.float64]

_HALF_LOG_TWO_PI = 0.5 * math.log(2 * math.pi)
_LEAST_CHANCE = 1e-300
_PHASES = tuple(
    (float(x + 1) / 2, float(w) / 2) for x, w in zip(*legendre.leggauss(4), strict=True)
)
FEW = 10
"""With fewer complete values only a rate and an exponential law are given."""


@dataclass(frozen=True)
class Rounding:
    """How lengths were rounded, in the unit of the values.

    To the nearest ``step``; with ``by_ends`` a length is the difference of two times of a clock
    that shows whole steps, so it may be up to a step longer or shorter.
    """

    step: float
    by_ends: bool = False

    def rounded(self, values: Values, rng: np.random.Generator) -> Values:
        phase = rng.random(values.size) if self.by_ends else 0.5
        return np.asarray(np.floor(values / self.step + phase) * self.step)

    def cells(self, values: Values) -> tuple[tuple[Values, Values, float], ...]:
        """Between what a length lies that was written as each of *values*, and with which weight.

        By ends it depends on where within a step the stop began: any place is as likely, and an
        integral over them is a sum of four terms (Gauss and Legendre).
        """
        phases = _PHASES if self.by_ends else ((0.5, 1.0),)
        return tuple(
            (np.maximum(values - u * self.step, 0.0), values + (1 - u) * self.step, weight)
            for u, weight in phases
        )


@dataclass(frozen=True)
class Sample:
    """``values`` above 0; ``complete`` is False where only "longer than this" is known.

    With ``rounding`` complete values are what was written, 0 too.
    """

    values: Values
    complete: NDArray[np.bool_]
    rounding: Rounding | None = None
    by_plan: NDArray[np.bool_] | None = None
    """Which of those cut off were changed by plan; None: none, what is cut off is by the end."""

    def __post_init__(self) -> None:
        if self.values.shape != self.complete.shape or self.values.ndim != 1:
            raise ValueError("values and complete must be of one length")
        if not np.all(np.isfinite(self.values)) or np.any(self.values < 0):
            raise ValueError("values must be finite and not below 0")
        if self.rounding is None and np.any(self.values == 0):
            raise ValueError("values must be above 0")
        if not self.complete.any():
            raise ValueError("no complete value: nothing can be fitted")

    @property
    def count(self) -> int:
        return int(self.complete.sum())

    def times(self, factor: float) -> Sample:
        rounding = self.rounding and replace(self.rounding, step=self.rounding.step * factor)
        return replace(self, values=self.values * factor, rounding=rounding)

    def plans(self, rng: np.random.Generator, count: int) -> Values:
        """Ages at which *count* parts would have been changed; infinite where they would not.

        By the share of ages at which parts of this age were (Kaplan and Meier 1958), a failure
        being what cut the plan off (B. Efron 1981, *J. American Statistical Association* 76:312).
        """
        if self.by_plan is None:
            return np.full(count, np.inf)
        ages, changed = np.unique(self.values[self.by_plan], return_counts=True)
        others = np.sort(self.values[~self.by_plan])
        older = others.size - np.searchsorted(others, ages, side="right")
        left = np.cumprod(1 - changed / (older + np.cumsum(changed[::-1])[::-1]))
        at = np.searchsorted(-left, -rng.random(count), side="right")
        return np.asarray(np.append(ages, np.inf)[at])

    @property
    def above_zero(self) -> Values:
        """The values, with a quarter of a step where 0 was written: the middle of what it means."""
        if self.rounding is None:
            return self.values
        return np.maximum(self.values, self.rounding.step / 4)


@dataclass(frozen=True)
class Fit:
    """A fitted law: ``parameters`` as a scenario writes it, mean first."""

    law: str
    parameters: dict[str, float]
    log_likelihood: float
    aicc: float

    def as_law(self) -> dict[str, Any]:
        return {"law": self.law, **self.parameters}

    def longer_than(self, values: Values) -> Values:
        with np.errstate(divide="ignore"):
            return np.asarray(np.exp(_LAWS[self.law].log_longer(values, self.inner)))

    @property
    def inner(self) -> Values:
        """Its parameters as they are looked for."""
        return _LAWS[self.law].inner(self.parameters)

    def at(self, inner: Values) -> Fit:
        """A law of the same kind with other parameters."""
        return replace(self, parameters=_LAWS[self.law].outer(inner))


def fit_exponential(sample: Sample) -> Fit:
    """Mean = time on the meter, cut-off intervals included, over complete values."""
    if sample.rounding is not None:
        return _likeliest(sample, "exponential")
    mean = float(sample.values.sum()) / sample.count
    return _fit("exponential", {"mean": mean}, -sample.count * (math.log(mean) + 1), sample)


def fit_law(sample: Sample, law: str) -> Fit:
    """Fit ``exponential``, ``weibull``, ``lognormal`` or ``gamma`` by maximum likelihood.

    Raises ``ValueError`` where the values cannot tell a shape (all equal, or fewer than three).
    """
    if law == "exponential":
        return fit_exponential(sample)
    if np.unique(sample.values[sample.complete]).size < 3:
        raise ValueError(f"fewer than three different values: no {law} law can be told")
    rule = _LAWS[law]
    if law == "lognormal" and sample.complete.all() and sample.rounding is None:
        # Mean and spread of the logarithms are the likeliest; nothing needs to be looked for.
        inner = rule.start(sample)
        log_likelihood = float(rule.log_density(sample.values, inner).sum())
        return _fit(law, rule.outer(inner), log_likelihood, sample)
    return _likeliest(sample, law)


def _likeliest(sample: Sample, law: str) -> Fit:
    """The law's parameters of the greatest likelihood, looked for by Nelder and Mead."""
    rule, cost = _LAWS[law], unlikelihood(sample, law)
    options = {"xatol": 1e-6, "fatol": 1e-9, "maxfev": 2000}
    found = optimize.minimize(cost, rule.start(sample), method="Nelder-Mead", options=options)
    parameters = rule.outer(found.x)
    if not all(math.isfinite(value) and value > 0 for value in parameters.values()):
        raise ValueError(f"a {law} law does not fit these values at all")
    return _fit(law, parameters, -float(found.fun), sample)


def unlikelihood(sample: Sample, law: str) -> Callable[[Values], float]:
    """The negative logarithm of the likelihood, by the inner parameters of the law."""
    rule = _LAWS[law]
    values, counts = np.unique(sample.values[sample.complete], return_counts=True)
    cut_off = sample.values[~sample.complete]
    cells = sample.rounding.cells(values) if sample.rounding is not None else ()

    def cost(inner: Values) -> float:
        with np.errstate(all="ignore"):
            if cells:
                longer = [
                    w * (np.exp(rule.log_longer(a, inner)) - np.exp(rule.log_longer(b, inner)))
                    for a, b, w in cells
                ]
                logs = np.log(np.maximum(np.sum(longer, axis=0), _LEAST_CHANCE))
            else:
                logs = rule.log_density(values, inner)
            total = (counts * logs).sum() + rule.log_longer(cut_off, inner).sum()
        return -float(total) if math.isfinite(total) else 1e300

    return cost


def fit_best(sample: Sample) -> tuple[Fit, ...]:
    """All candidates, best first by AICc; the exponential alone with fewer than ``FEW`` values."""
    fits = [fit_exponential(sample)]
    if sample.count >= FEW:
        for law in ("weibull", "lognormal", "gamma"):
            try:
                fits.append(fit_law(sample, law))
            except ValueError:
                continue
    return tuple(sorted(fits, key=lambda fit: fit.aicc))


def _fit(law: str, parameters: dict[str, float], log_likelihood: float, sample: Sample) -> Fit:
    k, left = len(parameters), sample.count - len(parameters) - 1
    aic = 2 * k - 2 * log_likelihood
    if left > 0:
        aic += 2 * k * (k + 1) / left
    elif k > 1:
        aic = math.inf
    return Fit(law, parameters, log_likelihood, aic)


class _Law(Protocol):
    """Its inner parameters are all on a logarithmic scale so that any number is legal."""

    def start(self, sample: Sample) -> Values: ...
    def outer(self, inner: Values) -> dict[str, float]: ...
    def inner(self, parameters: Mapping[str, float]) -> Values: ...
    def log_density(self, x: Values, inner: Values) -> Values: ...
    def log_longer(self, x: Values, inner: Values) -> Values: ...


class _Exponential:
    """Inner: logarithm of the mean."""

    def start(self, sample: Sample) -> Values:
        return np.log([sample.above_zero.sum() / sample.count])

    def outer(self, inner: Values) -> dict[str, float]:
        return {"mean": float(np.exp(inner[0]))}

    def inner(self, parameters: Mapping[str, float]) -> Values:
        return np.log([parameters["mean"]])

    def log_density(self, x: Values, inner: Values) -> Values:
        return np.asarray(-inner[0] - x / np.exp(inner[0]))

    def log_longer(self, x: Values, inner: Values) -> Values:
        return np.asarray(-x / np.exp(inner[0]))


class _Weibull:
    """Inner: logarithms of scale and shape."""

    def start(self, sample: Sample) -> Values:
        logs = np.log(sample.above_zero[sample.complete])
        shape = 1.2 / max(float(logs.std()), 1e-3)
        return np.array([math.log(sample.above_zero.sum() / sample.count), math.log(shape)])

    def outer(self, inner: Values) -> dict[str, float]:
        scale, shape = np.exp(np.clip(inner, -300, 300))
        return {"mean": float(scale * special.gamma(1 + 1 / shape)), "shape": float(shape)}

    def inner(self, parameters: Mapping[str, float]) -> Values:
        shape = parameters["shape"]
        return np.log([parameters["mean"] / special.gamma(1 + 1 / shape), shape])

    def log_density(self, x: Values, inner: Values) -> Values:
        shape, far = math.exp(inner[1]), np.log(x) - inner[0]
        return np.asarray(inner[1] - inner[0] + (shape - 1) * far - np.exp(shape * far))

    def log_longer(self, x: Values, inner: Values) -> Values:
        return np.asarray(-np.exp(math.exp(inner[1]) * (np.log(x) - inner[0])))


class _Lognormal:
    """Inner: mean of the logarithms, and logarithm of their spread."""

    def start(self, sample: Sample) -> Values:
        logs = np.log(sample.above_zero[sample.complete])
        return np.array([float(logs.mean()), math.log(max(float(logs.std()), 1e-3))])

    def outer(self, inner: Values) -> dict[str, float]:
        sigma = math.exp(min(inner[1], 3.0))
        mean = math.exp(inner[0] + sigma**2 / 2)
        return {"mean": mean, "sd": mean * math.sqrt(math.expm1(sigma**2))}

    def inner(self, parameters: Mapping[str, float]) -> Values:
        variance = math.log1p((parameters["sd"] / parameters["mean"]) ** 2)
        return np.array([math.log(parameters["mean"]) - variance / 2, 0.5 * math.log(variance)])

    def log_density(self, x: Values, inner: Values) -> Values:
        logs = np.log(x)
        far = (logs - inner[0]) / math.exp(inner[1])
        return np.asarray(-(far**2) / 2 - _HALF_LOG_TWO_PI - inner[1] - logs)

    def log_longer(self, x: Values, inner: Values) -> Values:
        return np.asarray(special.log_ndtr((inner[0] - np.log(x)) / math.exp(inner[1])))


class _Gamma:
    """Inner: logarithms of mean and shape."""

    def start(self, sample: Sample) -> Values:
        values = sample.above_zero[sample.complete]
        spread = max(float(values.std()) / float(values.mean()), 1e-2)
        return np.array([math.log(sample.above_zero.sum() / sample.count), -2 * math.log(spread)])

    def outer(self, inner: Values) -> dict[str, float]:
        mean, shape = np.exp(np.clip(inner, -300, 300))
        return {"mean": float(mean), "sd": float(mean / math.sqrt(shape))}

    def inner(self, parameters: Mapping[str, float]) -> Values:
        return np.array(
            [math.log(parameters["mean"]), 2 * math.log(parameters["mean"] / parameters["sd"])]
        )

    def log_density(self, x: Values, inner: Values) -> Values:
        mean, shape = np.exp(inner)
        scaled = x * shape / mean
        return np.asarray(
            (shape - 1) * np.log(scaled) - scaled - special.gammaln(shape) + np.log(shape / mean)
        )

    def log_longer(self, x: Values, inner: Values) -> Values:
        mean, shape = np.exp(inner)
        return np.asarray(np.log(special.gammaincc(shape, x * shape / mean)))


_LAWS: dict[str, _Law] = {
    "exponential": _Exponential(),
    "weibull": _Weibull(),
    "lognormal": _Lognormal(),
    "gamma": _Gamma(),
}
