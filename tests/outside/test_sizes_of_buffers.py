"""The sizing study on lines of exponential stations: what it says of sizes is what chains say."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from scipy import stats

from linesim.statistics import Interval
from linesim.studies.runner import Runner, Settings
from linesim.studies.size_buffers import SumToSplit, size_buffers
from tests.outside.test_longer_lines import FAST, MEAN_S, after_each_ream, exponential_line

WEEK_S = 168 * 3600
SETTINGS = Settings(replications=12, hours=30, warm_up_h=1, processes=1)


def exponential(mean_s: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean_s}


def rate(found: Interval) -> Interval:
    """Pieces in a mean working time."""
    return found.times(MEAN_S / WEEK_S)


def agrees(found: Interval, truth: float) -> bool:
    """Within 4 standard errors, and known to 2 %."""
    error = found.half_width / float(stats.t.ppf((1 + found.level) / 2, found.n - 1))
    return abs(found.mean - truth) <= 4 * error and found.half_width < 0.02 * found.mean


def test_two_stations_with_the_conveyor_before_the_packer(line: Any) -> None:
    """(B + 2) / (B + 3): Hunt (1956). Wrapper and packer, with cartons of one ream.

    The ream that the packer takes next waits in a place of its own: B is one more than the
    conveyor holds.
    """
    scenario = line(
        bridge={"places": 10},
        wrapper=[{"wrap_s": exponential(MEAN_S)}],
        carton_packer={"reams_per_carton": 1, "rate_cartons_per_min": FAST, "conveyor_reams": 0},
        stop=[after_each_ream("carton_packer")],
    )
    with Runner(SETTINGS) as runner:
        found = size_buffers(scenario, runner, {"carton_packer": [0, 1, 3, 8]}, refine=False)
    for each in found.sizes.sizes:
        between = each.places[0] + 1
        assert agrees(rate(each.reams_per_week), (between + 2) / (between + 3)), each.places
        # The wrapper stands blocked for what it does not work: it is never starved.
        blocked = each.blocked_h[0].times(1 / 168)
        assert blocked.mean == pytest.approx(1 / (between + 3), rel=0.1)


@pytest.mark.parametrize("wrap_s", [MEAN_S, 0.5 * MEAN_S])
def test_six_places_between_three_stations(wrap_s: float, line: Any) -> None:
    """Transfer, wrapper and outfeed, the bridge and the outfeed's buffer between them.

    With stations alike the even split is best, and the throughput falls the same to either side
    (lines reversed give the same: Muth 1979, from memory). A quicker station in the middle gives
    more than one alike (the bowl of F. S. Hillier and R. W. Boling, 1966).
    """
    scenario = line(
        overlap_belt={"hold_cuts": 100_000},
        transfer={"carry_s": exponential(MEAN_S)},
        bridge={"places": 3},
        wrapper=[{"wrap_s": exponential(wrap_s)}],
        outfeed={"rate_reams_per_min": FAST, "buffer_reams": 3},
        stop=[after_each_ream("outfeed")],
    )
    means = (1.0, wrap_s / MEAN_S, 1.0)
    with Runner(SETTINGS) as runner:
        found = size_buffers(
            scenario,
            runner,
            {"bridge": [3], "outfeed": [3]},
            refine=False,
            split=SumToSplit(total_places=6),
        )
    split = found.split
    assert split is not None
    truth = {way.places: exponential_line(way.places, means) for way in split.ways}
    assert [way.places for way in split.ways] == [(n, 6 - n) for n in range(1, 7)]
    for way in split.ways:
        assert agrees(rate(way.reams_per_week), truth[way.places]), way.places
    # The chain's best is the study's, or not told from it; and what is told falls short as there.
    most = max(truth, key=lambda places: truth[places])
    assert most in {way.places for way in split.alike}
    for way, short in zip(split.ways, split.short, strict=True):
        if short is not None and short.shown:
            gap = truth[split.best.places] - truth[way.places]
            assert agrees_about(rate(short.interval), gap)
    assert most == (3, 3)


def agrees_about(found: Interval, truth: float) -> bool:
    error = found.half_width / float(stats.t.ppf((1 + found.level) / 2, found.n - 1))
    return abs(found.mean - truth) <= 4 * error


def test_the_chain_has_the_even_split_and_the_bowl() -> None:
    """Hillier and Boling (1966), from memory: of a given sum of work three stations alike do less
    than with a little less of it in the middle; too little is worse again."""
    splits = [exponential_line((n, 6 - n)) for n in range(7)]
    assert splits == pytest.approx(splits[::-1])
    assert all(a < b for a, b in pairwise(splits[:4]))
    alike, bowl, deep = (
        exponential_line((0, 0), (1 + less / 2, 1 - less, 1 + less / 2)) for less in (0, 0.07, 0.4)
    )
    assert bowl > alike > deep
