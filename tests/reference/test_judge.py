"""The line against one written apart from it: on the same luck they agree set by set."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.scenario import load, shipped_scenarios
from tests.line.calm_line import calm
from tests.reference.compared import compared
from tests.reference.line import ReferenceLine
from tests.reference.luck import Luck

HOURS = 4
RAMPS = {"web_speed_m_per_min": 250, "run_up_m_per_min_per_s": 15, "run_down_m_per_min_per_s": 30}
GATE = {"cuts_after_stop": 15, "cuts_per_splice": 12}
BELT = {"hold_cuts": 80}
JAM = {"cause": "jam", "station": "wrapper", "every_reams": 137, "restore_min": 1.3, "people": 1}
LONG_JAM = JAM | {"every_reams": 217, "restore_min": 4.3}
KNIVES = {
    "cause": "knives",
    "station": "cutter",
    "every_web_km": 3.1,
    "restore_min": 2.2,
    "people": 1,
    "spoils_cuts": 7,
}
REELS = {"diameter_mm": 900, "at_start": "staggered"}
PATH = {"path_length_m": 20}
SPLICE = {
    "change": "standstill_splice",
    "stands_per_web": 2,
    "splice_min": 0.9,
    "prepare_min": 9,
    "prepare_people": 1,
    "butt_length_m": 25,
}
CHANGE = {"change_min": 6, "change_people": 1, "butt_length_m": 25}
SLOW = [{"rate_reams_per_min": 36}]
TWO = [{"name": "a", "rate_reams_per_min": 20.13}, {"name": "b", "rate_reams_per_min": 23.317}]


def stop(station: str, minutes: float, **meter: float) -> dict[str, Any]:
    return {"cause": "fault", "station": station, "restore_min": minutes, "people": 1} | meter


# Where no intervals, times and speeds have a common measure, no two things fall into one moment.
LINES: dict[str, dict[str, Any]] = {
    "kilometres": {"stop": [KNIVES]},
    "running hours": {"stop": [stop("cutter", 2.2, every_running_h=0.21)]},
    "cuts and reams": {
        "stop": [
            stop("cutter", 2.2, every_cuts=7777),
            stop("pockets", 0.7, every_reams=333) | {"cause": "jogger"},
        ]
    },
    "clock": {"stop": [stop("bridge", 2.2, every_clock_h=0.31)]},
    "full bridge": {"bridge": {"places": 20}, "stop": [LONG_JAM], "wrapper": SLOW},
    "little room on the belt": {
        "overlap_belt": {"hold_cuts": 30},
        "bridge": {"places": 20},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "no fingers": {
        "pockets": {"interim_fingers": False},
        "bridge": {"places": 20},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "travel": {
        "bridge": {"length_m": 9, "places": None, "belt_speed_m_per_min": 20},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "levels": {
        "bridge": {"places": 40, "slow_at_reams": 20, "stop_at_reams": 32, "restart_at_reams": 10},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "catch-up": {
        "bridge": {"places": 40, "catch_up_at_reams": 12, "catch_up_factor": 1.2},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "rolls": {
        "bridge": {"places": 40},
        "crew": {"size": 1},
        "stop": [JAM],
        "wrapper": [{"rate_reams_per_min": 40.37, "roll_length_m": 200, "roll_change_min": 3}],
    },
    "nearest free": {"bridge": {"places": 40}, "crew": {"size": 1}, "stop": [JAM], "wrapper": TWO},
    "in turn": {
        "bridge": {"places": 40},
        "divert": {"rule": "in_turn"},
        "stop": [JAM],
        "wrapper": TWO,
    },
    "second above a level": {
        "bridge": {"places": 40},
        "divert": {"rule": "second_above_level", "second_at_reams": 12},
        "stop": [JAM],
        "wrapper": TWO,
    },
    "hot standby": {
        "bridge": {"places": 40},
        "divert": {"rule": "hot_standby"},
        "stop": [JAM],
        "wrapper": [{"name": "a", "rate_reams_per_min": 36}, TWO[1]],
    },
    "outfeed": {
        "bridge": {"places": 40},
        "outfeed": {"rate_reams_per_min": 38.713, "buffer_reams": 7},
        "stop": [JAM, stop("outfeed", 2.1, every_reams=300)],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "transfer": {
        "stop": [
            stop("transfer", 2.1, every_running_h=0.1313),
            stop("transfer", 1.1, every_reams=400) | {"cause": "gripper"},
        ]
    },
    "a slower transfer": {
        "transfer": {"carry_s": 3.13, "return_s": 6.37},
        "overlap_belt": {"hold_cuts": 30},
        "stop": [stop("transfer", 2.1, every_running_h=0.1313), KNIVES],
    },
    "a slower transfer, and no fingers": {
        "transfer": {"carry_s": 3.13, "return_s": 6.37},
        "pockets": {"interim_fingers": False},
        "overlap_belt": {"hold_cuts": 4},
        "bridge": {"places": 20},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "a slower transfer that paces nobody": {
        "transfer": {"carry_s": 3.13, "return_s": 6.37, "paces_webs": False},
        "stop": [KNIVES],
    },
    "belt of the bridge": {
        "bridge": {"length_m": 9, "places": None, "belt_speed_m_per_min": 20},
        "stop": [stop("bridge", 2.1, every_running_h=0.33)],
    },
    "standing change": {"unwind": CHANGE, "crew": {"size": 1}},
    "changed together": {
        "unwind": CHANGE | {"change_together_below_m": 1500},
        "crew": {"size": 2},
    },
    "standstill splice": {"unwind": SPLICE, "crew": {"size": 1}},
    "stands not prepared in time": {"unwind": SPLICE | {"prepare_min": 30}, "crew": {"size": 1}},
    "flying splice": {
        "unwind": SPLICE | {"change": "flying_splice", "splice_speed_m_per_min": 120},
        "crew": {"size": 1},
    },
    "breaks of the crew": {
        "break_": [{"start_h": 0.9, "minutes": 15}, {"start_h": 2.3, "minutes": 30}],
        "crew": {"size": 1},
        "stop": [JAM],
    },
    "short of people": {
        "bridge": {"places": 24},
        "unwind": SPLICE,
        "crew": {"size": 1},
        "stop": [JAM, KNIVES, stop("transfer", 1.1, every_reams=400)],
    },
    "reams spoiled by a jam": {
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "stop": [JAM | {"spoils_reams": 3}],
        "rework": {"places": 10, "rewrap_min": 1.5, "people": 1},
    },
}
USUAL: dict[str, Any] = {
    "cutter": RAMPS,
    "gate": GATE,
    "overlap_belt": BELT,
    "reels": REELS,
    "web_path": PATH,
}


@pytest.mark.parametrize("what", LINES)
def test_the_line_is_the_one_described(what: str) -> None:
    found = compared(calm(**USUAL | LINES[what]), HOURS)
    assert found.first_different == ""
    assert found.sets > 300


@pytest.mark.parametrize("name", ["short-bridge", "slow-wrapper", "small-crew", "two-wrappers"])
def test_the_demo_lines_are_the_ones_described(name: str) -> None:
    # Drawing the state that a run is met in is the program's own affair: here all is new.
    found = compared(load(shipped_scenarios()[name]).varied(start={"state": "new"}), HOURS)
    assert found.first_different == ""


def test_on_luck_of_its_own_it_makes_as_much() -> None:
    """The draws are judged, too: laws, chances and reels are drawn by numpy's own generators."""
    line = load(shipped_scenarios()["small-crew"]).varied(start={"state": "new"})
    theirs = np.array([ReferenceLine(line, Luck(7, n)).run(24).good for n in range(8)])
    ours = np.array(
        [
            simulate(line, hours=24, seed=7, replication=n, history=False).books.reams.good
            for n in range(24)
        ]
    )
    error = math.hypot(*(each.std(ddof=1) / math.sqrt(len(each)) for each in (ours, theirs)))
    assert error < 0.02 * ours.mean()
    assert abs(theirs.mean() - ours.mean()) < 4 * error
