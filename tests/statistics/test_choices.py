"""Decisions over plants: how many say yes and how sure that is, the best choice and its regret."""

import numpy as np
import pytest
from scipy import special

from linesim.statistics import Crossing, choose, interval_of, plants_weights, share_of_plants

SQUARES, PLANTS, TRIALS = 8, 1000, 300


@pytest.mark.parametrize(("mean", "luck"), [(1.0, 0.3), (0.2, 1.0), (2.0, 0.5)])
def test_the_share_lies_where_it_is_said_to(mean: float, luck: float) -> None:
    """The figure of a plant is normal with a spread of 1: so many of them are above 0."""
    bits, truth, held = np.random.default_rng(2), float(special.ndtr(mean)), 0
    weights = plants_weights(4 * SQUARES, PLANTS, 1, crossed=Crossing())
    for _ in range(TRIALS):
        plants = bits.standard_normal((SQUARES, 1, 1)) * np.array([1.0, -1.0])
        runs = (mean + plants + luck * bits.standard_normal((SQUARES, 2, 1))).ravel()
        known = interval_of(runs.tolist(), crossed=Crossing())
        held += share_of_plants(weights @ runs, known).contains(truth)
    assert held / TRIALS > 0.9


def test_a_share_is_as_sure_as_all_the_runs_are() -> None:
    """Four times the runs of the same spread: about half as wide."""
    widths = []
    for squares in (10, 40):
        pattern = np.resize([2.2, 0.3, 1.9, -0.1, 1.4, 0.9, 1.3, 0.4], 4 * squares)
        weights = plants_weights(4 * squares, 4000, 1, crossed=Crossing())
        known = interval_of(pattern.tolist(), crossed=Crossing())
        found = share_of_plants(weights @ pattern, known)
        widths.append(special.ndtri(found.high) - special.ndtri(found.low))
    assert widths[0] / widths[1] == pytest.approx(2, rel=0.15)


def test_what_cannot_turn_out_otherwise_is_sure() -> None:
    known = interval_of([5.0, 5.0, 5.0])
    found = share_of_plants(np.full(100, 5.0), known)
    assert (found.low, found.value, found.high) == (1, 1, 1)


def test_the_choice_by_hand() -> None:
    """Of four plants the middle one is the best in two, shares one, and is 3 short in the last."""
    worth = [np.array([0.0, 0.0, 6.0, 1.0]), np.array([4.0, 2.0, 3.0, 1.0]), np.zeros(4)]
    found = choose(worth)
    assert found.chosen == 1
    assert found.best_in == (0.375, 0.625, 0.0)
    assert found.regret == 0.75
    assert found.regret_at_most == pytest.approx(np.quantile([0, 0, 0, 3], 0.95))
    assert (found.low, found.high) == (0, 1)


def test_the_best_lies_between_places_that_leave_out_1_in_40_on_either_side() -> None:
    best = np.repeat(np.arange(5), [2, 30, 100, 66, 2])  # of 200 plants
    found = choose([np.where(best == place, 1.0, 0.0) for place in range(5)])
    assert (found.chosen, found.low, found.high) == (2, 1, 3)
    with pytest.raises(ValueError, match="nothing to choose"):
        choose([])
