"""Parts of the lines on which program and reference line are held against each other."""

from __future__ import annotations

from typing import Any

RAMPS = {"web_speed_m_per_min": 250, "run_up_m_per_min_per_s": 15, "run_down_m_per_min_per_s": 30}
BY_HAND = {"hand_ramp_fractions": [0.31, 0.67], "hand_ramp_min": [1.43, 0.71]}
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
SPARES = SPLICE | {"stands_per_web": 1, "prepare_min": 7.3}
CHANGE = {"change_min": 6, "change_people": 1, "butt_length_m": 25}
SLOW = [{"rate_reams_per_min": 36}]
TWO = [{"name": "a", "rate_reams_per_min": 20.13}, {"name": "b", "rate_reams_per_min": 23.317}]
USUAL: dict[str, Any] = {
    "cutter": RAMPS,
    "gate": GATE,
    "overlap_belt": BELT,
    "reels": REELS,
    "web_path": PATH,
}


def stop(station: str, minutes: float, **meter: Any) -> dict[str, Any]:
    return {"cause": "fault", "station": station, "restore_min": minutes, "people": 1} | meter
