"""Shares, percentiles and bands worked out by hand, and what they must not say."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
import scipy

from linesim.statistics import (
    exact_proportion,
    prediction_band,
    quantile_of,
    quantile_ranks,
    runs_for_both_ends,
)

TRIALS = 500


def test_two_runs_of_two_say_little() -> None:
    """The chance p with p squared = 2.5 % is 0.158."""
    found = exact_proportion(2, 2)
    assert found.low == pytest.approx(0.025**0.5)
    assert found.high == 1.0
    assert found.value == 1.0
    assert found.contains(0.5)
    assert not found.contains(0.1)


def test_the_median_of_five_runs_lies_in_none_of_their_95_percent_intervals() -> None:
    """All five above the median: 1/32 = 3.1 %, more than 2.5 %: so no run is an end."""
    assert quantile_ranks(5, 0.5) == (None, None)
    assert quantile_ranks(6, 0.5) == (1, 6)


def test_fewest_runs_for_both_ends() -> None:
    """0.9^35 = 2.503 %, 0.9^36 = 2.25 %."""
    assert runs_for_both_ends(0.9) == runs_for_both_ends(0.1) == 36
    assert quantile_ranks(35, 0.9)[1] is None
    assert quantile_ranks(36, 0.9)[1] == 36


def test_a_run_that_did_not_get_there_is_beyond_all_others() -> None:
    values = [10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0, None, None]
    median = quantile_of(values, 0.5)
    assert median.value == pytest.approx(14.5)
    assert (median.low, median.high) == (11.0, None)
    assert quantile_of(values, 0.9).value is None
    assert quantile_of([None, None], 0.5).value is None


def test_a_percentile_stays_within_the_runs() -> None:
    assert quantile_of([3.0, 5.0], 0.1).value == 3.0
    assert quantile_of([3.0, 5.0], 0.9).value == 5.0
    assert quantile_of([4.0], 0.5).value == 4.0


def test_a_band_of_39_values_runs_from_the_least_to_the_greatest() -> None:
    """38 of 40 gaps: 95 %."""
    band = prediction_band([float(n) for n in range(39)])
    assert (band.low, band.value, band.high) == (0.0, 19.0, 38.0)
    assert band.contains(0.0)
    assert not band.contains(38.5)


def test_a_band_of_few_values_is_wider_than_they_are() -> None:
    """Mean 12, s 2, t(2) at 97.5 % is 4.303: 4.303 * 2 * sqrt(4/3) = 9.937."""
    band = prediction_band([10.0, 12.0, 14.0])
    assert band.high - band.value == pytest.approx(9.937, abs=1e-3)


@cache
def ends(count: int, n: int, crossed: bool) -> tuple[float, float]:
    found = exact_proportion(count, n, crossed=crossed)
    return found.low, found.high


@pytest.mark.parametrize(("doubt", "luck"), [(1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (0.5, 2.0)])
def test_crossed_runs_are_as_sure_of_a_percentile_and_of_a_share_as_they_say(
    doubt: float, luck: float
) -> None:
    """Of 12 squares; were the runs taken as independent, all luck would be told too narrowly."""
    bits, count, share = np.random.default_rng(3), 12, 0.7
    true = math.hypot(doubt, luck) * float(scipy.special.ndtri(share))
    held = {(what, crossed): 0 for what in ("value", "share") for crossed in (True, False)}
    for _ in range(TRIALS):
        plants = doubt * bits.standard_normal((count, 1, 1)) * np.array([1.0, -1.0])
        lucks = luck * bits.standard_normal((count, 2, 1))
        values = (plants + lucks).ravel().tolist()
        below = sum(value <= true for value in values)
        for crossed in (True, False):
            found = quantile_of(values, share, crossed=crossed)
            assert found.low is not None
            assert found.high is not None
            held["value", crossed] += found.low <= true <= found.high
            low, high = ends(below, 4 * count, crossed)
            held["share", crossed] += low <= share <= high
    assert held["value", True] / TRIALS > 0.94
    assert held["share", True] / TRIALS > 0.94
    if not doubt:
        assert held["value", False] / TRIALS < 0.9
        assert held["share", False] / TRIALS < 0.9


def test_half_of_crossed_runs_count() -> None:
    """24 equal pairs are as sure as 24 runs; one over is no pair."""
    pairs, alone = [float(n // 2) for n in range(48)], [float(n) for n in range(24)]
    for found, other in (
        (quantile_of(pairs, 0.5, crossed=True), quantile_of(alone, 0.5)),
        (exact_proportion(20, 48, crossed=True), exact_proportion(10, 24)),
        (exact_proportion(0, 49, crossed=True), exact_proportion(0, 24)),
    ):
        assert (found.low, found.high) == (other.low, other.high)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: exact_proportion(3, 2),
        lambda: exact_proportion(0, 0),
        lambda: exact_proportion(1, 2, 1.5),
        lambda: quantile_ranks(0, 0.5),
        lambda: quantile_ranks(9, 1.0),
        lambda: quantile_ranks(9, 0.5, 0.0),
        lambda: prediction_band([1.0]),
    ],
)
def test_what_makes_no_sense_is_refused(wrong) -> None:
    with pytest.raises(ValueError, match=r"must|needed"):
        wrong()
