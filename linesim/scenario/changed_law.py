"""Laws as a file writes them, changed: scaled, moved to another mean, turned into another kind."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from linesim.scenario.laws import Constant, law_of

_SIZES = ("mean", "sd", "low", "mode", "high")
_POINTS = 2000
_SPREAD_OF_CONSTANT = 1 / 3


def law_like(value: Any, name: str) -> Any:
    """*value* (a number or a law as a file writes it) turned into the law *name*.

    Mean and standard deviation are kept as far as the new law has room for them and rounded to
    three figures; a constant is given a third of itself as spread. A constant is returned as a
    bare number. Where *value* is no law, 1 stands for its mean.

    The Weibull shape is ``(sd / mean) ** -1.086``, the usual approximation (Justus and others,
    Journal of Applied Meteorology 17, 1978; cited from memory), good between 1 and 10.

    >>> law_like(6, "lognormal")
    {'law': 'lognormal', 'mean': 6.0, 'sd': 2.0}
    >>> law_like({"law": "uniform", "low": 2, "high": 4}, "constant")
    3.0
    """
    mean, sd = _mean_and_sd(value)
    if name == "constant":
        return _rounded(mean)
    figures: dict[str, Any] = {"mean": mean}
    if name in ("lognormal", "gamma"):
        figures["sd"] = sd
    elif name == "weibull":
        figures["shape"] = min(50.0, max(0.2, (sd / mean) ** -1.086))
    elif name == "uniform":
        half = min(mean, math.sqrt(3) * sd)
        figures = {"low": mean - half, "high": mean + half}
    elif name == "triangular":
        half = min(mean, math.sqrt(6) * sd)
        figures = {"low": mean - half, "mode": mean, "high": mean + half}
    elif name == "empirical":
        spread = min(mean, sd)
        return {"law": name, "values": [_rounded(v) for v in (mean - spread, mean, mean + spread)]}
    return {"law": name, **{key: _rounded(figure) for key, figure in figures.items()}}


def scaled(law: Any, factor: float) -> Any:
    """A law as data with every size in it times ``factor``: the shape stays.

    >>> scaled({"law": "lognormal", "mean": 4.0, "sd": 1.0}, 0.5)
    {'law': 'lognormal', 'mean': 2.0, 'sd': 0.5}
    """
    if isinstance(law, (int, float)):
        return law * factor
    found = {key: value * factor if key in _SIZES else value for key, value in law.items()}
    if "values" in found:
        found["values"] = [value * factor for value in found["values"]]
    return found


def with_mean(value: Any, mean: float) -> Any:
    """A law as a file writes it, scaled to another mean; a constant where the old mean was 0."""
    law = law_of(value)
    old = law.average() if law is not None else 0.0
    return scaled(value, mean / old) if old > 0 and math.isfinite(old) and mean > 0 else mean


def _mean_and_sd(value: Any) -> tuple[float, float]:
    law = law_of(value) or Constant(mean=1.0)
    mean = law.average() or 1.0
    draws = law.quantile((np.arange(_POINTS) + 0.5) / _POINTS)
    sd = float(np.std(draws)) if not isinstance(law, Constant) else mean * _SPREAD_OF_CONSTANT
    return mean, max(sd, 0.02 * mean)


def _rounded(figure: float) -> float:
    return float(f"{figure:.3g}")
