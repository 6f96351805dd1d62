"""Luck and what is not known, told apart in crossed runs."""

from typing import Any

import numpy as np
import pytest
from scipy import stats

from linesim.statistics import Crossing, interval_of, plants_weights, student_interval

SQUARES, TRIALS = 6, 4000


def _runs(
    bits: np.random.Generator, doubt: float, luck: float, shifted: float, squares: int = SQUARES
) -> Any:
    """Crossed runs of a figure whose parts have these standard deviations, and mean 0."""
    plants = doubt * bits.standard_normal((squares, 1, 1)) * np.array([1.0, -1.0])
    lucks = luck * bits.standard_normal((squares, 2, 1))
    return (plants + lucks + shifted * bits.standard_normal((squares, 2, 2))).ravel()


def test_uncrossed_runs_have_the_students_interval() -> None:
    values = [4.0, 7.0, 5.5]
    assert interval_of(values) == student_interval(values)


@pytest.mark.parametrize(
    ("doubt", "luck", "shifted"), [(1.8, 1.7, 1.9), (8.0, 1.7, 2.2), (0.4, 0.4, 0.5), (0, 1, 1)]
)
def test_both_parts_together_hold_a_plant_as_often_as_they_say(
    doubt: float, luck: float, shifted: float
) -> None:
    bits = np.random.default_rng(1)
    held = 0
    for _ in range(TRIALS):
        found = interval_of(_runs(bits, doubt, luck, shifted).tolist(), crossed=Crossing())
        held += found.contains(doubt * bits.standard_normal())
    # Below 0.95 where luck shifts what meets what, above where nothing is doubted.
    assert 0.925 < held / TRIALS < 0.998


def test_more_runs_narrow_luck_and_leave_the_doubt() -> None:
    bits = np.random.default_rng(2)
    few, many = (
        interval_of(_runs(bits, 3.0, 1.0, 0.5, squares).tolist(), crossed=Crossing())
        for squares in (20, 2000)
    )
    assert many.half_width < few.half_width / 5
    assert many.doubt == pytest.approx(1.96 * 3.0, rel=0.1)


def test_a_doubt_of_nothing_leaves_luck_alone() -> None:
    lucks = np.random.default_rng(3).standard_normal(12)
    values = np.repeat(lucks, 2)
    found = interval_of(values.tolist(), crossed=Crossing())
    assert found.doubt == 0
    assert found.half_width == pytest.approx(student_interval(lucks.tolist()).half_width)


def test_a_square_that_is_not_complete_is_left_out() -> None:
    values = _runs(np.random.default_rng(4), 1, 1, 1).tolist()
    assert interval_of([*values, 900.0], crossed=Crossing()) == interval_of(
        values, crossed=Crossing()
    )
    with pytest.raises(ValueError, match="too few"):
        interval_of(values[:7], crossed=Crossing())


def test_plants_made_of_runs_scatter_as_the_interval_says() -> None:
    values = _runs(np.random.default_rng(5), 2.0, 1.0, 0.0)
    found = interval_of(values.tolist(), crossed=Crossing())
    plants = plants_weights(len(values), 20_000, 1, crossed=Crossing()) @ values
    assert np.mean(plants) == pytest.approx(found.mean, abs=0.1)
    ends = np.quantile(plants, [0.025, 0.975])
    assert (ends[1] - ends[0]) / 2 == pytest.approx(found.both, rel=0.1)


def _foreseen_runs(bits: np.random.Generator, squares: int) -> tuple[list[float], Crossing]:
    """Runs of a figure that follows two of three things foreseen, and a little of its own."""
    moved = bits.standard_normal((squares, 3)) * np.array([2.0, 1.0, 0.1])
    own = 0.3 * bits.standard_normal(squares)
    half = moved @ np.array([1.0, 0.5, 0.2]) + own
    plants = half[:, None, None] * np.array([1.0, -1.0])
    values = plants + 0.5 * bits.standard_normal((squares, 2, 1))
    values = values + 0.3 * bits.standard_normal((squares, 2, 2))
    return values.ravel().tolist(), Crossing(moved, np.diag([4.0, 1.0, 0.01]))


def test_what_is_foreseen_steadies_what_few_squares_tell() -> None:
    bits = np.random.default_rng(7)
    truth = np.sqrt(4 + 0.25 + 0.2**2 * 0.01 + 0.09)
    steady, plain = [], []
    held = 0
    for _ in range(TRIALS // 4):
        values, crossing = _foreseen_runs(bits, SQUARES)
        found = interval_of(values, crossed=crossing)
        steady.append(found.doubt / 1.96)
        plain.append(interval_of(values, crossed=Crossing()).doubt / 2.447)
        held += found.contains(truth * bits.standard_normal())
    assert np.std(steady) < np.std(plain) / 2
    assert np.median(steady) == pytest.approx(truth, rel=0.05)
    assert 0.92 < held / (TRIALS // 4) < 0.98


def test_plants_scatter_as_the_interval_says_with_what_is_foreseen() -> None:
    values, crossing = _foreseen_runs(np.random.default_rng(8), SQUARES)
    found = interval_of(values, crossed=crossing)
    ends = np.quantile(
        plants_weights(len(values), 20_000, 1, crossed=crossing) @ values, [0.025, 0.975]
    )
    assert (ends[1] - ends[0]) / 2 == pytest.approx(found.both, rel=0.1)


def test_plants_of_uncrossed_runs_scatter_by_luck() -> None:
    values = np.random.default_rng(6).standard_normal(20)
    plants = plants_weights(20, 20_000, 1) @ values
    ends = np.quantile(plants, [0.025, 0.975])
    student = stats.t.ppf(0.975, 19) * values.std(ddof=1) / np.sqrt(20)
    assert (ends[1] - ends[0]) / 2 == pytest.approx(student, rel=0.05)
