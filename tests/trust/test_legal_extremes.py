"""Lines as small and as troubled as a scenario may say: they run, and their books balance.

A line that can never finish is refused; `tests/scenario/test_contradictions.py` has those.
"""

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record.audit import audit
from linesim.scenario import STATIONS, ScenarioFaults, check_mapping
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.known_causes import KNOWN_CAUSES

_NOBODY: dict[str, Any] = {
    "crew": {"size": 0},
    "unwind": {"change_people": 0},
    "rework": {"people": 0},
}
_EVERY_CAUSE = [{"cause": cause} for cause in KNOWN_CAUSES]
_STOPS_ALL_THE_TIME = [
    {
        "cause": f"trouble at the {station}",
        "station": station,
        "every_running_h": 1 / 3600,
        "restore_min": {"law": "exponential", "mean": 0.1},
        "people": 1,
        "spoils_cuts": 3,
    }
    for station in STATIONS
]
_ALL_BEHIND: dict[str, Any] = {name: {} for name in END_OF_LINE}

# What is extreme -> the scenario, and whether reams must come out of it within two hours.
EXTREMES: dict[str, tuple[dict[str, Any], bool]] = {
    "one lane": ({"slitter": {"lanes": 1}}, True),
    "one web": ({"unwind": {"webs": 1}}, True),
    "one of everything": (
        {
            "slitter": {"lanes": 1},
            "unwind": {"webs": 1},
            "bridge": {"places": 1},
            "product": {"sheets_per_ream": 1},
            "crew": {"size": 1},
            "cutter": {"web_speed_m_per_min": 5},
        },
        True,
    ),
    "twenty webs and lanes": (
        {
            "slitter": {"lanes": 20},
            "unwind": {"webs": 20, "stand_limit_kg": 20000},
            "wrapper": [{"name": f"wrapper {n}"} for n in range(20)],
            "bridge": {"places": 20},
        },
        True,
    ),
    "no stops": ({"stop": []}, True),
    "every known cause": (_ALL_BEHIND | {"stop": _EVERY_CAUSE, "crew": {"size": 4}}, True),
    "a stop at every station every second": (_ALL_BEHIND | {"stop": _STOPS_ALL_THE_TIME}, False),
    "a ream to a carton, a carton to a pallet, and no room": (
        {
            "carton_packer": {
                "reams_per_carton": 1,
                "conveyor_reams": 0,
                "magazine_blanks": 1,
                "refill_at_blanks": 0,
                "rate_cartons_per_min": 1e7,
            },
            "palletiser": {
                "belt_cartons": 0,
                "cartons_per_layer": 1,
                "layers_per_pallet": 1,
                "full_pallet_places": 1,
                "rate_cartons_per_min": 1e7,
                "truck_every_min": 1 / 60,
            },
        },
        True,
    ),
    "most cartons spoiled, and nobody needed for anything": (
        {
            "carton_packer": {
                "spoiled_per_10000": 9000,
                "magazine_blanks": 2,
                "refill_at_blanks": 1,
                "refill_min": 0,
                "refill_people": 0,
            },
            "palletiser": {"change_s": 0, "fetch_min": 0},
        },
        True,
    ),
    "a carton and a pallet that are never full": (
        {
            "carton_packer": {"reams_per_carton": 1000},
            "palletiser": {"cartons_per_layer": 1000, "layers_per_pallet": 1000},
        },
        True,
    ),
    "twenty trucks that take no time, for places and forty spare stands": (
        {
            "unwind": {"change": "flying_splice", "spare_stands": 40, "prepare_min": 0},
            "reel_truck": {
                "trucks": 20,
                "reel_min": 0,
                "stops_per_100_reels": 100,
                "stop_min": 0,
                "places": 100,
                "order_below_m": 50_000,
                "chuck_min": 0,
            },
        },
        True,
    ),
    "a truck that does not come back": (
        {"reel_truck": {"reel_min": 1e6}, "start": {"state": "new"}, "reels": {"diameter_mm": 300}},
        True,
    ),
    "no bridge beyond a set": ({"bridge": {"places": 5}}, True),
    "a crew of none": (_NOBODY, True),
    "a shift of one minute": ({"line": {"shift_hours": 1 / 60}}, True),
    "one minute a day": (
        {"line": {"shift_hours": 1 / 60}, "calendar": {"shifts_per_day": 1}},
        True,
    ),
    "every ream spoiled": ({"wrapper": [{"spoiled_per_10000": 10000}]}, False),
    "one cut in eight passes": ({"gate": {"defects_per_million_sheets": 26_000}}, True),
    "a break at every splice": (
        {"web_path": {"break_chance_at_splice": 1, "break_chance_at_joint": 1}},
        True,
    ),
    "the slowest line": (
        {
            "cutter": {"web_speed_m_per_min": 0.1, "max_cuts_per_min": 0.01},
            "wrapper": [{"rate_reams_per_min": 0.001}],
        },
        False,
    ),
}


@pytest.mark.parametrize("name", EXTREMES)
def test_a_legal_line_runs_and_its_books_balance(name: str) -> None:
    data, comes_out = EXTREMES[name]
    record = simulate(check_mapping(data), hours=2)
    assert [fault for check in audit(record) for fault in check.faults] == []
    assert (record.books.reams.good > 0) == comes_out


def test_a_whole_shift_of_one_minute_is_run() -> None:
    record = simulate(check_mapping({"line": {"shift_hours": 1 / 60}}))
    assert record.hours == pytest.approx(1 / 60)
    assert [fault for check in audit(record) for fault in check.faults] == []


def test_a_crew_of_none_is_refused_where_somebody_is_needed() -> None:
    with pytest.raises(ScenarioFaults) as refused:
        check_mapping({"crew": {"size": 0}, "stop": _EVERY_CAUSE, "outfeed": {}})
    never = [fault for fault in refused.value.faults if "it is never done" in fault.problem]
    assert {"unwind.change_people", "stop[0].people"} <= {fault.field for fault in never}
