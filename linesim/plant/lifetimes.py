"""Fitting laws to intervals and times to restore, some of which were cut off by the log's end.

An interval that was still running when the log ended is no stop, but it happened: dropping it
makes a machine look worse than it is. It enters the likelihood by its chance of lasting longer.
Fits are by maximum likelihood, chosen by AIC (H. Akaike 1974, *IEEE Trans. Automatic Control*
19:716), with the bias of few values taken off (AICc, N. Sugiura 1978).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

Values = NDArray[np.float64]

_HALF_LOG_TWO_PI = 0.5 * math.log(2 * math.pi)

FEW = 10
"""With fewer complete values only a rate and an exponential law are given."""


@dataclass(frozen=True)
class Sample:
    """``values`` above 0; ``complete`` is False where only "longer than this" is known."""

    values: Values
    complete: NDArray[np.bool_]

    def __post_init__(self) -> None:
        if self.values.shape != self.complete.shape or self.values.ndim != 1:
            raise ValueError("values and complete must be of one length")
        if not np.all(np.isfinite(self.values)) or np.any(self.values <= 0):
            raise ValueError("values must be finite and above 0")
        if not self.complete.any():
            raise ValueError("no complete value: nothing can be fitted")

    @property
    def count(self) -> int:
        """Complete values."""
        return int(self.complete.sum())


@dataclass(frozen=True)
class Fit:
    """A fitted law: ``parameters`` as a scenario writes it, mean first."""

    law: str
    parameters: dict[str, float]
    log_likelihood: float
    aicc: float

    def as_law(self) -> dict[str, Any]:
        """The law as a scenario file takes it."""
        return {"law": self.law, **self.parameters}

    def longer_than(self, values: Values) -> Values:
        """Chance of lasting longer than each value."""
        return _LAWS[self.law].longer(values, _inner(self))


@dataclass(frozen=True)
class _Law:
    """In its inner parameters, all on a logarithmic scale so that any number is legal."""

    start: Callable[[Sample], Values]
    log_density: Callable[[Values, Values], Values]
    log_longer: Callable[[Values, Values], Values]
    longer: Callable[[Values, Values], Values]
    outer: Callable[[Values], dict[str, float]]
    inner: Callable[[Mapping[str, float]], Values]


def fit_exponential(sample: Sample) -> Fit:
    """Mean = time on the meter, cut-off intervals included, over complete values."""
    mean = float(sample.values.sum()) / sample.count
    log_likelihood = -sample.count * math.log(mean) - sample.count
    return Fit("exponential", {"mean": mean}, log_likelihood, _aicc(log_likelihood, 1, sample))


def fit_law(sample: Sample, law: str) -> Fit:
    """Fit ``exponential``, ``weibull``, ``lognormal`` or ``gamma`` by maximum likelihood.

    Raises ``ValueError`` where the values cannot tell a shape (all equal, or fewer than three).
    """
    if law == "exponential":
        return fit_exponential(sample)
    if np.unique(sample.values[sample.complete]).size < 3:
        raise ValueError(f"fewer than three different values: no {law} law can be told")
    rule = _LAWS[law]
    if law == "lognormal" and sample.complete.all():
        # Mean and spread of the logarithms are the likeliest; nothing needs to be looked for.
        inner = _lognormal_start(sample)
        likelihood = float(rule.log_density(sample.values, inner).sum())
        return Fit(law, rule.outer(inner), likelihood, _aicc(likelihood, 2, sample))

    def cost(inner: Values) -> float:
        with np.errstate(all="ignore"):
            total = rule.log_density(sample.values[sample.complete], inner).sum()
            total += rule.log_longer(sample.values[~sample.complete], inner).sum()
        return -float(total) if math.isfinite(total) else 1e300

    found = optimize.minimize(
        cost,
        rule.start(sample),
        method="Nelder-Mead",
        options={"xatol": 1e-6, "fatol": 1e-9, "maxfev": 2000},
    )
    parameters = rule.outer(found.x)
    if not all(math.isfinite(value) and value > 0 for value in parameters.values()):
        raise ValueError(f"a {law} law does not fit these values at all")
    return Fit(law, parameters, -float(found.fun), _aicc(-float(found.fun), 2, sample))


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


def _aicc(log_likelihood: float, parameters: int, sample: Sample) -> float:
    n = sample.count
    aic = 2 * parameters - 2 * log_likelihood
    if n - parameters - 1 <= 0:
        return math.inf if parameters > 1 else aic
    return aic + 2 * parameters * (parameters + 1) / (n - parameters - 1)


def _inner(fit: Fit) -> Values:
    return _LAWS[fit.law].inner(fit.parameters)


def _weibull_start(sample: Sample) -> Values:
    logs = np.log(sample.values[sample.complete])
    shape = 1.2 / max(float(logs.std()), 1e-3)
    return np.array([math.log(sample.values.sum() / sample.count), math.log(shape)])


def _weibull_outer(inner: Values) -> dict[str, float]:
    scale, shape = np.exp(np.clip(inner, -300, 300))
    return {"mean": float(scale * special.gamma(1 + 1 / shape)), "shape": float(shape)}


def _weibull_inner(parameters: Mapping[str, float]) -> Values:
    shape = parameters["shape"]
    return np.log([parameters["mean"] / special.gamma(1 + 1 / shape), shape])


def _weibull_log_density(x: Values, inner: Values) -> Values:
    shape, far = math.exp(inner[1]), np.log(x) - inner[0]
    return np.asarray(inner[1] - inner[0] + (shape - 1) * far - np.exp(shape * far))


def _weibull_log_longer(x: Values, inner: Values) -> Values:
    return np.asarray(-np.exp(math.exp(inner[1]) * (np.log(x) - inner[0])))


def _lognormal_start(sample: Sample) -> Values:
    logs = np.log(sample.values[sample.complete])
    return np.array([float(logs.mean()), math.log(max(float(logs.std()), 1e-3))])


def _lognormal_outer(inner: Values) -> dict[str, float]:
    sigma = math.exp(min(inner[1], 3.0))
    mean = math.exp(inner[0] + sigma**2 / 2)
    return {"mean": mean, "sd": mean * math.sqrt(math.expm1(sigma**2))}


def _lognormal_inner(parameters: Mapping[str, float]) -> Values:
    variance = math.log1p((parameters["sd"] / parameters["mean"]) ** 2)
    return np.array([math.log(parameters["mean"]) - variance / 2, 0.5 * math.log(variance)])


def _lognormal_log_density(x: Values, inner: Values) -> Values:
    logs = np.log(x)
    far = (logs - inner[0]) / math.exp(inner[1])
    return np.asarray(-(far**2) / 2 - _HALF_LOG_TWO_PI - inner[1] - logs)


def _lognormal_log_longer(x: Values, inner: Values) -> Values:
    return np.asarray(special.log_ndtr((inner[0] - np.log(x)) / math.exp(inner[1])))


def _gamma_start(sample: Sample) -> Values:
    values = sample.values[sample.complete]
    spread = max(float(values.std()) / float(values.mean()), 1e-2)
    return np.array([math.log(sample.values.sum() / sample.count), -2 * math.log(spread)])


def _gamma_outer(inner: Values) -> dict[str, float]:
    mean, shape = np.exp(np.clip(inner, -300, 300))
    return {"mean": float(mean), "sd": float(mean / math.sqrt(shape))}


def _gamma_inner(parameters: Mapping[str, float]) -> Values:
    return np.array(
        [math.log(parameters["mean"]), 2 * math.log(parameters["mean"] / parameters["sd"])]
    )


def _gamma_log_density(x: Values, inner: Values) -> Values:
    mean, shape = np.exp(inner)
    scaled = x * shape / mean
    return np.asarray(
        (shape - 1) * np.log(scaled) - scaled - special.gammaln(shape) + np.log(shape / mean)
    )


def _gamma_log_longer(x: Values, inner: Values) -> Values:
    mean, shape = np.exp(inner)
    return np.asarray(np.log(special.gammaincc(shape, x * shape / mean)))


def _through_log(
    log_longer: Callable[[Values, Values], Values],
) -> Callable[[Values, Values], Values]:
    return lambda x, inner: np.asarray(np.exp(log_longer(x, inner)))


_LAWS: dict[str, _Law] = {
    "exponential": _Law(
        start=lambda sample: np.log([sample.values.sum() / sample.count]),
        log_density=lambda x, inner: np.asarray(-inner[0] - x / np.exp(inner[0])),
        log_longer=lambda x, inner: np.asarray(-x / np.exp(inner[0])),
        longer=lambda x, inner: np.asarray(np.exp(-x / np.exp(inner[0]))),
        outer=lambda inner: {"mean": float(np.exp(inner[0]))},
        inner=lambda parameters: np.log([parameters["mean"]]),
    ),
    "weibull": _Law(
        _weibull_start,
        _weibull_log_density,
        _weibull_log_longer,
        _through_log(_weibull_log_longer),
        _weibull_outer,
        _weibull_inner,
    ),
    "lognormal": _Law(
        _lognormal_start,
        _lognormal_log_density,
        _lognormal_log_longer,
        _through_log(_lognormal_log_longer),
        _lognormal_outer,
        _lognormal_inner,
    ),
    "gamma": _Law(
        _gamma_start,
        _gamma_log_density,
        _gamma_log_longer,
        _through_log(_gamma_log_longer),
        _gamma_outer,
        _gamma_inner,
    ),
}
