"""Laplace's test on published failure times, and the same figures from another program.

H. Ascher and H. Feingold, *Repairable Systems Reliability*, 1984, show three systems with the same
seven times between failures in three orders: one gets better, one worse, one neither (times and
u, to a tenth, from memory; the first two must be each other's opposite, and are).

The thirty times between failures, u = 2.409 and p = 0.016 are the example of the documentation of
the Python package ``reliability`` (M. Reid). Its version 0.9.0, run on all four sets of times,
gave the figures that stand here, to every digit of a double.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from linesim.statistics import exact_rate, laplace_trend

HAPPY = (15, 27, 32, 43, 51, 65, 177)
NEITHER = (51, 43, 27, 177, 15, 65, 32)
THIRTY = (
    *(104, 131, 1597, 59, 4, 503, 157, 6, 118, 173, 114, 62, 101, 216, 106),
    *(140, 1, 102, 3, 393, 96, 232, 89, 61, 37, 293, 7, 165, 87, 99),
)


@pytest.mark.parametrize(
    ("between", "published", "other_program"),
    [
        (HAPPY, -2.0, -2.0040440969238245),
        (HAPPY[::-1], 2.0, 2.0040440969238245),
        (NEITHER, 0.1, 0.08623253429104218),
    ],
    ids=["gets better", "gets worse", "neither"],
)
def test_three_systems_with_the_same_times(
    between: tuple[int, ...], published: float, other_program: float
) -> None:
    # Watched until the last failure, which then tells nothing.
    trend = laplace_trend(np.cumsum(between).tolist())
    assert trend.count == 6
    assert trend.u == pytest.approx(published, abs=0.05)
    assert trend.u == pytest.approx(other_program, rel=1e-12)
    assert trend.shown == (between != NEITHER)


def test_thirty_times_of_a_machine_that_gets_worse() -> None:
    trend = laplace_trend(np.cumsum(THIRTY).tolist())
    assert round(trend.u, 3) == 2.409
    assert round(trend.p, 3) == 0.016
    assert trend.u == pytest.approx(2.4094382960447107, rel=1e-12)


def test_a_watch_that_ended_after_the_last_failure() -> None:
    times = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]
    trend = laplace_trend(times, end=1500)
    assert trend.count == 10
    assert trend.u == pytest.approx(-1.326949182649183, rel=1e-12)


@pytest.mark.parametrize("count", [0, 1, 2, 5, 10, 37, 515])
@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_ends_of_a_rate_are_where_poisson_s_law_leaves_half_of_the_rest(
    count: int, level: float
) -> None:
    """By Poisson's law itself, not by the chi-squared law that the ends are worked out with."""
    found = exact_rate(count, 2.0, level)
    tail = (1 - level) / 2
    assert stats.poisson.cdf(count, 2 * found.high) == pytest.approx(tail, rel=1e-9)
    if count:
        assert stats.poisson.sf(count - 1, 2 * found.low) == pytest.approx(tail, rel=1e-9)
    else:
        assert found.low == 0
