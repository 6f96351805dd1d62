"""A line on which nothing happens, with figures that are easy to reckon with.

Webs run at 240 m/min = 4 m/s, cuts are 300 mm long, 100 cuts make a set of 4 reams: a set is full
every 7.5 s (32 reams/min). Starts and stops take no time, the bridge has no travel time, and a
wrapper needs 1 s for a ream. Tests change one thing and work out what follows.
"""

from __future__ import annotations

import math
from typing import Any

from linesim.record import Record, State
from linesim.scenario import Scenario, check_mapping

SECOND = 1_000_000_000
METRE = 1_000_000
SET_S = 7.5
SPEED_M_PER_S = 4.0
CUT_M = 0.3
REEL_M = math.pi * (1000**2 - 100**2) / (4 * 0.1) / 1000
"""Length of a fresh reel: 7775.44 m, which last 1943.86 s."""

_CALM: dict[str, Any] = {
    "format": 1,
    "start": {"state": "new"},
    "product": {
        "sheet_width_mm": 210,
        "sheet_length_mm": 300,
        "sheets_per_ream": 500,
        "thickness_um": 100,
        "grammage_g_per_m2": 80,
    },
    "reels": {"diameter_mm": 1000, "diameter_sd_mm": 0, "core_diameter_mm": 100},
    "unwind": {"webs": 5, "change_min": 10, "change_people": 0, "butt_length_m": 0},
    "web_path": {"path_length_m": 0},
    "slitter": {"lanes": 4, "edge_trim_mm": 10},
    "cutter": {
        "web_speed_m_per_min": 240,
        "max_cuts_per_min": 1200,
        "run_up_m_per_min_per_s": 0,
        "run_down_m_per_min_per_s": 0,
    },
    "overlap_belt": {"hold_cuts": 0},
    "transfer": {"pick_s": 1, "carry_s": 1, "place_s": 1, "return_s": 1},
    "bridge": {"places": 100, "belt_speed_m_per_min": 0},
    "wrapper": [{"rate_reams_per_min": 60}],
    "rework": {"people": 0},
    "crew": {"size": 5},
}


def calm(**tables: Any) -> Scenario:
    """The calm line with single fields of its tables, or whole lists, replaced."""
    data = dict(_CALM)
    for name, change in tables.items():
        old = data.get(name)
        own = name.rstrip("_")  # break is a word of the language
        data[own] = old | change if isinstance(old, dict) else change
    return check_mapping(data)


def one_web(**tables: Any) -> Scenario:
    """The calm line with a single web; 100 sheets make a ream, so sets come as before."""
    unwind = {"webs": 1} | tables.pop("unwind", {})
    product = {"sheets_per_ream": 100} | tables.pop("product", {})
    return calm(unwind=unwind, product=product, **tables)


def stop(station: str, cause: str = "fault", **fields: Any) -> dict[str, Any]:
    """A stop cause that needs nobody, unless told otherwise."""
    return {"station": station, "cause": cause, "people": 0, "restore_min": 1} | fields


def seconds_in(record: Record, station: str, state: State) -> float:
    """Seconds the station spent in a state."""
    return record.hours_in(record.station(station), state) * 3600


def stops_of(record: Record, station: str, cause: str) -> tuple[int, float]:
    """How often a cause stopped a station, and the seconds the station stood for it."""
    found = [
        total
        for total in record.stops
        if record.stations[total.station] == station and record.causes[total.cause] == cause
    ]
    return sum(each.count for each in found), sum(each.ns for each in found) / SECOND


Span = tuple[float, float, State, str, tuple[str, str] | None]
"""Start and end in seconds, state, cause, and (station, cause) at the root of it."""


def spans_of(record: Record, station: str) -> list[Span]:
    """The account of a station, for people to read."""
    assert record.history is not None
    rows = record.history.spans.of(record.station(station))
    found: list[Span] = []
    for i in range(len(rows.start_ns)):
        root = int(rows.root_station[i])
        found.append(
            (
                float(rows.start_ns[i]) / SECOND,
                float(rows.end_ns[i]) / SECOND,
                State(int(rows.state[i])),
                record.causes[rows.cause[i]],
                (record.stations[root], record.causes[rows.root_cause[i]]) if root >= 0 else None,
            )
        )
    return found
