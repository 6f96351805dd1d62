"""Fields that are legal one by one and cannot be true together."""

from typing import Any

import pytest

from linesim.scenario import Scenario, contradictions
from linesim.scenario.faults import dotted

PAIRED = {"stands_per_web": 2, "change": "standstill_splice"}
TWO = [{"name": "A"}, {"name": "B"}]
JAM = {"cause": "wrapper jam"}
OWN = {"cause": "own", "station": "cutter", "restore_min": 3, "every_running_h": 5}

# What contradicts -> the scenario, the field that is pointed at, and what would be right.
CLASHES: dict[str, tuple[dict[str, Any], str, str]] = {
    "webs do not divide the ream": (
        {"unwind": {"webs": 6}},
        "unwind.webs",
        "1, 2, 4, 5, 10, 20 webs",
    ),
    "no webs divide 251 sheets": ({"product": {"sheets_per_ream": 251}}, "unwind.webs", "1 webs"),
    "restart above stop": (
        {"bridge": {"places": 40, "stop_at_reams": 20, "restart_at_reams": 25}},
        "bridge.restart_at_reams",
        "0 to 19",
    ),
    "restart at stop": (
        {"bridge": {"places": 40, "stop_at_reams": 20, "restart_at_reams": 20}},
        "bridge.restart_at_reams",
        "0 to 19",
    ),
    "restart without stop": (
        {"bridge": {"places": 40, "restart_at_reams": 20}},
        "bridge.restart_at_reams",
        "stop_at_reams",
    ),
    "slow above stop": (
        {"bridge": {"places": 40, "stop_at_reams": 20, "slow_at_reams": 21}},
        "bridge.slow_at_reams",
        "1 to 20",
    ),
    "stop above the bridge": (
        {"bridge": {"length_m": 3.3, "stop_at_reams": 11}},
        "bridge.stop_at_reams",
        "1 to 10",
    ),
    "slow above the bridge": (
        {"bridge": {"places": 10, "slow_at_reams": 11}},
        "bridge.slow_at_reams",
        "1 to 10",
    ),
    "catch-up above the bridge": (
        {"bridge": {"places": 10, "catch_up_at_reams": 11}},
        "bridge.catch_up_at_reams",
        "1 to 10",
    ),
    "second wrapper above the bridge": (
        {
            "bridge": {"places": 10},
            "wrapper": TWO,
            "divert": {"rule": "second_above_level", "second_at_reams": 11},
        },
        "divert.second_at_reams",
        "1 to 10",
    ),
    "bridge shorter than a set": (
        {"bridge": {"places": 4}, "slitter": {"lanes": 5}},
        "bridge.places",
        "at least 5",
    ),
    "short bridge by its length": (
        {"bridge": {"length_m": 1.2}, "slitter": {"lanes": 5}},
        "bridge.length_m",
        "at least 5",
    ),
    "places and a length that holds fewer": (
        {"bridge": {"places": 20, "length_m": 3.3}},
        "bridge.places",
        "places or length_m, not both; or 10 places, or 6.6 m",
    ),
    "places and a length that holds more": (
        {"bridge": {"places": 20, "length_m": 7, "ream_pitch_mm": 350, "tracks": 2}},
        "bridge.places",
        "or 40 places, or 3.5 m",
    ),
    "a bridge longer than there is room for": (
        {"bridge": {"places": 30, "longest_m": 9}},
        "bridge.longest_m",
        "9.9 m or more",
    ),
    "bridge shorter than the set of an order": (
        {
            "bridge": {"places": 5},
            "slitter": {"lanes": 5},
            "order": [{"name": "x", "reams": 10}, {"name": "y", "reams": 10, "lanes": 6}],
        },
        "order[1].lanes",
        "at least 6",
    ),
    "core as large as the reel": (
        {"reels": {"diameter_mm": 300, "core_diameter_mm": 300}},
        "reels.core_diameter_mm",
        "below the reel",
    ),
    "reel shorter than what stays behind": (
        {"reels": {"diameter_mm": 200, "core_diameter_mm": 195}, "unwind": {"butt_length_m": 60}},
        "reels.diameter_mm",
        "larger reel",
    ),
    "reel too heavy for the stand": (
        {"reels": {"diameter_mm": 2000}, "slitter": {"lanes": 6}},
        "reels.diameter_mm",
        "smaller reel",
    ),
    "reel of an order too heavy": (
        {"order": [{"name": "board", "reams": 5, "grammage_g_per_m2": 300, "thickness_um": 104}]},
        "reels.diameter_mm",
        "smaller reel",
    ),
    "flying splice on one stand": (
        {"unwind": {"change": "flying_splice"}},
        "unwind.stands_per_web",
        "stands_per_web = 2",
    ),
    "standing change with two stands": (
        {"unwind": {"stands_per_web": 2}},
        "unwind.change",
        "stands_per_web = 1",
    ),
    "spare stands beside pairs": (
        {"unwind": PAIRED | {"spare_stands": 2}},
        "unwind.spare_stands",
        "stands_per_web = 1 with spare_stands",
    ),
    "standing change with a spare stand": (
        {"unwind": {"spare_stands": 1}},
        "unwind.change",
        "no spare_stands",
    ),
    "splice faster than rated": (
        {"unwind": PAIRED | {"change": "flying_splice", "splice_speed_m_per_min": 300}},
        "unwind.splice_speed_m_per_min",
        "up to 250 m/min",
    ),
    "two wrappers of one name": (
        {"wrapper": [{"name": "A"}, {"name": "A"}]},
        "wrapper[1].name",
        "of its own",
    ),
    "wrapper named as a station": ({"wrapper": [{"name": "cutter"}]}, "wrapper[0].name", "another"),
    "roll longer than possible": (
        {"wrapper": [{"roll_length_m": 40_000}]},
        "wrapper[0].roll_length_m",
        "up to 19,522 m",
    ),
    "roll shorter than a wrap": (
        {"wrapper": [{"roll_length_m": 0.5}]},
        "wrapper[0].roll_length_m",
        "at least 0.554 m",
    ),
    "wrap that does not reach around": (
        {"wrapper": [{"wrap_length_mm": 500}]},
        "wrapper[0].wrap_length_mm",
        "at least 524 mm",
    ),
    "second above a level not given": (
        {"wrapper": TWO, "divert": {"rule": "second_above_level"}},
        "divert.rule",
        "1 to 18",
    ),
    "hot standby of one wrapper": (
        {"divert": {"rule": "hot_standby"}},
        "divert.rule",
        "second [[wrapper]]",
    ),
    "unknown station": ({"stop": [OWN | {"station": "cuter"}]}, "stop[0].station", '"cutter"'),
    "unknown wrapper": (
        {"wrapper": TWO, "stop": [JAM | {"station": "C"}]},
        "stop[0].station",
        "A, B",
    ),
    "outfeed that is not there": (
        {"stop": [{"cause": "outfeed jam"}]},
        "stop[0].station",
        "[outfeed]",
    ),
    "a palletiser and no cartons": ({"palletiser": {}}, "palletiser", "[carton_packer]"),
    "two carton packers of one name": (
        {"carton_packer": [{"name": "A"}, {"name": "A"}]},
        "carton_packer[1].name",
        "each carton packer",
    ),
    "a carton packer with the name of a wrapper": (
        {"wrapper": [{"name": "A"}], "carton_packer": [{"name": "A"}]},
        "carton_packer[0].name",
        "each carton packer",
    ),
    "one of two carton packers with the name of both": (
        {"carton_packer": [{"name": "A"}, {}]},
        "carton_packer[1].name",
        '"carton packer 1"',
    ),
    "cartons of two sizes behind one conveyor": (
        {"carton_packer": [{"name": "A"}, {"name": "B", "reams_per_carton": 6}]},
        "carton_packer[1].reams_per_carton",
        "5",
    ),
    "a cause at all carton packers and at one": (
        {
            "carton_packer": [{"name": "A"}, {"name": "B"}],
            "stop": [{"cause": "blank jam"}, {"cause": "blank jam", "station": "B"}],
        },
        "stop[1].cause",
        "another name",
    ),
    "truck and people for one pallet": (
        {"carton_packer": {}, "palletiser": {"truck_every_min": 5, "fetch_min": 2}},
        "palletiser.fetch_min",
        "not both",
    ),
    "a truck without end": (
        {"carton_packer": {}, "palletiser": {"truck_every_min": 0.01}},
        "palletiser.truck_every_min",
        "a second",
    ),
    "a magazine that is filled before it is used": (
        {"carton_packer": {"magazine_blanks": 50, "refill_at_blanks": 50}},
        "carton_packer[0].refill_at_blanks",
        "49",
    ),
    "one cause twice": ({"stop": [JAM, JAM]}, "stop[1].cause", "another name"),
    "one cause of all wrappers and of one": (
        {"wrapper": TWO, "stop": [JAM, JAM | {"station": "B"}]},
        "stop[1].cause",
        "another name",
    ),
    "per web where there are no webs": (
        {"stop": [OWN | {"station": "pockets", "per_web": True}]},
        "stop[0].per_web",
        "unwind",
    ),
    "cuts counted at the bridge": (
        {"stop": [{"cause": "x", "station": "bridge", "restore_min": 1, "every_cuts": 9}]},
        "stop[0].every_cuts",
        "every_reams",
    ),
    "kilometres counted at a wrapper": (
        {
            "wrapper": TWO,
            "stop": [{"cause": "x", "station": "B", "restore_min": 1, "every_web_km": 9}],
        },
        "stop[0].every_web_km",
        "every_reams",
    ),
    "no time between stops": (
        {"stop": [OWN | {"every_running_h": 0}]},
        "stop[0].every_running_h",
        "at least a second",
    ),
    "a stop every millisecond": (
        {"stop": [OWN | {"every_running_h": {"law": "exponential", "mean": 1e-7}}]},
        "stop[0].every_running_h",
        "at least a second",
    ),
    "a stop before every ream": (
        {"stop": [JAM | {"every_reams": {"law": "uniform", "low": 0, "high": 1}}]},
        "stop[0].every_reams",
        "at least 1 ream",
    ),
    "every restart breaks a web": (
        {"web_path": {"break_chance_at_restart": 0.8}},
        "web_path.break_chance_at_restart",
        "at 0.13 every second restart",
    ),
    "breaks all through the shift": (
        {
            "break": [
                {"start_h": 0, "minutes": 300},
                {"start_h": 5, "minutes": 180},
            ]
        },
        "break[1].minutes",
        "relieved",
    ),
    "planned work after planned work": (
        {
            "planned_work": [
                {"name": "cleaning", "start_h": 1, "every_h": 2, "minutes": 70},
                {"name": "oiling", "start_h": 2, "every_h": 2, "minutes": 65},
            ]
        },
        "planned_work[1].minutes",
        "rarer",
    ),
    "an order longer than any run": (
        {"order": [{"name": "a", "reams": 1}, {"name": "b", "reams": 100_000_000}]}
        | {"cutter": {"web_speed_m_per_min": 1}},
        "order[1].reams",
        "200,000 h",
    ),
    "hardly a cut passes the gate": (
        {"gate": {"defects_per_million_sheets": 300_000}},
        "gate.defects_per_million_sheets",
        "fewer defects",
    ),
    "orders of which hardly a ream is good": (
        {"wrapper": [{"spoiled_per_10000": 9_950}], "order": [{"name": "a", "reams": 9}]},
        "wrapper[0].spoiled_per_10000",
        "a rework table",
    ),
    "a belt that hardly moves": (
        {"bridge": {"belt_speed_m_per_min": 1e-6}},
        "bridge.belt_speed_m_per_min",
        "0, which means no time",
    ),
    "four shifts of eight hours": (
        {"calendar": {"shifts_per_day": 4}},
        "calendar.shifts_per_day",
        "at most 3",
    ),
    "break after the shift": (
        {"break": [{"start_h": 7.75, "minutes": 30}]},
        "break[0].start_h",
        "within 8 h",
    ),
    "breaks over each other": (
        {"break": [{"start_h": 4, "minutes": 30}, {"start_h": 3.75, "minutes": 30}]},
        "break[0].start_h",
        "4.25 h",
    ),
    "planned work longer than its repeat": (
        {"planned_work": [{"name": "cleaning", "start_h": 0, "every_h": 1, "minutes": 60}]},
        "planned_work[0].minutes",
        "less than 60 min",
    ),
    "two orders of one name": (
        {"order": [{"name": n, "reams": 9} for n in ("A4", "A3", "A4")]},
        "order[2].name",
        "a name of its own for each order",
    ),
    "holidays over each other": (
        {"holiday": [{"name": "a", "day": 9}, {"name": "b", "day": 7, "days": 3}]},
        "holiday[0].day",
        "day 10 or later",
    ),
    "no such day": (
        {"calendar": {"starts": "2026-02-30 06:00"}},
        "calendar.starts",
        "year, month, day, hour and minute, such as",
    ),
}


