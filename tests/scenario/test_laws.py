"""Laws of chance: the values have the mean and spread that were asked for."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError
from scipy import integrate

from linesim.scenario.laws import AnyLaw, Constant, Law

READ: TypeAdapter[AnyLaw] = TypeAdapter(Law)

LAWS: list[dict[str, Any]] = [
    {"law": "constant", "mean": 4},
    {"law": "exponential", "mean": 0.5},
    {"law": "weibull", "mean": 4000, "shape": 3},
    {"law": "weibull", "mean": 12, "shape": 0.7},
    {"law": "lognormal", "mean": 6, "sd": 2},
    {"law": "lognormal", "mean": 3, "sd": 4},
    {"law": "gamma", "mean": 8, "sd": 3},
    {"law": "gamma", "mean": 2, "sd": 3},
    {"law": "uniform", "low": 2, "high": 5},
    {"law": "triangular", "low": 0.5, "mode": 0.8, "high": 1.5},
    {"law": "triangular", "low": 1, "mode": 1, "high": 3},
    {"law": "triangular", "low": 1, "mode": 3, "high": 3},
    {"law": "empirical", "values": [3, 1, 4, 1, 5]},
]
NAMES = [" ".join(str(v) for v in law.values()) for law in LAWS]


def moment(law: AnyLaw, power: int) -> float:
    """Mean of a power of the law's values: the integral of its quantiles over 0 to 1.

    Both ends may be steep, so u = sin^2(pi s / 2) puts the points where they are needed.
    """

    def inside(s: float) -> float:
        u = math.sin(math.pi * s / 2) ** 2
        u = min(max(u, 1e-300), 1 - 1e-16)
        value = float(law.quantile(np.array([u]))[0])
        return float(value**power * math.pi * math.sin(math.pi * s / 2) * math.cos(math.pi * s / 2))

    # An empirical law steps: its steps are told to the integrator.
    steps = [2 / math.pi * math.asin(math.sqrt(k / 5)) for k in range(1, 5)]
    points = steps if len(getattr(law, "values", ())) == 5 else None
    return float(integrate.quad(inside, 0, 1, limit=500, points=points, epsabs=0, epsrel=1e-9)[0])


@pytest.mark.parametrize("given_law", LAWS, ids=NAMES)
def test_the_mean_is_what_average_says(given_law: dict[str, Any]) -> None:
    law = READ.validate_python(given_law)
    assert moment(law, 1) == pytest.approx(law.average(), rel=1e-6)


@pytest.mark.parametrize("given_law", [law for law in LAWS if "sd" in law])
def test_the_spread_is_what_was_asked_for(given_law: dict[str, Any]) -> None:
    law = READ.validate_python(given_law)
    sd = math.sqrt(moment(law, 2) - moment(law, 1) ** 2)
    assert sd == pytest.approx(given_law["sd"], rel=1e-3)


@pytest.mark.parametrize("given_law", LAWS, ids=NAMES)
def test_quantiles_rise_and_are_never_below_zero(given_law: dict[str, Any]) -> None:
    values = READ.validate_python(given_law).quantile(np.linspace(1e-9, 1 - 1e-9, 1001))
    assert values.dtype == np.float64
    assert np.all(np.isfinite(values))
    assert np.all(values >= 0)
    assert np.all(np.diff(values) >= 0)


@pytest.mark.parametrize("given_law", [law for law in LAWS if "mean" in law])
def test_a_longer_mean_makes_every_value_longer(given_law: dict[str, Any]) -> None:
    u = np.linspace(0.001, 0.999, 99)
    longer = {k: 2 * v if k in ("mean", "sd") else v for k, v in given_law.items()}
    once, twice = READ.validate_python(given_law), READ.validate_python(longer)
    np.testing.assert_allclose(twice.quantile(u), 2 * once.quantile(u), rtol=1e-9)


def test_weibull_of_shape_one_is_exponential() -> None:
    u = np.linspace(0.01, 0.99, 50)
    weibull = READ.validate_python({"law": "weibull", "mean": 7, "shape": 1})
    exponential = READ.validate_python({"law": "exponential", "mean": 7})
    np.testing.assert_allclose(weibull.quantile(u), exponential.quantile(u))


def test_an_empirical_law_gives_each_value_as_often_as_the_log() -> None:
    law = READ.validate_python({"law": "empirical", "values": [3, 1, 4, 1, 5]})
    u = (np.arange(1000) + 0.5) / 1000
    values, counts = np.unique(law.quantile(u), return_counts=True)
    assert dict(zip(values, counts, strict=True)) == {1: 400, 3: 200, 4: 200, 5: 200}


@given(st.floats(0, 1e9))
def test_a_bare_number_is_a_constant(value: float) -> None:
    assert READ.validate_python(value) == Constant(mean=value)


@pytest.mark.parametrize("value", [True, "3", None, [3], {"mean": 3, "sd": 1}, -1, math.nan])
def test_nothing_else_is(value: object) -> None:
    with pytest.raises(ValidationError):
        READ.validate_python(value)
