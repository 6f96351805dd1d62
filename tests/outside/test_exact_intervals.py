"""Exact intervals against published tables, and against the same in another package."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from linesim.statistics import exact_proportion, prediction_band, quantile_of, quantile_ranks

# R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven
# methods, Statistics in Medicine 17 (1998), table I, the row of Clopper and Pearson; from memory.
NEWCOMBE = {
    (81, 263): (0.2527, 0.3676),
    (15, 148): (0.0578, 0.1617),
    (0, 20): (0.0, 0.1684),
    (1, 29): (0.0009, 0.1776),
}

# Ranks for the median at 95 % and what they really cover, as tables of nonparametric statistics
# give them (M. Hollander and D. A. Wolfe, Nonparametric Statistical Methods; from memory).
MEDIAN_RANKS = {
    10: (2, 9, 0.9785),
    15: (4, 12, 0.9648),
    20: (6, 15, 0.9586),
    25: (8, 18, 0.9567),
    30: (10, 21, 0.9572),
}


@pytest.mark.parametrize("pair", NEWCOMBE)
def test_shares_agree_with_the_published_table(pair: tuple[int, int]) -> None:
    found = exact_proportion(*pair)
    assert (found.low, found.high) == pytest.approx(NEWCOMBE[pair], abs=1e-4)


@pytest.mark.parametrize("n", [1, 2, 7, 20, 40])
@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_shares_agree_with_quantiles_of_the_beta_law(n: int, level: float) -> None:
    for count in range(n + 1):
        found = exact_proportion(count, n, level)
        low = stats.beta.ppf((1 - level) / 2, count, n - count + 1) if count else 0.0
        high = stats.beta.isf((1 - level) / 2, count + 1, n - count) if count < n else 1.0
        assert (found.low, found.high) == pytest.approx((low, high), abs=1e-12)


@pytest.mark.parametrize("n", MEDIAN_RANKS)
def test_ranks_of_the_median_agree_with_the_tables(n: int) -> None:
    low, high, covered = MEDIAN_RANKS[n]
    assert quantile_ranks(n, 0.5) == (low, high)
    assert stats.binom.cdf(high - 1, n, 0.5) - stats.binom.cdf(low - 1, n, 0.5) == pytest.approx(
        covered, abs=2e-4
    )


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("n", [5, 12, 36, 60, 150])
def test_ends_of_percentiles_agree_with_the_quantile_test(n: int, share: float) -> None:
    """W. J. Conover's quantile test, inverted by scipy; NaN where there is no end."""
    values = np.random.Generator(np.random.PCG64(7)).normal(30, 4, n)
    found = quantile_of(values.tolist(), share)
    theirs = stats.quantile_test(values, p=share).confidence_interval(0.95)
    for mine, their in ((found.low, theirs.low), (found.high, theirs.high)):
        assert (mine is None) == bool(np.isnan(their))
        assert mine is None or mine == their
    assert found.value == pytest.approx(np.quantile(values, share, method="median_unbiased"))


def test_percentiles_cover_the_true_one_at_least_as_often_as_they_say() -> None:
    """2,000 samples of 40 from an exponential law, whose percentiles are known."""
    bits = np.random.Generator(np.random.PCG64(3))
    samples = bits.exponential(1.0, (2000, 40))
    for share in (0.1, 0.5, 0.9):
        truth, hit = -np.log1p(-share), 0
        for row in samples:
            found = quantile_of(row.tolist(), share)
            low = 0.0 if found.low is None else found.low
            high = np.inf if found.high is None else found.high
            hit += low <= truth <= high
        assert hit / 2000 > 0.945


@pytest.mark.parametrize("n", [10, 39, 100])
def test_a_band_holds_a_further_value_as_often_as_it_says(n: int) -> None:
    """4,000 samples and one more value each, normal: both kinds of band are exact or wider."""
    bits = np.random.Generator(np.random.PCG64(11))
    draws = bits.normal(15_000, 800, (4000, n + 1))
    hit = sum(prediction_band(row[:-1].tolist()).contains(float(row[-1])) for row in draws)
    error = (0.95 * 0.05 / 4000) ** 0.5
    assert hit / 4000 > 0.95 - 3 * error
    assert hit / 4000 < 0.985
