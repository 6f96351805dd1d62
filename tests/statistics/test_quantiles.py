"""Shares, percentiles and bands worked out by hand, and what they must not say."""

from __future__ import annotations

import pytest

from linesim.statistics import (
    exact_proportion,
    prediction_band,
    quantile_of,
    quantile_ranks,
    runs_for_both_ends,
)


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
