"""Whether successive parts of runs differ by more than chance."""

import numpy as np
import pytest

from linesim.statistics import steadiness

RUNS, BATCHES = 5, 20


def parts(seed, *, rise=0.0, follows=0.0):
    """Batch means of runs that rise by so much in all, or remember so much of the batch before."""
    luck = np.random.default_rng(seed)
    rows = luck.normal(100, 1, (RUNS, BATCHES))
    for i in range(1, BATCHES):
        rows[:, i] += follows * (rows[:, i - 1] - 100)
    return (rows + np.linspace(0, rise, BATCHES)).tolist()


def refused(level=0.01, runs=400, **how):
    return np.mean([not steadiness(parts(seed, **how)).holds(level) for seed in range(runs)])


def test_what_differs_by_chance_is_refused_about_as_often_as_the_level_says():
    # Two looks at 5 % each: 9.8 % in all.
    assert refused(level=0.05) == pytest.approx(0.098, abs=0.04)


def test_a_trend_is_seen():
    assert refused(rise=2.0) > 0.95
    assert steadiness(parts(1, rise=3.0)).trend < 1e-6
    assert steadiness(parts(1, rise=-3.0)).trend < 1e-6


def test_parts_that_follow_one_another_are_seen():
    assert refused(follows=0.6) > 0.95


def test_parts_that_take_turns_are_no_sign_of_a_start():
    assert refused(follows=-0.4, level=0.01) < 0.03


def test_parts_all_alike_do_not_differ():
    assert steadiness([[7.0] * BATCHES] * 2).holds(0.5)
    straight = [[float(i) for i in range(BATCHES)]] * 2
    assert steadiness(straight).trend == 0


@pytest.mark.parametrize(
    "rows", [[[1.0] * 9], [[1.0] * 12, [1.0] * 13], [[1.0] * 11 + [float("nan")]]]
)
def test_too_few_or_broken_parts_are_refused(rows):
    with pytest.raises(ValueError, match=r"batch|length"):
        steadiness(rows)
