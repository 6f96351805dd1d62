"""The ramp by hand is one of what rank-stops takes away."""

from __future__ import annotations

import pytest

from linesim.record.states import HAND_RAMP
from linesim.studies.changes import WEB_BREAKS, causes_of, without_cause
from linesim.studies.rank_stops import rank_stops
from linesim.studies.runner import Runner, Settings
from tests.line.calm_line import calm

BREAKS = {"breaks_per_100_reels": 100, "rethread_held_min": 3, "rethread_lost_min": 3}
STEPS = {"hand_ramp_fractions": [0.25, 0.5], "hand_ramp_min": [1, 2]}


def test_without_it_the_line_is_the_one_that_has_none() -> None:
    line = calm(cutter=STEPS | {"hand_ramp_after_min": 5}, web_path=BREAKS)
    assert HAND_RAMP in causes_of(line)
    assert HAND_RAMP not in causes_of(calm(web_path=BREAKS))
    bare = without_cause(line, HAND_RAMP)
    assert bare.cutter == without_cause(calm(web_path=BREAKS), WEB_BREAKS).cutter


def test_it_costs_what_it_loses() -> None:
    """A ramp of 3 minutes loses 105 s of rated speed: 56 reams of 32 a minute.

    The knives hold the line, and nothing else takes time. Now and then a ramp is broken off: that
    moves the figure by a few per cent, since the first step loses more than the second.
    """
    quick = {"rethread_held_min": 0, "rethread_lost_min": 0}
    line = calm(cutter=STEPS, web_path=BREAKS | quick, unwind={"change_min": 0})
    with Runner(Settings(hours=24, replications=3, seed=3, processes=1)) as runner:
        found = rank_stops(line, runner)
    cost = next(each for each in found.causes if each.cause == HAND_RAMP)
    reams = cost.reams_gained.interval.mean
    assert reams == pytest.approx(cost.minutes.mean / 3 * 56, rel=0.06)
