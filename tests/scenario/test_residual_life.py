"""What is left of an interval that somebody comes upon, against renewal theory."""

import math

import numpy as np
import pytest
import scipy.stats

from linesim.scenario.laws import (
    Constant,
    Empirical,
    Exponential,
    Gamma,
    Lognormal,
    Triangular,
    Uniform,
    Weibull,
)
from linesim.scenario.residual_life import longer_than, residual_life, residual_life_after

LAWS = {
    "constant": Constant(mean=5),
    "exponential": Exponential(law="exponential", mean=3),
    "wear": Weibull(law="weibull", mean=2, shape=3),
    "early trouble": Weibull(law="weibull", mean=2, shape=0.6),
    "lognormal": Lognormal(law="lognormal", mean=3, sd=2),
    "gamma": Gamma(law="gamma", mean=3, sd=2),
    "uniform": Uniform(law="uniform", low=1, high=4),
    "triangular": Triangular(law="triangular", low=1, mode=2, high=5),
    "rising": Triangular(law="triangular", low=1, mode=5, high=5),
    "falling": Triangular(law="triangular", low=1, mode=1, high=5),
    "from a log": Empirical(law="empirical", values=(7, 1, 2, 2)),
}
EVENLY = (np.arange(20_000) + 0.5) / 20_000
QUANTILES = (np.arange(1_000) + 0.5) / 1_000


@pytest.fixture(params=LAWS)
def law(request):
    return LAWS[request.param]


def residual(law):
    return np.array([residual_life(law, float(u)) for u in QUANTILES])


def test_its_mean_is_half_the_mean_square_over_the_mean(law):
    values = law.quantile(EVENLY)
    theory = np.mean(values**2) / (2 * np.mean(values))
    assert residual(law).mean() == pytest.approx(theory, rel=0.01)


def test_its_law_is_the_chance_of_lasting_longer_over_the_mean(law):
    # The density (1 - F(x)) / mean, added up over the values of the law itself.
    values = law.quantile(EVENLY)
    for u in (0.05, 0.3, 0.6, 0.9, 0.99):
        left = residual_life(law, u)
        assert np.minimum(values, left).mean() / values.mean() == pytest.approx(u, rel=2e-3)


def test_it_follows_what_sampling_a_long_sequence_finds():
    wear = LAWS["wear"]
    intervals = wear.quantile(np.random.default_rng(4).random(200_000))
    ends = np.cumsum(intervals)
    looked = np.random.default_rng(5).uniform(0, ends[-1] * 0.99, 5_000)
    left = ends[np.searchsorted(ends, looked)] - looked
    assert scipy.stats.ks_2samp(left, residual(wear)).pvalue > 0.01


@pytest.mark.parametrize(("shape", "share"), [(3, 0.56605), (4, 0.53935), (1, 1.0)])
def test_of_wear_it_is_a_known_share_of_the_mean(shape, share):
    # Cox (1962): (1 + squared coefficient of variation) / 2.
    law = Weibull(law="weibull", mean=10, shape=shape)
    coefficient = math.gamma(1 + 2 / shape) / math.gamma(1 + 1 / shape) ** 2
    assert coefficient / 2 == pytest.approx(share, abs=1e-5)
    assert residual(law).mean() / 10 == pytest.approx(share, rel=2e-3)


def test_a_fixed_interval_is_anywhere_and_one_without_memory_is_as_new():
    assert residual_life(LAWS["constant"], 0.25) == 1.25
    assert residual_life(LAWS["exponential"], 0.5) == pytest.approx(3 * math.log(2))


def test_after_so_much_use_only_the_longer_intervals_are_left(law):
    used = law.average() * 0.6
    values = law.quantile(EVENLY)
    longer = values[values > used]
    left = np.array([residual_life_after(law, used, float(u)) for u in QUANTILES])
    assert left.min() >= 0
    assert left.mean() == pytest.approx(longer.mean() - used, rel=0.02)
    assert longer_than(law, used) == pytest.approx(len(longer) / len(values), abs=1e-3)


def test_nothing_is_left_of_a_log_of_no_intervals():
    assert residual_life(Empirical(law="empirical", values=(0.0,)), 0.5) == 0
    assert residual_life(Constant(mean=0), 0.5) == 0
