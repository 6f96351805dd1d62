"""Student intervals and paired comparisons."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from linesim.report.answers.cells import cell_text, figure_of, value_written
from linesim.statistics import Interval, paired_interval, student_interval

samples = st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=30)


@given(samples, st.sampled_from([0.8, 0.95, 0.99]))
def test_scipy_gives_the_same_interval(values: list[float], level: float) -> None:
    interval = student_interval(values, level)
    if np.std(values) > 1e-6:
        result = stats.ttest_1samp(values, 0).confidence_interval(level)
        assert (interval.low, interval.high) == pytest.approx(
            (result.low, result.high), rel=1e-6, abs=1e-6
        )
    assert interval.n == len(values)
    assert interval.level == level


def test_intervals_cover_the_truth_as_often_as_they_claim() -> None:
    """Of 4000 intervals at 90 %, 3600 should cover; the standard deviation of that is 19."""
    generator = np.random.default_rng(20_260)
    covered = sum(
        student_interval(generator.normal(50, 7, size=6).tolist(), level=0.9).contains(50)
        for _ in range(4000)
    )
    assert covered == pytest.approx(3600, abs=3 * math.sqrt(4000 * 0.9 * 0.1))


@given(samples, st.floats(-1000, 1000), st.floats(0.1, 10))
def test_the_unit_and_the_origin_do_not_matter(
    values: list[float], shift: float, unit: float
) -> None:
    interval = student_interval(values)
    moved = student_interval([value * unit + shift for value in values])
    assert moved.mean == pytest.approx(interval.mean * unit + shift, rel=1e-9, abs=1e-6)
    assert moved.half_width == pytest.approx(interval.half_width * unit, rel=1e-6, abs=1e-6)


def test_equal_values_leave_no_doubt() -> None:
    interval = student_interval([0.1] * 10)
    assert interval.half_width == 0
    assert interval.relative_half_width == 0


def test_the_relative_half_width_of_a_mean_of_zero_is_endless() -> None:
    assert Interval(0, 1, 0.95, 5).relative_half_width == math.inf
    assert Interval(-50, 1, 0.95, 5).relative_half_width == 0.02


def test_pairing_takes_the_shared_luck_out() -> None:
    generator = np.random.default_rng(7)
    luck = generator.normal(1000, 50, size=20)
    base = luck + generator.normal(0, 5, size=20)
    better = luck + 10 + generator.normal(0, 5, size=20)
    answer = paired_interval(better.tolist(), base.tolist())

    paired = stats.ttest_rel(better, base).confidence_interval(0.95)
    assert (answer.interval.low, answer.interval.high) == pytest.approx((paired.low, paired.high))
    apart = stats.ttest_ind(better, base, equal_var=False).confidence_interval(0.95)
    assert answer.unpaired_half_width == pytest.approx((apart.high - apart.low) / 2)
    # Shared spread 50 against 5 of its own: about sqrt(50^2 + 5^2) / 5 = 10 times narrower.
    assert 6 < answer.narrowing < 15
    assert answer.shown


def test_pairing_can_do_harm() -> None:
    """Runs that move against each other are better compared unpaired."""
    a = [10.0, 12.0, 14.0, 16.0, 18.0]
    assert paired_interval(a, a[::-1]).narrowing < 1


def test_pairs_that_always_differ_by_the_same() -> None:
    answer = paired_interval([4, 6, 9], [3, 5, 8])
    assert answer.interval.mean == 1
    assert answer.interval.half_width == 0
    assert answer.narrowing == math.inf
    assert paired_interval([1, 1], [1, 1]).narrowing == 1
    assert not paired_interval([1, 1], [1, 1]).shown


@given(st.lists(st.tuples(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3)), min_size=2, max_size=20))
def test_the_comparison_read_backwards_changes_its_sign_only(
    pairs: list[tuple[float, float]],
) -> None:
    a, b = [first for first, _ in pairs], [second for _, second in pairs]
    one, other = paired_interval(a, b), paired_interval(b, a)
    assert one.interval.mean == pytest.approx(-other.interval.mean)
    assert one.interval.half_width == pytest.approx(other.interval.half_width)
    assert one.unpaired_half_width == pytest.approx(other.unpaired_half_width)


def test_no_end_lies_where_a_figure_cannot_be() -> None:
    stops = replace(student_interval([0, 7, 0]), least=0)
    # By Student 2.3 ± 10; there is no less than no stop.
    assert (stops.low, stops.text()) == (0, "2 (0–12)")
    assert stops.high == pytest.approx(12.37, abs=0.01)
    assert stops.times(2).low == 0
    assert stops.times(-1).low == pytest.approx(-12.37, abs=0.01)
    drawn = figure_of(stops)
    assert drawn.inner == drawn.outer == (0, stops.high)
    assert (cell_text(drawn), value_written(drawn)) == ("2 (0–12)", 2)


def test_what_cannot_be_judged_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="two values or more"):
        student_interval([5.0])
    with pytest.raises(ValueError, match="not finite"):
        student_interval([5.0, math.nan])
    with pytest.raises(ValueError, match=r"between 0 and 1, such as 0\.95"):
        student_interval([5.0, 6.0], level=95)
    with pytest.raises(ValueError, match="a has 3 values and b has 2"):
        paired_interval([1, 2, 3], [1, 2])
