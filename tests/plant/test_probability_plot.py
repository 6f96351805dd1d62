"""Values on the paper of their law: a straight line, a band that holds them, cut-off values."""

from __future__ import annotations

import numpy as np
import pytest

from linesim.plant.lifetimes import FEW, Fit, Sample, fit_law
from linesim.plant.probability_plot import (
    plotting_positions,
    probability_plot,
    straight_line,
    straightened,
)

LAWS = [
    Fit("exponential", {"mean": 3.0}, 0, 0),
    Fit("weibull", {"mean": 3.0, "shape": 1.7}, 0, 0),
    Fit("lognormal", {"mean": 3.0, "sd": 2.0}, 0, 0),
    Fit("gamma", {"mean": 3.0, "sd": 2.0}, 0, 0),
]


def complete(values) -> Sample:
    return Sample(np.asarray(values, float), np.ones(len(values), bool))


@pytest.mark.parametrize("fit", LAWS, ids=lambda fit: fit.law)
def test_each_law_is_a_straight_line_on_its_own_paper(fit: Fit) -> None:
    values = np.array([0.2, 1.0, 3.0, 7.0])
    plot = probability_plot(complete(values), fit)
    slope, rest = straight_line(fit)
    x = np.log(values) if plot.logarithmic else values
    assert plot.height(1 - plot.fit.longer_than(values)) == pytest.approx(slope * x + rest)


def test_without_cut_off_values_they_stand_in_the_middle_of_their_steps() -> None:
    values, shares = plotting_positions(complete([3, 1, 2, 2]))
    assert values.tolist() == [1, 2, 3]
    assert shares.tolist() == pytest.approx([1 / 8, 1 / 2, 7 / 8])


def test_cut_off_values_count_for_those_they_outlast() -> None:
    # By hand: 1 of 4 at risk, the one cut off at 2 then leaves, 1 of 2, 1 of 1.
    sample = Sample(np.array([1.0, 2, 3, 4]), np.array([True, False, True, True]))
    _, shares = plotting_positions(sample)
    longer = np.array([1, 3 / 4, 3 / 8, 0])
    assert shares.tolist() == pytest.approx((1 - (longer[:-1] + longer[1:]) / 2).tolist())


def test_the_band_holds_values_of_its_law_and_not_those_of_another() -> None:
    rng = np.random.default_rng(4)
    fit = LAWS[2]
    fair = complete(np.exp(rng.normal(0.8, 0.6, 60)))
    plot = probability_plot(fair, fit_law(fair, "lognormal"), resamples=100)
    assert outside(plot) <= 0.1
    again = probability_plot(fair, fit_law(fair, "lognormal"), resamples=100)
    assert np.array_equal(plot.band_low, again.band_low)
    wrong = complete(np.concatenate([rng.uniform(1, 1.1, 30), rng.uniform(50, 55, 30)]))
    plot = probability_plot(wrong, fit_law(wrong, fit.law), resamples=100)
    assert outside(plot) > 0.3


def outside(plot) -> float:
    low = np.interp(plot.shares, plot.band_shares, plot.band_low)
    high = np.interp(plot.shares, plot.band_shares, plot.band_high)
    return float(np.mean((plot.values < low) | (plot.values > high)))


def test_few_values_have_no_band() -> None:
    plot = probability_plot(complete(np.arange(1, FEW)), LAWS[0])
    assert plot.band_shares.size == 0
    assert plot.values.size == FEW - 1
    with pytest.raises(ValueError, match="no probability plot"):
        straightened(Fit("triangular", {}, 0, 0))
