"""Fits of a log against published data sets, tables and what other programs made of them."""

from __future__ import annotations

import math
import tomllib
import warnings
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from linesim.plant.certainty import certainty
from linesim.plant.lifetimes import Sample, fit_best, fit_law
from linesim.plant.probability_plot import plotting_positions
from linesim.statistics import exact_rate, laplace_trend

DATA = tomllib.loads((Path(__file__).parent / "published/survival.toml").read_text("utf-8"))
"""Its first lines say where it comes from."""


def sample_of(name: str) -> Sample:
    return Sample(np.array(DATA[name]["times"], float), np.array(DATA[name]["met"], bool))


@pytest.mark.parametrize("name", DATA)
@pytest.mark.parametrize("law", ["exponential", "weibull", "lognormal"])
def test_censored_fits_agree_with_another_program(name: str, law: str) -> None:
    sample, other = sample_of(name), DATA[name][law]
    assert not sample.complete.all()
    fit = fit_law(sample, law)
    assert fit.log_likelihood == pytest.approx(other["log_likelihood"], abs=1e-6)
    if law == "weibull":
        assert fit.parameters["shape"] == pytest.approx(other["rho"], rel=1e-4)
        mean = other["lambda"] * math.gamma(1 + 1 / other["rho"])
        assert fit.parameters["mean"] == pytest.approx(mean, rel=1e-4)
    if law == "exponential":
        assert fit.parameters["mean"] == pytest.approx(other["lambda"], rel=1e-4)


@pytest.mark.parametrize("name", DATA)
def test_values_stand_in_the_middle_of_the_steps_of_kaplan_and_meier(name: str) -> None:
    values, shares = plotting_positions(sample_of(name))
    after = np.array(DATA[name]["survival"])
    before = np.concatenate([[1.0], after[:-1]])
    assert len(values) == len(after)
    assert shares == pytest.approx(1 - (before + after) / 2, abs=1e-12)


@pytest.mark.parametrize("name", DATA)
def test_censored_gamma_agrees_with_scipy(name: str) -> None:
    sample = sample_of(name)
    data = stats.CensoredData.right_censored(sample.values, ~sample.complete)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        shape, _, scale = stats.gamma.fit(data, floc=0)
    fit = fit_law(sample, "gamma")
    assert fit.parameters["mean"] == pytest.approx(shape * scale, rel=2e-3)
    assert fit.parameters["sd"] == pytest.approx(math.sqrt(shape) * scale, rel=2e-3)


def test_remission_times_under_treatment_have_their_published_rate() -> None:
    # Freireich's 6-MP arm: 9 relapses in 359 weeks, so 0.025 a week (Kleinbaum and Klein).
    both, arm = sample_of("leukemia"), np.array(DATA["leukemia"]["treated"], bool)
    sample = Sample(both.values[arm], both.complete[arm])
    assert (sample.count, sample.values.sum()) == (9, 359)
    assert fit_law(sample, "exponential").parameters["mean"] == pytest.approx(359 / 9)


def test_ball_bearings_wear_out_by_their_published_law() -> None:
    # 23 bearings, millions of revolutions: J. Lieblein and M. Zelen, 1956; Weibull of shape 2.102
    # and scale 81.88 by likelihood (J. F. Lawless, Statistical Models and Methods for Lifetime
    # Data).
    text = """17.88 28.92 33.00 41.52 42.12 45.60 48.48 51.84 51.96 54.12 55.56 67.80
        68.64 68.64 68.88 84.12 93.12 98.64 105.12 105.84 127.92 128.04 173.40"""
    values = np.array([float(each) for each in text.split()])
    found = fit_law(Sample(values, np.ones(23, dtype=bool)), "weibull").parameters
    assert found["shape"] == pytest.approx(2.102, abs=0.001)
    assert found["mean"] == pytest.approx(81.88 * math.gamma(1 + 1 / 2.102), abs=0.01)


