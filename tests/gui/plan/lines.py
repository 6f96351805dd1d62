"""Runs to draw: every demo for a while, and a line larger than any that is built."""

from __future__ import annotations

from functools import cache

import linesim

DEMOS = tuple(linesim.scenario.shipped_scenarios())
HUGE, SPARES = "huge", "spares"


def huge():
    """Twenty webs, sixteen lanes, eight wrappers, a bridge for two thousand reams."""
    wrappers = [{"name": f"wrapper {n}", "rate_reams_per_min": 12} for n in range(1, 9)]
    return linesim.scenario.check_mapping(
        {
            "unwind": {
                "webs": 20,
                "stands_per_web": 2,
                "change": "standstill_splice",
                "stand_limit_kg": 6000,
            },
            "slitter": {"lanes": 16},
            "bridge": {"places": 2000, "tracks": 2, "slow_at_reams": 1500},
            "wrapper": wrappers,
            "rework": {"places": 30},
            "outfeed": {"rate_reams_per_min": 90},
        }
    )


def spares():
    """Five webs, two spare stands, and two trucks that bring reels to places beside the line."""
    return linesim.scenario.check_mapping(
        {
            "unwind": {"change": "standstill_splice", "spare_stands": 2},
            "reel_truck": {"trucks": 2, "places": 3},
        }
    )


@cache
def run(name: str, hours: float = 2.0) -> linesim.record.Record:
    """Some hours of a demo line, or of the huge one."""
    made = {HUGE: huge, SPARES: spares}.get(name)
    scenario = made() if made else linesim.scenario.load(linesim.scenario.find_scenario(name))
    return linesim.fast.simulate(scenario, seed=1, hours=hours)
