"""Lines on which the program and the reference line are held against each other."""

from __future__ import annotations

from typing import Any

from tests.reference.parts import (
    BELT,
    BY_HAND,
    CHANGE,
    GATE,
    JAM,
    KNIVES,
    LONG_JAM,
    PATH,
    RAMPS,
    REELS,
    SLOW,
    SPARES,
    SPLICE,
    TWO,
    stop,
)

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
    "slower the fuller the bridge": {
        "bridge": {"places": 60, "slow_at_reams": 20, "stop_at_reams": 52, "slow_to_fraction": 0.31}
        | {"slowing": "in_proportion"},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "slower to the end of the bridge, at once in speed": {
        "bridge": {"places": 30, "slow_at_reams": 7, "slowing": "in_proportion"},
        "cutter": {"run_up_m_per_min_per_s": 0, "run_down_m_per_min_per_s": 0},
        "stop": [JAM],
        "wrapper": TWO,
    },
    "brought up by hand after breaks": {
        "cutter": RAMPS | BY_HAND,
        "web_path": PATH | {"breaks_per_100_reels": 61},
        "reels": REELS | {"at_start": "random"},
    },
    "by hand after long stops, with rejects, down to a splice": {
        "cutter": RAMPS | BY_HAND | {"hand_ramp_after_min": 1.9, "hand_ramp_rejects": True},
        "unwind": SPLICE | {"change": "flying_splice", "splice_speed_m_per_min": 120},
        "stop": [KNIVES],
        "overlap_belt": BELT,
        "gate": GATE,
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
    "cartons, and blanks filled in time or not": {
        "bridge": {"places": 40},
        "crew": {"size": 1},
        "carton_packer": {
            "rate_cartons_per_min": 8.1713,
            "conveyor_reams": 7,
            "magazine_blanks": 60,
            "refill_at_blanks": 10,
            "refill_min": {"law": "lognormal", "mean": 1.5, "sd": 0.9},
            "spoiled_per_10000": 300,
        },
        "stop": [JAM, stop("carton_packer", 1.1, every_reams=700)],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "two carton packers that share a conveyor": {
        "bridge": {"places": 40},
        "crew": {"size": 1},
        "carton_packer": [
            {
                "name": "near",
                "rate_cartons_per_min": 4.1713,
                "conveyor_reams": 3,
                "magazine_blanks": 50,
                "refill_at_blanks": 10,
                "refill_min": {"law": "lognormal", "mean": 1.5, "sd": 0.9},
            },
            {
                "name": "far",
                "rate_cartons_per_min": 5.0379,
                "conveyor_reams": 4,
                "magazine_blanks": 60,
                "refill_at_blanks": 5,
                "spoiled_per_10000": 300,
            },
        ],
        "palletiser": {
            "rate_cartons_per_min": 9.173,
            "belt_cartons": 1,
            "change_s": {"law": "lognormal", "mean": 40, "sd": 20},
        },
        "stop": [
            JAM,
            stop("carton_packer", 1.1, every_running_h=0.713),
            stop("far", 2.1, every_reams=400) | {"cause": "tape"},
        ],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "a grade and a size that slow it": {
        "bridge": {"places": 40},
        "grade": [
            {"name": "thin", "web_speed_m_per_min": 213.7, "breaks_per_100_reels": 90},
            {"name": "other", "web_speed_m_per_min": 100},
        ],
        "size": [
            {"name": "small", "web_speed_m_per_min": 230, "wrapper_rate_reams_per_min": 33.713},
            {"name": "large", "wrapper_rate_reams_per_min": 5},
        ],
        "product": {"grade": "thin", "size": "small"},
        "web_path": PATH | {"breaks_per_100_reels": 40, "rethread_people": 1},
        "cutter": RAMPS,
        "stop": [JAM, KNIVES],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "a size that slows the carton packer": {
        "bridge": {"places": 40},
        "size": [{"name": "small", "packer_rate_cartons_per_min": 5.9713}],
        "product": {"size": "small"},
        "carton_packer": {"rate_cartons_per_min": 9.1713, "conveyor_reams": 7},
        "stop": [JAM, stop("carton_packer", 1.1, every_reams=700)],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "pallets that wait for a truck": {
        "bridge": {"places": 40},
        "outfeed": {"rate_reams_per_min": 44.713, "buffer_reams": 3},
        "carton_packer": {"rate_cartons_per_min": 8.9713, "conveyor_reams": 4},
        "palletiser": {
            "rate_cartons_per_min": 12.173,
            "belt_cartons": 3,
            "layer_sheet_s": 4.3,
            "change_s": {"law": "lognormal", "mean": 40, "sd": 20},
            "full_pallet_places": 1,
            "truck_every_min": {"law": "exponential", "mean": 17.3},
        },
        "stop": [JAM, stop("palletiser", 2.1, every_running_h=0.313)],
        "wrapper": [{"rate_reams_per_min": 40.37}],
    },
    "pallets that people change and fetch": {
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "unwind": SPLICE,
        "carton_packer": {"rate_cartons_per_min": 8.9713, "conveyor_reams": 40},
        "palletiser": {
            "rate_cartons_per_min": 12.173,
            "belt_cartons": 3,
            "change_people": 1,
            "full_pallet_places": 1,
            "fetch_min": {"law": "lognormal", "mean": 2.9, "sd": 1},
        },
        "stop": [JAM],
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
    "fewer spare stands than webs, and spliced as they stand": {
        "unwind": SPARES | {"spare_stands": 2, "change_together_below_m": 700},
        "crew": {"size": 1},
    },
    "a spare stand for five webs, spliced as they run, and webs that break": {
        "unwind": SPARES
        | {"spare_stands": 1, "change": "flying_splice", "splice_speed_m_per_min": 120},
        "web_path": PATH | {"breaks_per_100_reels": 60},
        "crew": {"size": 2},
        "stop": [KNIVES | {"spoils_web_m": 900}],
    },
    "one truck, whose driver changes the reels as well": {
        "unwind": CHANGE | {"change_together_below_m": 1500},
        "reel_truck": {"reel_min": 4.7, "people": 1},
        "crew": {"size": 1},
        "stop": [JAM],
    },
    "one truck for pairs of stands, late at times": {
        "unwind": SPLICE | {"prepare_min": 5.3},
        "reel_truck": {
            "reel_min": {"law": "lognormal", "mean": 5, "sd": 2},
            "stops_per_100_reels": 20,
        },
        "crew": {"size": 1},
    },
    "reels ordered ahead to two places, for spare stands": {
        "unwind": SPARES
        | {"spare_stands": 1, "change": "flying_splice", "splice_speed_m_per_min": 120},
        "reel_truck": {"reel_min": 4.7, "people": 1, "places": 2, "order_below_m": 900},
        "web_path": PATH | {"breaks_per_100_reels": 60},
        "crew": {"size": 2},
        "stop": [JAM],
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
    "reams spoiled by chance, and some not saved": {
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "rework": {"places": 3, "rewrap_min": 1.7, "people": 1, "good_chance": 0.6},
        "stop": [JAM],
        "wrapper": [{"rate_reams_per_min": 40.37, "spoiled_per_10000": 400}],
    },
    "shifts with the night between": {
        "line": {"shift_hours": 1.7},
        "calendar": {"shifts_per_day": 1},
        "holiday": [{"name": "feast", "day": 2}],
        "crew": {"size": 1},
        "stop": [JAM, KNIVES],
        "hours": 50,
    },
    "work handed over to the next shift": {
        "line": {"shift_hours": 1.3},
        "calendar": {"shifts_per_day": 1, "days_per_week": 6},
        "hours": 50,
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "stop": [LONG_JAM, KNIVES | {"restore_min": 31.1}],
        "unwind": SPLICE,
    },
    "work finished after the shift": {
        "line": {"shift_hours": 1.3},
        "calendar": {"shifts_per_day": 1},
        "hours": 50,
        "bridge": {"places": 24},
        "crew": {"size": 1, "work_at_shift_end": "finished"},
        "stop": [LONG_JAM, KNIVES | {"restore_min": 31.1}],
        "unwind": SPLICE,
    },
    "people who can do this and people who can do that": {
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "crew_group": [
            {"name": "wrapping", "number": 1, "can": "wrapper, rework, rolls"},
            {"name": "reels", "number": 2, "can": "reels, prepare, knives, transfer"},
        ],
        "unwind": SPLICE | {"splice_people": 2},
        "rework": {"places": 10, "rewrap_min": 3.5, "people": 1},
        "stop": [LONG_JAM | {"spoils_reams": 3}, KNIVES, stop("transfer", 1.1, every_reams=400)],
        "wrapper": TWO,
    },
    "people walk, the nearest first": {
        "bridge": {"places": 24},
        "crew": {"size": 2, "walk_m_per_s": 0.9},
        "station_place": [
            {"name": "cutter", "at_m": 17.3},
            {"name": "wrapper", "at_m": 48.1},
            {"name": "b", "at_m": 53.9},
            {"name": "rework", "at_m": 61.7},
        ],
        "unwind": SPLICE | {"splice_people": 2},
        "rework": {"places": 10, "rewrap_min": 3.5, "people": 1},
        "stop": [LONG_JAM | {"spoils_reams": 3}, KNIVES, stop("transfer", 1.1, every_reams=400)],
        "wrapper": TWO,
    },
    "two by night and three by day": {
        "line": {"shift_hours": 1.3},
        "calendar": {"shifts_per_day": 3},
        "bridge": {"places": 24},
        "crew": {"size": 0},
        "crew_group": [
            {"name": "day", "number": 3, "last_shift": 1},
            {"name": "fitter", "number": 1, "first_shift": 2, "can": "jam, knives"},
            {"name": "night", "number": 1, "first_shift": 2, "last_day": 2},
            {"name": "weekend", "number": 1, "first_shift": 2, "first_day": 3},
        ],
        "hours": 53,
        "stop": [LONG_JAM, KNIVES | {"restore_min": 31.1, "people": 1}],
        "unwind": SPLICE,
    },
    "who goes finishes first, planned work takes who is there": {
        "line": {"shift_hours": 1.5},
        "bridge": {"places": 24},
        "crew": {"size": 1, "work_at_shift_end": "finished"},
        "crew_group": [
            {"name": "odd", "number": 2, "first_shift": 2, "last_shift": 3, "can": "unwind"},
            {"name": "all", "number": 1, "first_shift": 3, "last_shift": 7},
        ],
        "planned_work": [
            {"name": "cleaning", "start_h": 0.57, "minutes": 11.3, "every_h": 0.71, "people": 2}
        ],
        "hours": 11,
        "stop": [LONG_JAM, KNIVES | {"restore_min": 31.1}],
        "unwind": SPLICE,
    },
    "planned work that takes people, and breaks": {
        "break_": [
            {"start_h": 0.93, "minutes": 15},
            {"start_h": 2.31, "minutes": 30, "line": "relieved"},
        ],
        "planned_work": [
            {"name": "cleaning", "start_h": 0.57, "minutes": 11.3, "every_h": 0.71, "people": 2}
        ],
        "bridge": {"places": 24, "belt_speed_m_per_min": 20},
        "crew": {"size": 2},
        "stop": [LONG_JAM | {"people": 2}, KNIVES],
        "unwind": SPLICE,
    },
    "two people, and nothing is laid down": {
        "bridge": {"places": 24},
        "crew": {"size": 2, "lay_work_down": False, "priority_prepare": 1, "priority_rework": 2},
        "rework": {"places": 10, "rewrap_min": 3.1, "people": 1},
        "unwind": SPLICE | {"prepare_people": 2},
        "stop": [JAM | {"spoils_reams": 2}, KNIVES | {"people": 2}],
    },
    "the first comes last": {
        "bridge": {"places": 24},
        "crew": {"size": 2, "priority_standing_line": 4, "priority_standing_wrapper": 1},
        "rework": {"places": 10, "rewrap_min": 3.1, "people": 1},
        "unwind": SPLICE | {"prepare_people": 2},
        "stop": [JAM | {"spoils_reams": 2, "priority": 6}, KNIVES | {"people": 2}],
    },
    "rolls that are spliced, and splices that fail": {
        "bridge": {"places": 24},
        "crew": {"size": 1},
        "stop": [JAM],
        "wrapper": [
            {"name": name, "rate_reams_per_min": rate, "roll_length_m": 90}
            | {"roll_change": "splice", "roll_splice_fail_chance": 0.5, "roll_change_min": 2.3}
            for name, rate in (("a", 17.31), ("b", 19.73))
        ],
    },
    "three wrappers in turn, and no room behind them": {
        "bridge": {"places": 24, "belt_speed_m_per_min": 20},
        "divert": {"rule": "in_turn"},
        "outfeed": {"rate_reams_per_min": 36.713, "buffer_reams": 0},
        "stop": [JAM, stop("outfeed", 1.1, every_running_h=0.217)],
        "wrapper": [
            {"name": name, "rate_reams_per_min": rate}
            for name, rate in (("a", 14.31), ("b", 15.73), ("c", 12.17))
        ],
    },
    "three wrappers, two of them on standby": {
        "bridge": {"places": 24, "belt_speed_m_per_min": 20},
        "divert": {"rule": "hot_standby"},
        "outfeed": {"rate_reams_per_min": 36.713, "buffer_reams": 3},
        "stop": [JAM | {"station": "a"}, JAM | {"station": "b", "every_reams": 41}],
        "wrapper": [
            {"name": name, "rate_reams_per_min": rate}
            for name, rate in (("a", 34.31), ("b", 25.73), ("c", 22.17))
        ],
    },
    "a full bridge, and reams set aside": {
        "bridge": {"places": 20, "when_full": "set_aside"},
        "crew": {"size": 1},
        "stop": [LONG_JAM],
        "wrapper": SLOW,
    },
    "since it last happened": {
        "stop": [
            KNIVES | {"since_last": 1.7},
            stop("transfer", 1.1, every_reams=400) | {"since_last": 333},
            {"cause": "slack", "station": "web_path", "per_web": True, "restore_min": 0.9}
            | {"every_running_h": {"law": "weibull", "mean": 0.7, "shape": 3}, "since_last": 0.3},
        ],
    },
    "parts changed by plan or when they fail": {
        "stop": [
            KNIVES
            | {"every_web_km": {"law": "weibull", "mean": 4.1, "shape": 3}, "spoils_web_m": 30}
            | {"changed_every": 3.3, "change_min": 1.1, "change_people": 2},
            stop("transfer", 3.1, every_reams={"law": "weibull", "mean": 431, "shape": 2})
            | {"changed_every": 397.4, "change_min": 0.7, "since_last": 123},
            JAM
            | {"every_reams": {"law": "lognormal", "mean": 163, "sd": 60}, "spoils_reams": 3}
            | {"changed_every": 151, "change_min": {"law": "exponential", "mean": 0.3}},
            stop("wrapper", 2.7, every_running_h={"law": "gamma", "mean": 0.33, "sd": 0.1})
            | {"changed_every": 0.31, "change_min": 0.9, "spoils_reams": 2},
            {"cause": "belt", "station": "bridge", "people": 1, "restore_min": 4.7}
            | {"every_clock_h": {"law": "uniform", "low": 0.2, "high": 0.9}}
            | {"changed_every": 0.61, "change_min": 1.3, "people": 0},
        ],
    },
    "breaks, splices that fail, joints": {
        "reels": REELS | {"mill_joints_per_reel": 2, "diameter_sd_mm": 20},
        "unwind": SPLICE
        | {"change": "flying_splice", "splice_speed_m_per_min": 120, "splice_fail_chance": 0.3},
        "web_path": PATH
        | {"breaks_per_100_reels": 40, "speed_exponent": 2, "break_chance_at_joint": 0.3}
        | {"break_chance_at_splice": 0.2, "break_chance_at_restart": 0.02},
        "gate": GATE | {"cuts_per_joint": 9},
        "crew": {"size": 2},
        "stop": [JAM],
    },
}
