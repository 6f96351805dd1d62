"""Lines on which something rare happens, for program and reference line."""

from __future__ import annotations

from typing import Any

from tests.reference.parts import (
    CHANGE,
    GATE,
    JAM,
    KNIVES,
    LONG_JAM,
    PATH,
    RAMPS,
    REELS,
    SPLICE,
    stop,
)

AT_ONCE = {"web_speed_m_per_min": 250, "run_up_m_per_min_per_s": 0, "run_down_m_per_min_per_s": 0}
NO_FINGERS = {
    "cutter": AT_ONCE,
    "pockets": {"interim_fingers": False},
    "overlap_belt": {"hold_cuts": 0},
}
FLYING = SPLICE | {"change": "flying_splice", "splice_speed_m_per_min": 120}
CRASH = {"cause": "crash", "station": "web_path", "restore_min": 3.3, "people": 0}
IN_TURN = [
    {"name": "a", "rate_reams_per_min": 23.317},
    {"name": "b", "rate_reams_per_min": 14.13},
]
CLEANING = {"name": "cleaning", "start_h": 0.5003, "minutes": 20, "every_h": 1.7}

# What is rare, on a line on which it happens and for as long as it takes to: hours, tables.
RARE: dict[str, tuple[float, dict[str, Any]]] = {
    "a set put down on a belt that stands travels as long as one on a belt that moves": (
        3.5,
        {
            "transfer": {"pick_s": 0.5, "carry_s": 0.5, "place_s": 4.7, "return_s": 0.5},
            "bridge": {"places": 40, "belt_speed_m_per_min": 20},
            "planned_work": [CLEANING],
            "stop": [stop("bridge", 20.3, every_clock_h=0.6131) | {"people": 0}],
        },
    ),
    "bad reels break oftener, changed together and spliced": (
        3,
        {
            "reels": REELS | {"diameter_sd_mm": 20, "bad_share": 0.3, "bad_breaks_factor": 8},
            "web_path": PATH | {"breaks_per_100_reels": 90, "speed_exponent": 1.7},
            "unwind": CHANGE | {"change_together_below_m": 700},
        },
    ),
    "bad reels behind flying splices": (
        3,
        {
            "reels": REELS | {"bad_share": 0.4, "bad_breaks_factor": 20},
            "web_path": PATH | {"breaks_per_100_reels": 60, "break_chance_at_splice": 0.1},
            "unwind": FLYING,
        },
    ),
    "joints at places that are known": (
        2,
        {
            "reels": REELS | {"mill_joints_at_m": [310.7, 1733.1, 4321.9], "diameter_sd_mm": 20},
            "web_path": PATH | {"break_chance_at_joint": 0.6, "breaks_per_100_reels": 60},
            "gate": GATE | {"cuts_per_joint": 9},
        },
    ),
    "a joint in paper that a stop has spoiled is thrown away with it": (
        2,
        {
            "reels": REELS | {"mill_joints_per_reel": 4},
            "web_path": PATH | {"break_chance_at_joint": 1},
            "stop": [KNIVES | {"spoils_web_m": 700}],
        },
    ),
    "nobody foresees defects: the webs brake for a full belt as if all cuts were good": (
        0.5,
        {
            "cutter": RAMPS | {"run_up_m_per_min_per_s": 3},
            "transfer": {"carry_s": 3.13, "return_s": 6.37},
            "gate": {"defects_per_million_sheets": 2000},
            "overlap_belt": {"hold_cuts": 60},
            "bridge": {"places": 8},
            "wrapper": [{"rate_reams_per_min": 17.3}],
        },
    ),
    "nobody knows that a splice will not hold: its stand is prepared from the splice on": (
        3,
        {
            "unwind": SPLICE | {"splice_fail_chance": 1, "prepare_min": 31.7},
            "crew": {"size": 2},
        },
    ),
    "a reel spoiled while others are changed is changed as well, not when they are done": (
        4,
        {
            "unwind": SPLICE
            | {"splice_min": {"law": "uniform", "low": 0.5, "high": 20}}
            | {"prepare_people": 0, "prepare_min": 2.3},
            "stop": [CRASH | {"every_clock_h": 0.1003, "spoils_web_m": 9000}],
        },
    ),
    "a stop by reams comes with the set that is full, not after a restart": (
        0.2,
        NO_FINGERS | {"stop": [stop("pockets", 1.7, every_reams=64)]},
    ),
    "a stop by cuts comes with the very cut after which the webs stand": (
        0.2,
        NO_FINGERS
        | {
            "stop": [stop("cutter", 1.7, every_cuts=445)],
            "transfer": {"paces_webs": False, "carry_s": 9},
        },
    ),
    "a pick that takes no time stops nothing": (0.1, NO_FINGERS | {"transfer": {"pick_s": 0}}),
    "whatever time a ream takes, above the level it takes less": (
        0.5,
        {
            "bridge": {"places": 40, "catch_up_at_reams": 12, "catch_up_factor": 1.3},
            "stop": [LONG_JAM],
            "wrapper": [{"wrap_s": {"law": "uniform", "low": 1.5, "high": 1.7}}],
        },
    ),
    "reams that idle wrappers take as they are put down are on no level, first set or later": (
        0.1,
        {
            "bridge": {"places": 40, "stop_at_reams": 4, "restart_at_reams": 0},
            "wrapper": [
                {"name": "a", "rate_reams_per_min": 50.13},
                {"name": "b", "rate_reams_per_min": 51.317},
            ],
        },
    ),
    "cuts with defects are rejected though a splice that was to be is lost in a break": (
        0.7,
        {
            "unwind": FLYING | {"splice_fail_chance": 0.5},
            "gate": GATE | {"cuts_per_splice": 60, "defects_per_million_sheets": 2000},
        },
    ),
    "a joint drawn into the machine in re-threading breaks its web when that runs again": (
        1,
        {
            "reels": REELS | {"mill_joints_per_reel": 50},
            "web_path": {"path_length_m": 100, "break_chance_at_restart": 0.3}
            | {"break_chance_at_joint": 0.1},
            "gate": GATE | {"cuts_per_joint": 9},
        },
    ),
    "a joint drawn into the machine in re-threading is there when the reel is replaced": (
        2.6,
        {
            "reels": REELS | {"mill_joints_per_reel": 40},
            "unwind": SPLICE | {"change_together_below_m": 3000},
            "gate": GATE | {"cuts_per_joint": 9},
            "web_path": {"path_length_m": 150, "breaks_per_100_reels": 1500},
        },
    ),
    "after a pause all go on at once: none has the other's turn": (
        2.6,
        {
            "bridge": {"places": 40},
            "divert": {"rule": "in_turn"},
            "planned_work": [CLEANING | {"start_h": 0.311, "minutes": 5, "every_h": 0.1371}],
            "stop": [JAM],
            "wrapper": IN_TURN,
        },
    ),
    "webs that start close before a flying splice do not go beyond its speed": (
        0.1,
        {
            "cutter": RAMPS | {"run_up_m_per_min_per_s": 0},
            "unwind": FLYING | {"splice_speed_m_per_min": 30, "butt_length_m": 1246},
        },
    ),
    "reams that wait before the wrapper are spoiled with it though the belt stands": (
        1,
        {
            "bridge": {"places": 40, "belt_speed_m_per_min": 20},
            "rework": {"places": 0},
            "stop": [
                JAM | {"every_reams": 11, "restore_min": 0.11, "people": 0, "spoils_reams": 4},
                stop("bridge", 0.37, every_clock_h={"law": "exponential", "mean": 0.0131})
                | {"people": 0},
            ],
            "wrapper": [{"rate_reams_per_min": 36.317}],
        },
    ),
    "a splice at speed that does not hold gives way at once, at the speed of splices": (
        1.5,
        {
            "cutter": RAMPS | {"run_up_m_per_min_per_s": 0},
            "unwind": FLYING | {"splice_length_m": 0, "splice_fail_chance": 0.5},
        },
    ),
}