def found_alone(data: dict[str, Any], field: str, right: str) -> None:
    """That a scenario has one contradiction, at this field, and says what would be right."""
    found = contradictions(Scenario.model_validate(data))
    assert [dotted(clash.path) for clash in found] == [field]
    assert right in found[0].would_be_right


@pytest.mark.parametrize("name", CLASHES)
def test_a_contradiction_is_found_alone_and_says_what_would_be_right(name: str) -> None:
    found_alone(*CLASHES[name])


SOUND: dict[str, dict[str, Any]] = {
    "planned work on top of other planned work": {
        "planned_work": [
            {"name": "cleaning", "start_h": 0, "every_h": 2, "minutes": 70},
            {"name": "oiling", "start_h": 0, "every_h": 2, "minutes": 65},
        ]
    },
    "a relieved break all through the shift": {
        "break": [{"start_h": 0, "minutes": 480, "line": "relieved"}]
    },
    "the default line": {},
    "six webs rounded up": {"unwind": {"webs": 6}, "product": {"counting": "round_up"}},
    "places that the length holds": {"bridge": {"places": 20, "length_m": 6.7}},
    "an odd place on two tracks": {"bridge": {"places": 21, "length_m": 3.7, "tracks": 2}},
    "as long as there is room for": {"bridge": {"length_m": 9, "longest_m": 9}},
    "a bridge of one set": {"bridge": {"places": 5}, "slitter": {"lanes": 5}},
    "levels at the end of the bridge": {
        "bridge": {"places": 20, "slow_at_reams": 20, "stop_at_reams": 20, "restart_at_reams": 19}
    },
    "one wrapper named wrapper": {"wrapper": [{"name": "wrapper"}], "stop": [JAM]},
    "a cause at each of two wrappers": {
        "wrapper": TWO,
        "stop": [JAM | {"station": "A"}, JAM | {"station": "B"}],
    },
    "one cause at two stations": {"stop": [OWN, OWN | {"station": "gate"}]},
    "places along the line": {
        "crew": {"walk_m_per_s": 1},
        "wrapper": [{"name": "left"}, {"name": "right"}],
        "station_place": [
            {"name": "wrapper", "at_m": 40},
            {"name": "right", "at_m": 44},
            {"name": "rework", "at_m": 0},
        ],
    },
    "nobody where nobody is needed": {"crew": {"size": 0}, "unwind": {"change_people": 0}},
    "everything done by some group": {
        "crew": {"size": 0},
        "stop": [JAM, OWN],
        "crew_group": [
            {"name": "reels", "number": 2, "can": "reels,rolls"},
            {"name": "fitter", "can": f"{JAM['cause']}, {OWN['station']}", "first_shift": 2},
        ],
    },
    "breaks end to end": {"break": [{"start_h": 4, "minutes": 30}, {"start_h": 4.5, "minutes": 5}]},
    "a break to the end of the shift": {"break": [{"start_h": 7.5, "minutes": 30}]},
    "three shifts": {"calendar": {"shifts_per_day": 3, "starts": "2026-03-02 06:00"}},
    "holidays end to end": {"holiday": [{"name": "a", "day": 9}, {"name": "b", "day": 10}]},
    "a splice slower than a line that splices standing": {
        "unwind": PAIRED,
        "cutter": {"web_speed_m_per_min": 100},
    },
    # Six A4 lanes with trim, 1600 mm on a 76 mm core, uncoated copy paper (common practice, no
    # source).
    "the largest reel of a six-lane A4 line": {
        "slitter": {"lanes": 6, "edge_trim_mm": 10},
        "reels": {"diameter_mm": 1600, "core_diameter_mm": 76},
        "unwind": {"stand_limit_kg": 2500},
    },
    "orders of spoiled reams that are wrapped again": {
        "wrapper": [{"spoiled_per_10000": 9_950}],
        "order": [{"name": "a", "reams": 9}],
        "rework": {"places": 1, "good_chance": 1},
    },
    "a flying splice to a spare stand": {"unwind": {"change": "flying_splice", "spare_stands": 1}},
    "a 150 mm core": {"reels": {"core_diameter_mm": 150}},
}


@pytest.mark.parametrize("name", SOUND)
def test_what_only_looks_like_a_contradiction_passes(name: str) -> None:
    assert contradictions(Scenario.model_validate(SOUND[name])) == []


def test_several_are_found_at_once() -> None:
    data = {"unwind": {"webs": 6, "stands_per_web": 2}, "bridge": {"places": 3}}
    found = contradictions(Scenario.model_validate(data))
    assert {dotted(clash.path) for clash in found} == {
        "unwind.webs",
        "unwind.change",
        "bridge.places",
    }
