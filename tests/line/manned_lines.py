"""Lines drawn at random with people on some shifts, for some work, and with ways to walk."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.scenario import WEB_STATIONS, Scenario, check_mapping
from tests.line.any_line import any_tables, legal_tables, packed_tables


def any_manned(seed: int) -> Scenario:
    """The same line, every other one to the pallet, with people on some shifts, for some work."""
    return check_mapping(legal_tables(seed, manned_tables if seed % 2 else manned_to_the_pallet))


def any_walking(seed: int) -> Scenario:
    """Such a line where people walk."""
    tables = manned_tables if seed % 2 else manned_to_the_pallet
    return check_mapping(legal_tables(seed, lambda luck: _with_ways(luck, tables(luck))))


def manned_tables(luck: Random) -> dict[str, Any]:
    """Tables of a line with groups of people; they may contradict each other."""
    return _in_groups(luck, any_tables(luck))


def manned_to_the_pallet(luck: Random) -> dict[str, Any]:
    """The same with a carton packer."""
    return _in_groups(luck, packed_tables(luck))


def _in_groups(luck: Random, data: dict[str, Any]) -> dict[str, Any]:
    """Some of the crew, and a few more, come in groups; what they can do may be too little."""
    pick = luck.choice
    names = [wrapper.get("name", "wrapper") for wrapper in data["wrapper"]]
    known = ["reels", "prepare", "rethread", "rolls", "blanks", "pallets", "truck", "rework"]
    known += ["change-over", *WEB_STATIONS, "transfer", "bridge", "wrapper", *names]
    known += [stop["cause"] for stop in data["stop"]]
    crew, groups = data["crew"]["size"], []
    for number in range(pick([1, 2, 4])):
        group: dict[str, Any] = {"name": f"group {number}", "number": pick([0, 1, 2])}
        if luck.random() < 0.6:
            group["can"] = ", ".join(luck.sample(known, pick([1, 3, 8])))
        if luck.random() < 0.5:
            group |= {"first_shift": (first := pick([1, 2, 3])), "last_shift": first + pick([0, 1])}
        if luck.random() < 0.3:
            group |= {"first_day": (day := pick([1, 1, 2, 6])), "last_day": min(7, day + 4)}
        groups.append(group)
    data["crew"]["size"] = pick([0, crew // 2, crew])
    data["crew_group"] = groups
    return data


def _with_ways(luck: Random, data: dict[str, Any]) -> dict[str, Any]:
    """Some stations have places, in no order, some the same."""
    pick = luck.choice
    wrappers = [wrapper.get("name", "wrapper") for wrapper in data["wrapper"]]
    stations = [*WEB_STATIONS, "transfer", "bridge", "wrapper", *wrappers, "rework"]
    stations += [name for name in ("carton_packer", "palletiser") if name in data]
    stations = luck.sample(list(dict.fromkeys(stations)), pick([1, 4, 8]))
    data["crew"]["walk_m_per_s"] = pick([0.13, 1.03, 9.7])
    data["station_place"] = [
        {"name": name, "at_m": round(luck.uniform(0, 70), 3)} for name in stations
    ]
    return data
