"""Lines drawn at random, wider still than ``any_line``, and those that theory has a word on."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.scenario import WEB_STATIONS, Scenario, check_mapping
from tests.line.any_line import any_law, any_tables, legal_tables, with_upkeep
from tests.line.named_goods import with_names

Tables = dict[str, Any]


def wider_tables(seed: int) -> Tables:
    """Tables of a legal scenario that may use everything a file can say."""
    return legal_tables(seed, _wider)


def any_wider_tables(seed: int) -> Tables:
    """The same, on some of them with parts changed by plan, powers of stations, goods by name."""
    return with_names(seed, with_upkeep(seed, wider_tables(seed)))


def tandem_tables(seed: int) -> Tables:
    """Tables of a tandem line: one thing after another, each with luck of its own work only.

    Sheeter, transfer, bridge, one wrapper and an outfeed. Stops fall due on what a station has
    done. Nobody is waited for, no start or stop costs time or paper, nothing looks at a level or
    a clock.
    """
    return legal_tables(seed, _tandem)


def scenario_of(tables: Tables) -> Scenario:
    """The scenario these tables describe."""
    return check_mapping(tables)


def _wider(luck: Random) -> Tables:
    pick, data = luck.choice, any_tables(luck)
    data["line"]["minor_stop_minutes"] = pick([0, 5])
    data["gate"]["cuts_per_defect"] = pick([1, 2, 5])
    data["reels"]["core_diameter_mm"] = pick([76, 152.4])
    data["web_path"]["speed_reference_m_per_min"] = pick([150, 250])
    data["bridge"] |= {"ream_pitch_mm": pick([330, 250]), "tracks": pick([1, 2])}
    if luck.random() < 0.2:  # length, pitch and tracks say how many places there are
        places, bridge = data["bridge"].pop("places"), data["bridge"]
        bridge["length_m"] = -(-places // bridge["tracks"]) * bridge["ream_pitch_mm"] / 1000
    for stop in data["stop"]:
        if stop["station"] in ("unwind", "web_path", "slitter"):
            stop["per_web"] = pick([False, True])
        if luck.random() < 0.3:
            stop["priority"] = luck.randint(1, 9)
    _add_known_causes(luck, data)
    for wrapper in data["wrapper"]:
        if luck.random() < 0.3:
            wrapper["wrap_length_mm"] = pick([450, 700])
    if luck.random() < 0.3:
        data["calendar"] = {"shifts_per_day": pick([1, 2, 3]), "days_per_week": pick([5, 6, 7])}
    if "order" in data:
        if luck.random() < 0.5:
            data["changeover"]["lanes_min"] = any_law(luck, 4)
        data["changeover"]["grade_with_size"] = pick(["meanwhile", "afterwards"])
        data["order"][-1]["due_h"] = 1
    return data


def _add_known_causes(luck: Random, data: Tables) -> None:
    pick = luck.choice
    if luck.random() < 0.4:
        # By name they bring their own figures; here they come often enough to be met.
        data["stop"] += [
            {"cause": "static", "every_running_h": {"law": "uniform", "low": 0.1, "high": 0.5}},
            {"cause": "wrapper jam", "every_reams": any_law(luck, pick([20, 200]))},
        ]
        for stop in data["stop"][-2:]:
            stop["people"] = min(data["crew"]["size"], 1)


def _tandem(luck: Random) -> Tables:
    pick, data = luck.choice, any_tables(luck)
    for table in ("calendar", "break", "planned_work", "changeover", "order", "divert"):
        data.pop(table, None)
    # A run-in would have made more reams with more bridge, and the count begin at another one.
    data["start"] = {"state": "new"}
    data["crew"] = {"size": 0}
    data["cutter"] |= {"run_up_m_per_min_per_s": 0, "run_down_m_per_min_per_s": 0}
    data["gate"] |= {"cuts_after_stop": 0}
    data["unwind"] |= {
        "change": "standing_change",
        "stands_per_web": 1,
        "change_people": 0,
        "prepare_people": 0,
        "splice_people": 0,
    }
    data["web_path"] |= {
        "break_chance_at_restart": 0,
        "rethread_people": 0,
    }
    places = data["slitter"]["lanes"] * pick([1, 2, 5])
    data["bridge"] = {
        "places": places,
        "ream_pitch_mm": pick([60, 330]),
        "belt_speed_m_per_min": pick([0, 10, 30]),
    }
    data["wrapper"] = data["wrapper"][:1]
    data["wrapper"][0]["roll_change_people"] = 0
    data["rework"]["people"] = 0
    data["stop"] = [_own_stop(stop) for stop in data["stop"] if stop["station"] != "bridge"]
    if any("every_reams" in s and s["station"] in WEB_STATIONS for s in data["stop"]):
        # Reams count in the pockets: how far the webs are by then, a belt that holds back says.
        data["overlap_belt"] = {"hold_cuts": 0}
    return data


def _own_stop(stop: Tables) -> Tables:
    """The same cause by what its station has done, without people, spoiling nothing at once."""
    stop = {key: value for key, value in stop.items() if not key.startswith("spoils_")}
    if "every_clock_h" in stop:
        stop["every_running_h"] = stop.pop("every_clock_h")
    return stop | {"people": 0}
