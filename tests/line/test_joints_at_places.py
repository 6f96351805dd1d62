"""Joints of the mill whose places are known."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record.web_stops import reel_loads
from tests.line.calm_line import CUT_M, METRE, REEL_M, SPEED_M_PER_S, one_web, spans_of, stops_of

BREAKS = {
    "break_chance_at_joint": 1,
    "rethread_held_min": 2,
    "rethread_lost_min": 2,
    "rethread_people": 0,
}


def test_a_joint_leaves_every_reel_at_its_place() -> None:
    """At 1,000 m and 5,000 m of each reel of 7,775.44 m, at 4 m/s, 120 s for each break: they part
    at 250 s, 1,370 s; the reel ends at 2,183.86 s, is changed in 60 s, and its next at 2,493.86 s.
    """
    line = one_web(
        reels={"mill_joints_at_m": [5000, 1000]},
        web_path=BREAKS,
        unwind={"change_min": 1},
        gate={"cuts_per_joint": 6},
    )
    record = simulate(line, hours=1)
    broken = [s[0] for s in spans_of(record, "web_path") if s[3] == "web break"]
    lap_s = REEL_M / SPEED_M_PER_S + 240 + 60
    assert broken == pytest.approx([250, 1370, lap_s + 250, lap_s + 1370][: len(broken)], abs=1e-3)
    assert len(broken) == 3
    assert stops_of(record, "unwind", "reel change")[0] == 1


def test_a_joint_known_on_a_part_reel_is_where_it_was() -> None:
    """Two webs, staggered: the first has half a reel left, its joint at 1,000 m is gone, that at
    5,000 m comes after 5,000 - 3,887.72 m; the second's comes at 1,000 m."""
    line = one_web(
        reels={"mill_joints_at_m": [1000, 5000], "at_start": "staggered"},
        web_path=BREAKS,
        unwind={"webs": 2},
        product={"sheets_per_ream": 200},
    )
    record = simulate(line, hours=0.2)
    broken = [s[0] for s in spans_of(record, "web_path") if s[3] == "web break"]
    at_s = [1000 / SPEED_M_PER_S, (5000 - REEL_M / 2) / SPEED_M_PER_S + 120]
    assert broken == pytest.approx(at_s, abs=1e-3)


def test_joints_that_a_short_reel_does_not_reach_are_not_in_it() -> None:
    """A metre before the end of a nominal reel: only those that are longer have that joint."""
    line = one_web(
        reels={"mill_joints_at_m": [100, REEL_M - 1], "diameter_sd_mm": 20},
        gate={"cuts_per_joint": 6},
        unwind={"change_min": 0},
    )
    record = simulate(line, hours=10)
    assert record.history is not None
    lengths = [int(each) for each in record.history.reel_left_um if each > 0]
    assert len(lengths) > 10
    long = sum(each > (REEL_M - 1) * METRE for each in lengths[:-1])
    assert 0 < long < len(lengths) - 1
    joints = record.books.paper.rejected["joint"] / (6 * round(CUT_M * METRE))
    assert joints == len(lengths) + long, "the reel in use has run beyond 100 m, not to its end"


def test_rates_know_how_many_there_are() -> None:
    """Two joints in a reel that break their web: two breaks a reel, one below its end counts."""
    line = one_web(reels={"mill_joints_at_m": [1000, 5000]}, web_path=BREAKS)
    breaks = next(each for each in reel_loads(line, 240) if each.cause == "web break")
    assert breaks.stops_per_running_min == pytest.approx(2 * 240 / REEL_M)
