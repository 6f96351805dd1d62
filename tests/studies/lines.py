"""Small lines for studies: quick to run, and one that is what the textbook takes a line for."""

from __future__ import annotations

from typing import Any

from linesim.scenario import Scenario, check_mapping

# Reels change without a standstill and nothing is lost at a start, so that the two stop causes
# alone remain.
_NO_EFFECT: dict[str, Any] = {
    "unwind": {
        "webs": 1,
        "stands_per_web": 2,
        "change": "flying_splice",
        "prepare_min": 0,
        "prepare_people": 0,
        "splice_min": 0,
        "splice_speed_m_per_min": 250,
        "splice_length_m": 0,
        "stand_limit_kg": 20000,
        "butt_length_m": 0,
    },
    "slitter": {"lanes": 1},
    "product": {"sheets_per_ream": 100},
    "cutter": {
        "web_speed_m_per_min": 250,
        "run_up_m_per_min_per_s": 0,
        "run_down_m_per_min_per_s": 0,
    },
    "transfer": {"pick_s": 0, "carry_s": 0, "place_s": 0, "return_s": 0},
    "overlap_belt": {"hold_cuts": 0},
    "crew": {"size": 4},
}


PRICED = {
    "contribution_per_ream": 0.5,
    "hours_per_year": 6000.0,
    "ream_place_cost": 1000.0,
    "wrapper_price": 400_000.0,
    "wrapper_cost_per_year": 30_000.0,
    "discount_rate": 0.08,
}


def textbook_line(places: int, *, wrapper_rate: float = 8.4) -> Scenario:
    """Two unreliable stations and a buffer: 8.418 reams a minute, exponential times."""
    return check_mapping(
        _NO_EFFECT
        | {
            "bridge": {"places": places, "belt_speed_m_per_min": 0},
            "wrapper": [{"name": "wrapper", "rate_reams_per_min": wrapper_rate}],
            "stop": [
                {
                    "cause": "sheeter fails",
                    "station": "cutter",
                    "every_running_h": {"law": "exponential", "mean": 0.25},
                    "restore_min": {"law": "exponential", "mean": 3},
                    "people": 0,
                },
                {
                    "cause": "wrapper fails",
                    "station": "wrapper",
                    "every_running_h": {"law": "exponential", "mean": 1 / 3},
                    "restore_min": {"law": "exponential", "mean": 2},
                    "people": 0,
                },
            ],
        }
    )


def with_outfeed(line: Scenario, rate: float, buffer: int) -> Scenario:
    """The same line before an outfeed that stops 3 minutes in every 18 of its work."""
    fails = {
        "cause": "outfeed fails",
        "station": "outfeed",
        "every_running_h": {"law": "exponential", "mean": 0.3},
        "restore_min": {"law": "exponential", "mean": 3},
        "people": 0,
    }
    outfeed = {"rate_reams_per_min": rate, "buffer_reams": buffer}
    stops = [stop.model_dump(exclude_unset=True) for stop in line.stop]
    return line.varied(outfeed=outfeed, stop=[*stops, fails])


def quick_line(**money: Any) -> Scenario:
    """A plain line with a few stops, a small bridge and rolls to change.

    Each reel is changed by itself: small stops, so that a few runs tell variants apart.
    """
    return check_mapping(
        {
            "line": {"name": "quick"},
            "unwind": {"change_together_below_m": 0},
            "bridge": {"places": 20, "stop_at_reams": 16, "restart_at_reams": 8},
            "wrapper": [{"name": "wrapper", "rate_reams_per_min": 45, "roll_length_m": 3000}],
            "stop": [
                {"cause": "wrapper jam"},
                {"cause": "controls"},
                {
                    "cause": "long free stop",
                    "station": "wrapper",
                    "people": 0,
                    "every_clock_h": {"law": "exponential", "mean": 2},
                    "restore_min": {"law": "exponential", "mean": 2},
                },
            ],
            "money": money,
        }
    )