@pytest.mark.parametrize(
    ("count", "low", "high"),
    # F. Garwood 1936, Biometrika 28:437, 95 % limits of a Poisson mean (values from memory).
    [(0, 0.0, 3.689), (1, 0.0253, 5.572), (5, 1.623, 11.668), (10, 4.795, 18.390)],
)
def test_exact_rates_are_those_of_the_table(count: int, low: float, high: float) -> None:
    found = exact_rate(count, 1.0)
    assert found.low == pytest.approx(low, abs=6e-4)
    assert found.high == pytest.approx(high, abs=6e-4)


def test_laplace_trend_by_the_formula_and_under_no_trend() -> None:
    # Cox and Lewis 1966: u = (mean moment - half the watch) / (watch / sqrt(12 n)). For n moments
    # spread evenly over the watch it is nothing; the p values of Poisson streams are uniform.
    assert laplace_trend([1, 3, 5, 7, 9], end=10).u == pytest.approx(0, abs=1e-12)
    moments = [0.5, 1.5, 1.7, 4.2]
    u = (sum(moments) / 4 - 5) / (10 / math.sqrt(48))
    assert laplace_trend(moments, end=10).u == pytest.approx(u)
    rng = np.random.default_rng(11)
    p = [laplace_trend(rng.random(20) * 7, end=7).p for _ in range(2000)]
    assert stats.kstest(p, "uniform").pvalue > 0.001
    worse = np.sqrt(rng.random(40)) * 7
    assert laplace_trend(worse, end=7).shown
    assert laplace_trend(worse, end=7).u > 0


def renewals(law: str, parameters: dict[str, float], watch: float, seed: int) -> Sample:
    from linesim.scenario.laws import LAWS

    rng = np.random.default_rng(seed)
    rule = LAWS[law].model_validate({"law": law, **parameters})
    values = rule.quantile(rng.random(4000))
    ends = np.cumsum(values)
    last = int(np.searchsorted(ends, watch))
    values = values[: last + 1].copy()
    values[last] -= ends[last] - watch
    return Sample(values, np.arange(last + 1) < last)


def test_bootstrap_intervals_cover_the_truth_at_their_rate() -> None:
    truth = {"mean": 10.0, "shape": 1.6}
    covered = {"mean": 0, "shape": 0}
    logs = 24
    for seed in range(logs):
        sample = renewals("weibull", truth, 400.0, seed)
        fit = fit_law(sample, "weibull")
        sure = certainty(sample, fit, seed=seed, resamples=40)
        for name, (low, high) in sure.intervals.items():
            covered[name] += low <= truth[name] <= high
    for count in covered.values():
        # 95 % of 24, less what chance takes once in a thousand times.
        assert count >= stats.binom.ppf(0.001, logs, 0.92)


def test_a_law_that_does_not_fit_is_told_from_one_that_does() -> None:
    two_kinds = np.concatenate([np.full(40, 1.0), np.full(40, 60.0)])
    two_kinds = two_kinds * np.random.default_rng(3).uniform(0.95, 1.05, 80)
    sample = Sample(two_kinds, np.ones(80, bool))
    fit = fit_law(sample, "gamma")
    assert certainty(sample, fit, seed=1, resamples=100).words == "does not fit"
    fair = renewals("gamma", {"mean": 10.0, "sd": 5.0}, 800.0, 5)
    good = fit_law(fair, "gamma")
    assert certainty(fair, good, seed=1, resamples=100).words == "nothing contradicts it"


def test_few_values_get_an_exponential_and_no_more() -> None:
    few = renewals("weibull", {"mean": 10.0, "shape": 4.0}, 70.0, 1)
    assert few.count < 10
    assert [fit.law for fit in fit_best(few)] == ["exponential"]


def test_the_right_law_is_chosen_when_there_is_enough_to_tell() -> None:
    for law, parameters in (
        ("weibull", {"mean": 10.0, "shape": 4.0}),
        ("lognormal", {"mean": 10.0, "sd": 15.0}),
    ):
        assert fit_best(renewals(law, parameters, 5000.0, 2))[0].law == law
