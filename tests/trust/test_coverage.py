"""That intervals hold the truth as often as they say, on runs whose law is known."""

from __future__ import annotations

import numpy as np
import pytest

from tests.trust.covering import fixed, one_by_one, paired, quantile, repeated, until_narrow
from tests.trust.warm_up_rule import Autoregression, judge

POOL = np.random.default_rng(7).normal(2000, 140, 4000)
MEAN = float(POOL.mean())


def test_an_interval_holds_the_truth_and_no_other_value() -> None:
    found = repeated(POOL, fixed(MEAN, 5), 600, seed=1)
    assert found.share.contains(0.95)
    # One standard error beside the truth it would be held by some 87 of 100.
    beside = repeated(POOL, fixed(MEAN + 140 / 5**0.5, 5), 600, seed=1)
    assert not beside.share.contains(0.95)


def test_pairs_and_percentiles() -> None:
    other = POOL + np.random.default_rng(8).normal(50, 30, len(POOL))
    truth = float((other - POOL).mean())
    pairs = np.arange(len(POOL), dtype=np.float64)
    assert repeated(pairs, paired(truth, other, POOL, 5), 600, seed=2).share.contains(0.95)
    tenth = float(np.quantile(POOL, 0.1, method="inverted_cdf"))
    # Order statistics hold it at least as often as they say.
    assert repeated(POOL, quantile(tenth, 0.1, 40), 400, seed=3).share.high >= 0.95


def test_stopping_when_it_is_narrow_costs_a_little_and_no_more() -> None:
    """Chow and Robbins (1965): a little short of the level; from two runs on far short of it."""
    batches = repeated(POOL, until_narrow(MEAN, 0.03, first=2), 250, seed=4)
    assert batches.share.high >= 0.92
    assert batches.share.low > 0.85
    assert 15 < batches.runs < 35
    hasty = repeated(POOL, one_by_one(MEAN, 0.03, least=2), 250, seed=5)
    assert hasty.share.high < 0.95


def test_the_closed_form_of_the_error_is_right() -> None:
    process, luck = Autoregression(phi=0.9, start=10, length=300), np.random.default_rng(3)
    squares = [process.series(luck)[20:].mean() ** 2 for _ in range(3000)]
    error = 4 * float(np.std(squares)) / len(squares) ** 0.5
    assert float(np.mean(squares)) == pytest.approx(process.squared_error(20), abs=error)


def test_the_warm_up_rule_cuts_where_the_best_cut_is() -> None:
    """White (1997), Franklin and White (2008): bias gone, nothing cut where there is none."""
    biased = judge(Autoregression(phi=0.9, start=10, length=1000), 150, seed=1)
    assert biased.error_uncut > 1.4 * biased.error_best
    assert abs(biased.median_cut - biased.best_cut) <= 15
    assert biased.error < biased.error_uncut
    calm = judge(Autoregression(phi=0.5, start=0, length=1000), 150, seed=2)
    assert calm.median_cut <= 5
    short = judge(Autoregression(phi=0.99, start=20, length=400), 50, seed=3)
    assert short.unsettled > 0.8
