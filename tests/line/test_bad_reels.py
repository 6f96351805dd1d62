"""Good and bad reels: the same number of breaks over all reels, most of them in the bad ones."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.line.assembly import site_of
from linesim.line.chance import Chance
from linesim.line.joints import new_breaks
from linesim.line.reels import ReelStore
from linesim.record import Record
from tests.line.calm_line import METRE, REEL_M, SPEED_M_PER_S, one_web, spans_of
from tests.trust.runs_alike import history_digest, what_differs

BREAKS = {
    "breaks_per_100_reels": 200,
    "rethread_held_min": 1,
    "rethread_lost_min": 1,
    "rethread_people": 0,
}
SOME = {"bad_share": 0.5, "bad_breaks_factor": 3}


def line(web_path: dict[str, Any] | None = None, **reels: Any) -> Any:
    return one_web(reels=reels, web_path=BREAKS | (web_path or {}), unwind={"change_min": 1})


def broken_at_m(record: Record) -> list[float]:
    """Length run at each break; the webs run at one speed and stand for a minute each time."""
    found, stood_s = [], 0.0
    stops = [s for name in ("unwind", "web_path") for s in spans_of(record, name)]
    for start, end, _, cause, root in sorted(stops):
        if root is None and cause in ("web break", "reel change"):
            if cause == "web break":
                found.append((start - stood_s) * SPEED_M_PER_S)
            stood_s += end - start
    return found


@pytest.mark.parametrize("seed", range(6))
def test_a_break_comes_where_the_reels_bring_it(seed: int) -> None:
    """Half the reels bad, thrice as often: a good one breaks 1/2 as often as the mean, a bad one
    3/2. So the length of a mean reel to the k-th break is used up at 1/2 or 3/2 of what is run.
    """
    scenario = line(**SOME)
    chance = Chance(seed, 0)
    store = ReelStore(scenario, chance, 0)
    gaps = new_breaks(site_of(scenario, chance)).webs[0].gaps.source.more(40).array
    expected, at_m = [], 0.0
    left_m, k = float(gaps[0]) / METRE, 1
    for reel in range(3):
        pace = 1.5 if store.reel(reel, 100).bad else 0.5
        end_m = (reel + 1) * REEL_M
        while at_m + left_m / pace < end_m:
            at_m += left_m / pace
            expected.append(at_m)
            left_m, k = float(gaps[k]) / METRE, k + 1
        left_m -= (end_m - at_m) * pace
        at_m = end_m
    found = broken_at_m(simulate(scenario, hours=3 * REEL_M / SPEED_M_PER_S / 3600, seed=seed))
    assert len(found) >= 1
    assert found == pytest.approx(expected[: len(found)], abs=1e-3)


def test_where_all_reels_are_bad_they_are_all_alike() -> None:
    """The mean over all reels is what is said: with nothing but bad ones it is theirs."""
    one, other = (
        simulate(line(**reels), hours=6, seed=3)
        for reels in ({}, {"bad_share": 1, "bad_breaks_factor": 8})
    )
    assert len(broken_at_m(one)) > 5
    assert what_differs(one, other) == []


def test_a_share_of_none_changes_nothing() -> None:
    plain, said = line(), line(bad_share=0, bad_breaks_factor=8)
    assert history_digest(simulate(plain, hours=6)) == history_digest(simulate(said, hours=6))


def test_variants_meet_the_same_bad_reels() -> None:
    """A larger share makes bad what was bad, and more; other joints or spreads change none."""

    def bad(**reels: Any) -> list[bool]:
        store = ReelStore(line(**reels), Chance(7, 2), 0)
        return [store.reel(k, 100).bad for k in range(300)]

    few, more = bad(bad_share=0.1), bad(bad_share=0.3)
    assert 10 < sum(few) < sum(more) < 130
    assert all(later for first, later in zip(few, more, strict=True) if first)
    assert bad(bad_share=0.1, mill_joints_per_reel=9, diameter_sd_mm=30) == few
