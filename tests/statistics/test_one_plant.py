"""One plant held against many that agree with what is known: bands and tests keep their level."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from linesim.statistics import Crossing, interval_of
from linesim.statistics.one_plant import (
    Apart,
    OnePlant,
    count_p,
    doubt_of,
    luck_of,
    number_within_p,
)

SQUARES, SHIFTS, COUNTS = 6, 20, 30
MEAN, SPREAD = 15_000.0, 600.0
RNG = np.random.default_rng


def crossed_runs(rng: np.random.Generator, doubt: float) -> np.ndarray:
    """Shifts of runs in squares; two of one luck share half of its variance, and it is skewed."""
    plant = doubt * rng.normal(size=(SQUARES, 1, 1, 1)) * np.array([1, -1])[:, None]
    shared = _skewed(rng, (SQUARES, 2, 1, SHIFTS)) / math.sqrt(2)
    own = _skewed(rng, (SQUARES, 2, 2, SHIFTS)) / math.sqrt(2)
    return (MEAN + plant + SPREAD * (shared + own)).reshape(-1, SHIFTS)


def _skewed(rng: np.random.Generator, shape: tuple[int, ...]) -> np.ndarray:
    return (4 - rng.gamma(4, 1, shape)) / 2


def a_plant(rng: np.random.Generator, doubt: float, spread: float = SPREAD) -> np.ndarray:
    luck = (_skewed(rng, (COUNTS,)) + _skewed(rng, (COUNTS,))) / math.sqrt(2)
    return MEAN + doubt * rng.normal() + spread * luck


@pytest.mark.parametrize("doubt", [30.0, 300.0, 1500.0])
def test_a_band_holds_a_shift_of_one_plant_and_its_counts_are_not_independent(
    doubt: float,
) -> None:
    rng, held, refused, as_if_each_alone, trials = RNG(3), 0.0, 0, 0, 120
    for _ in range(trials):
        kind = OnePlant.of(crossed_runs(rng, doubt).tolist(), 0.95, Crossing())
        counts = a_plant(rng, doubt)
        inside = sum(kind.band.contains(value) for value in counts.tolist())
        held += inside / COUNTS / trials
        refused += number_within_p(inside, [(COUNTS, kind)]) < 0.05
        as_if_each_alone += stats.binomtest(inside, COUNTS, 0.95).pvalue < 0.05
    assert 0.93 < held < 0.985
    assert refused / trials < 0.08
    if doubt > SPREAD:
        # What all counts share makes many of them fall outside at once.
        assert as_if_each_alone > refused


def test_shifts_that_differ_more_than_the_model_s_are_found() -> None:
    rng, found = RNG(4), 0
    for _ in range(40):
        kind = OnePlant.of(crossed_runs(rng, 100.0).tolist(), 0.95, Crossing())
        counts = a_plant(rng, 100.0, spread=3 * SPREAD)
        inside = sum(kind.band.contains(value) for value in counts.tolist())
        found += number_within_p(inside, [(COUNTS, kind)]) < 0.025
    assert found >= 38


def test_a_plant_s_luck_is_told_from_what_is_not_known() -> None:
    rng = RNG(5)
    kinds = [OnePlant.of(crossed_runs(rng, 500.0).tolist(), 0.95, Crossing()) for _ in range(200)]
    luck = float(np.mean([kind.luck_variance for kind in kinds]))
    doubt = float(np.mean([doubt_of(kind.mean)[0] for kind in kinds]))
    assert luck == pytest.approx(SPREAD**2 / SHIFTS, rel=0.05)
    assert doubt == pytest.approx(500.0**2, rel=0.12)


def test_totals_of_one_plant_are_refused_as_often_as_said() -> None:
    rng, refused, trials = RNG(6), 0, 250
    for _ in range(trials):
        kind = OnePlant.of(crossed_runs(rng, 400.0).tolist(), 0.95, Crossing())
        luck, freedom = luck_of(kind.mean)
        luck += kind.luck_variance * SHIFTS / COUNTS
        apart = float(a_plant(rng, 400.0).mean()) - kind.mean.mean
        refused += Apart(((luck, freedom), doubt_of(kind.mean))).p(apart) < 0.05
    assert 0.02 < refused / trials < 0.08


def test_no_spread_at_all_allows_no_difference() -> None:
    none = Apart(((0.0, 3.0), (0.0, 4.0)))
    assert (none.p(0.0), none.p(1.0)) == (1.0, 0.0)


def test_a_count_is_as_odd_as_a_log_of_the_cause_says() -> None:
    """A cause seen 16 times in a log as long, against the exact law of a second such log."""
    rate = 16.0
    values = []
    rng = RNG(7)
    for _ in range(60):
        change = rate * rng.normal() / math.sqrt(rate)
        values += [rate + change, rate - change] * 2
    predicted = interval_of(values, crossed=Crossing())
    # Both rates alike, given their sum (Przyborowski and Wilenski 1940).
    for count in (6, 10, 16, 24, 30):
        exact = stats.binomtest(count, count + 16, 0.5).pvalue
        assert count_p(count, predicted, 1) == pytest.approx(exact, rel=0.45, abs=0.06)


def test_a_cause_without_doubt_is_a_poisson_count() -> None:
    predicted = interval_of([100.0] * 24, crossed=Crossing())
    assert count_p(100, predicted, 30) == pytest.approx(1, abs=0.05)
    assert count_p(70, predicted, 30) == pytest.approx(2 * stats.poisson(100).cdf(70))
    assert count_p(140, predicted, 30) == pytest.approx(2 * stats.poisson(100).sf(139))
    none = interval_of([0.0] * 24, crossed=Crossing())
    assert count_p(0, none, 2) == 1
    assert count_p(1, none, 2) < 1e-6
