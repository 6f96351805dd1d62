"""How many runs a question needs, and when to stop."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from linesim.statistics import (
    more_runs_needed,
    narrow_enough,
    runs_needed_for_half_width,
    runs_needed_to_show,
)


@given(st.floats(0.1, 100), st.floats(0.05, 5), st.sampled_from([0.9, 0.95, 0.99]))
def test_the_fewest_runs_for_a_half_width(sd: float, share: float, level: float) -> None:
    runs = runs_needed_for_half_width(sd, sd * share, level)

    def half_width(n: int) -> float:
        return float(stats.t.ppf((1 + level) / 2, n - 1) * sd / math.sqrt(n))

    assert half_width(runs) <= sd * share
    assert runs == 2 or half_width(runs - 1) > sd * share


@pytest.mark.parametrize(
    ("effect", "power", "runs"), [(0.2, 0.8, 199), (0.5, 0.8, 34), (0.8, 0.8, 15)]
)
def test_runs_to_show_a_difference_as_in_the_tables(effect: float, power: float, runs: int) -> None:
    """Cohen, Statistical Power Analysis (1988): small, medium, large effect, pairs (memory)."""
    assert runs_needed_to_show(effect * 3, sd=3, power=power) == runs
    assert runs_needed_to_show(-effect, sd=1, power=power) == runs


def test_so_many_runs_do_show_the_difference_that_often() -> None:
    runs = runs_needed_to_show(1, sd=1.5, power=0.8)
    generator = np.random.default_rng(11)
    differences = generator.normal(1, 1.5, size=(4000, runs))
    shown = int(np.count_nonzero(stats.ttest_1samp(differences, 0, axis=1).pvalue < 0.05))
    # The fewest whole runs give a little more than 80 %; one less would fall short of it.
    assert 0.8 - 0.02 < shown / 4000 < 0.83 + 0.02


def test_questions_with_an_obvious_answer() -> None:
    assert runs_needed_for_half_width(0, 1) == 2
    assert runs_needed_to_show(1, sd=0) == 2
    assert runs_needed_to_show(1e6, sd=1) == 2


def test_planned_runs_reach_the_wish_about_at_once() -> None:
    generator = np.random.default_rng(5)
    values = generator.normal(100, 10, size=2000).tolist()
    planned = more_runs_needed(values[:50], 0.01, most=2000)
    together = values[: 50 + planned]
    # (1.96 * 10 / 1)^2 = 384 runs, give or take what 50 runs can know of the spread.
    assert 250 < len(together) < 550
    assert narrow_enough(together, 0.013)


def test_planning_keeps_to_the_budget() -> None:
    assert more_runs_needed([90, 110, 100], 0.001, most=10) == 7
    assert more_runs_needed([-1, 1], 0.01, most=8) == 6
    assert more_runs_needed([90, 110, 100], 0.001, most=3) == 0
    assert more_runs_needed([100, 100, 100], 0.001, most=50) == 0


def test_a_few_runs_that_lie_close_together_are_not_enough_to_stop() -> None:
    """Two runs alike are no rarity; twenty are not gone below, unless nothing varies."""
    assert more_runs_needed([100.0, 100.1], 0.05, most=200) == 18
    assert more_runs_needed([100.0, 100.1], 0.05, most=6) == 4
    assert more_runs_needed([100.0, 100.1] * 10, 0.05, most=200) == 0
    assert more_runs_needed([100.0, 100.0], 0.05, most=200) == 0
    assert more_runs_needed([90.0, 110.0], 0.01, most=200) == 18  # two know little of the spread


def test_wishes_that_make_no_sense_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="half_width is 0"):
        runs_needed_for_half_width(1, 0)
    with pytest.raises(ValueError, match="sd is -1"):
        runs_needed_to_show(1, -1)
    with pytest.raises(ValueError, match="size of difference is 0"):
        runs_needed_to_show(0, 1)
    with pytest.raises(ValueError, match="power is 80"):
        runs_needed_to_show(1, 1, power=80)
    with pytest.raises(ValueError, match=r"above 0, such as 0\.01"):
        narrow_enough([1, 2], 0)
