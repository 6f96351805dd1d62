"""The sequential choice with an indifference zone, on draws whose best is known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linesim.statistics.selection import not_out


def test_the_best_is_left_as_often_as_is_promised() -> None:
    """Five alike, one better by the indifference zone: the least favourable case of the paper."""
    draws = np.random.default_rng(20011)
    right = 0
    for _ in range(200):
        common = draws.normal(0, 3, 300)
        values = common + draws.normal(0, 2, (6, 300))
        values[4] += 1.0
        right += not_out(values.tolist(), 1.0, 10) == (4,)
    # Promised are 95 %; of 200 that hold it no fewer than 181 are right but once in 500.
    assert right >= 181


def test_two_are_told_where_the_formula_says() -> None:
    """By hand: n0 = 3, k = 2, error 0.1: eta = (0.2 ** -1 - 1) / 2 = 2, h2 = 2 * 2 * 2 = 8.

    Differences 1, 2, 3 have the variance 1. With an indifference of 1 the sums must lie apart by
    max(0, 8 - r) / 2: 6 after three against 2.5 is enough.
    """
    assert not_out([[1, 2, 3], [0, 0, 0]], 1.0, 3, error=0.1) == (0,)
    # 3, 0 and -2: 1 apart after three, and a variance of 19 / 3, which leaves both in for long.
    near = [[3, 0, -2, *[0] * 20], [0] * 23]
    assert not_out(near, 1.0, 3, error=0.1) == (0, 1)
    # After r runs the slack is (8 * 19 / 3 - r) / 2, nothing once r is 51: then one is left.
    longer = [[3, 0, -2, *[0] * 60], [0] * 63]
    assert not_out(longer, 1.0, 3, error=0.1) == (0,)


def test_what_has_dropped_out_needs_no_more_values() -> None:
    values = [[9.0, 9.1, 8.9, 9.0, 9.1], [0.0, 0.1, 0.0], [8.9, 9.2, 9.0, 8.9, 9.1]]
    assert not_out(values, 0.05, 3) == (0, 2)


@pytest.mark.parametrize(("indifference", "first"), [(0.0, 5), (math.nan, 5), (1.0, 1)])
def test_what_cannot_be_asked_is_refused(indifference: float, first: int) -> None:
    with pytest.raises(ValueError, match="indifference"):
        not_out([[1.0] * 5, [2.0] * 5], indifference, first)
