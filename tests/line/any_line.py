"""Lines of every legal kind, drawn at random: for laws that hold whatever the line is."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from linesim.scenario import (
    WEB_STATIONS,
    ForcedStop,
    Scenario,
    ScenarioFaults,
    Stop,
    check_mapping,
)
from tests.line.named_goods import with_names


def any_scenario(seed: int) -> Scenario:
    """A scenario without contradiction; the same for the same seed."""
    return check_mapping(with_names(seed, with_upkeep(seed, legal_tables(seed, any_tables))))


def with_upkeep(seed: int, tables: dict[str, Any]) -> dict[str, Any]:
    """The same line with parts changed by plan and powers of stations, on two lines of three.

    By luck of its own: what else is drawn stays as it is.
    """
    luck = Random(f"upkeep of line {seed}")
    if luck.random() < 1 / 3:
        return tables
    pick, crew = luck.choice, tables["crew"]["size"]
    stops = [dict(stop) for stop in tables["stop"]]
    for stop in stops:
        if luck.random() < 0.6:
            known = Stop.model_validate(stop)
            least = 1.0 if known.meter in ("every_cuts", "every_reams") else 1e-3
            stop["changed_every"] = max(
                least, known.interval.average() * pick([0.3137, 0.9071, 2.0311])
            )
            stop["change_min"] = any_law(luck, pick([0.2, 2]), may_be_none=True)
            stop["planned"] = False
            if luck.random() < 0.5:
                stop["change_people"] = min(crew, pick([0, 1, 2]))
    power = {"kw_running": pick([3, 40.5]), "kw_standing": pick([0, 2.5])}
    wrappers = [wrapper | power for wrapper in tables["wrapper"]]
    cutter = tables["cutter"] | power
    return tables | {"stop": stops, "wrapper": wrappers, "cutter": cutter}


def any_handled(seed: int) -> Scenario:
    """The same line with spare stands for all webs, or trucks that bring the reels, or both."""
    return check_mapping(legal_tables(seed, handled_tables))


def handled_tables(luck: Random) -> dict[str, Any]:
    """Tables of a line whose reels come as at a plant; they may contradict each other."""
    pick, data = luck.choice, any_tables(luck)
    unwind, crew = data["unwind"], data["crew"]["size"]
    if luck.random() < 0.5:
        unwind |= {"stands_per_web": 1, "spare_stands": pick([1, 2, unwind["webs"]])}
        unwind["change"] = pick(["standstill_splice", "flying_splice"])
        if luck.random() < 0.5:
            return data
    truck = data["reel_truck"] = {
        "trucks": pick([1, 1, 2]),
        "reel_min": any_law(luck, pick([0.5, 4]), may_be_none=True),
        "people": min(crew, pick([0, 0, 1])),
        "stops_per_100_reels": pick([0, 30]),
        "stop_min": any_law(luck, 9),
    }
    if luck.random() < 0.5:
        truck |= {
            "places": pick([1, 2, 5]),
            "order_below_m": pick([0, 300, 2000]),
            "chuck_min": any_law(luck, 1.5, may_be_none=True),
        }
    return data


def any_paced(seed: int) -> Scenario:
    """The same line brought up by hand, with a speed that follows the level of the bridge."""
    return check_mapping(legal_tables(seed, paced_tables))


def paced_tables(luck: Random) -> dict[str, Any]:
    """Tables of a line whose speed is kept down; they may contradict each other."""
    pick, data = luck.choice, any_tables(luck)
    bridge = data["bridge"]
    bridge.setdefault(
        "slow_at_reams", luck.randint(1, bridge.get("stop_at_reams", bridge["places"]))
    )
    if luck.random() < 0.7:
        bridge |= {"slowing": "in_proportion", "slow_to_fraction": pick([0.1, 0.4, 1])}
    steps = luck.sample([(0.2, 0.37), (0.5, 1.9), (0.9, 0.05)], pick([0, 1, 2, 3]))
    data["cutter"] |= {
        "hand_ramp_fractions": sorted(part for part, _ in steps),
        "hand_ramp_min": [minutes for _, minutes in steps],
    }
    if steps and luck.random() < 0.6:
        data["cutter"]["hand_ramp_after_min"] = pick([0, 1.31, 5])
    data["cutter"]["hand_ramp_rejects"] = bool(steps) and pick([True, False])
    return data


def any_packed(seed: int) -> Scenario:
    """The same line packed into cartons, and most often laid on pallets."""
    tables = with_packers(seed, legal_tables(seed, packed_tables))
    return check_mapping(with_names(seed, tables))


def with_packers(seed: int, tables: dict[str, Any]) -> dict[str, Any]:
    """The same line with two or three carton packers in place of one, on one line of two.

    By luck of its own: what else is drawn stays as it is.
    """
    luck = Random(f"packers of line {seed}")
    if luck.random() < 0.5:
        return tables
    one, stops = tables["carton_packer"], list(tables["stop"])
    packers = []
    for number in range(luck.choice([2, 2, 3])):
        rate = round(one["rate_cartons_per_min"] * luck.choice([0.4137, 0.6071, 1.0311]), 3)
        mine = one | {"name": f"packer {number + 1}", "rate_cartons_per_min": rate}
        mine["conveyor_reams"] = luck.choice([0, 1, one["conveyor_reams"]])
        mine["spoiled_per_10000"] = luck.choice([0, one["spoiled_per_10000"]])
        if luck.random() < 0.5:
            mine.pop("magazine_blanks", None)
        packers.append(mine)
    if luck.random() < 0.7:
        stops.append(_stop(luck, "of one packer", luck.choice(packers)["name"], 0))
    return tables | {"carton_packer": packers, "stop": stops}


def packed_tables(luck: Random) -> dict[str, Any]:
    """Tables of a line with a carton packer; they may contradict each other."""
    pick, data = luck.choice, any_tables(luck)
    crew = data["crew"]["size"]
    wrapped = sum(wrapper["rate_reams_per_min"] for wrapper in data["wrapper"])
    reams = pick([1, 2, 5, 12])

    def people(*numbers: int) -> int:
        return min(crew, pick(numbers))

    packer = data["carton_packer"] = {
        "reams_per_carton": reams,
        "rate_cartons_per_min": round(wrapped / reams * pick([0.7, 1.1, 3]), 3),
        "conveyor_reams": pick([0, 1, 7, 60]),
        "spoiled_per_10000": pick([0, 300, 5000]),
    }
    if luck.random() < 0.6:
        packer |= {
            "magazine_blanks": pick([2, 20, 100]),
            "refill_at_blanks": pick([0, 1, 15]),
            "refill_min": any_law(luck, pick([0.5, 4]), may_be_none=True),
            "refill_people": people(0, 1, 2),
        }
    stations = ["carton_packer"]
    if luck.random() < 0.8:
        stations.append("palletiser")
        data["palletiser"] = _palletiser(luck, packer["rate_cartons_per_min"], people, crew > 0)
    data["stop"] += [
        _stop(luck, f"packing {n}", pick(stations), people(0, 1)) for n in range(pick([0, 1, 3]))
    ]
    return data


def _palletiser(luck: Random, packed: float, people: Any, has_people: bool) -> dict[str, Any]:
    pick = luck.choice
    rate = round(packed * pick([0.8, 1.2, 3]), 3)
    table = {
        "rate_cartons_per_min": rate,
        "belt_cartons": pick([0, 1, 10]),
        "cartons_per_layer": pick([1, 3, 8]),
        "layers_per_pallet": pick([1, 2, 5]),
        "layer_sheet_s": pick([0, 4.3]),
        "change_s": any_law(luck, pick([1, 30]), may_be_none=True),
        "change_people": people(0, 0, 1),
    }
    pallet_min = table["cartons_per_layer"] * table["layers_per_pallet"] / packed
    away = pick(["at once", "truck", "people" if has_people else "truck"])
    if away == "truck":
        takes = pick([1, 2])
        mean = max(0.02, takes * pallet_min * pick([0.5, 1, 1.3]))
        table |= {"truck_every_min": any_law(luck, mean), "truck_takes_pallets": takes}
    elif away == "people":
        table["fetch_min"] = any_law(luck, pallet_min * pick([0.2, 1.2]), may_be_none=True)
        table["fetch_people"] = max(1, people(1, 2))
    return table | {"full_pallet_places": pick([1, 2, 6])}


def legal_tables(seed: int, draw: Callable[[Random], dict[str, Any]]) -> dict[str, Any]:
    """Tables of the first scenario drawn that is without contradiction."""
    luck = Random(seed)
    while True:
        tables = draw(luck)
        try:
            check_mapping(tables)
        except ScenarioFaults:
            continue  # a roll too short for one wrap, a reel too short to stop in
        return tables


def any_forced(seed: int, scenario: Scenario) -> tuple[ForcedStop, ...]:
    """Up to two stops that somebody asks for."""
    luck = Random(seed)
    stations = [*WEB_STATIONS, "transfer", "bridge", *(w.name for w in scenario.wrapper)]
    return tuple(
        ForcedStop(station=luck.choice(stations), at_h=luck.uniform(0, 1.5), minutes=length)
        for length in luck.sample([1, 10, 60], luck.randrange(3))
    )


def any_law(luck: Random, mean: float, *, may_be_none: bool = False) -> Any:
    """A law of any kind with about this mean."""
    if may_be_none and luck.random() < 0.1:
        return 0
    return luck.choice(
        [
            mean,
            {"law": "exponential", "mean": mean},
            {"law": "weibull", "mean": mean, "shape": luck.choice([0.7, 3])},
            {"law": "lognormal", "mean": mean, "sd": mean * luck.choice([0.3, 1])},
            {"law": "gamma", "mean": mean, "sd": mean * luck.choice([0.3, 1])},
            {"law": "triangular", "low": 0, "mode": mean, "high": 2 * mean},
            {"law": "empirical", "values": [mean / 2, mean, mean * 1.5]},
        ]
    )


def any_tables(luck: Random) -> dict[str, Any]:
    """Tables of a scenario; they may contradict each other."""
    pick = luck.choice
    crew = luck.randrange(6)

    def people() -> int:
        return min(crew, pick([0, 1, 1, 2]))

    lanes = pick([1, 2, 4, 6])
    webs = pick([1, 2, 5, 8])
    sheets = pick([500, 250, 120])
    data: dict[str, Any] = {
        "format": 1,
        "line": {"shift_hours": pick([2, 8])},
        "product": {
            "sheets_per_ream": sheets,
            "counting": "round_up",
            "thickness_um": pick([104, 80.5]),
            "grammage_g_per_m2": pick([80, 70.5]),
            "sheet_length_mm": pick([297, 210, 333.33]),
        },
        "slitter": {"lanes": lanes, "edge_trim_mm": pick([0, 10])},
        "pockets": {"interim_fingers": pick([True, False])},
        "overlap_belt": {"hold_cuts": pick([0, 10, 60, 200])},
        "crew": {"size": crew, "priority_prepare": pick([1, 5]), "priority_rework": pick([2, 8])},
        "gate": {
            "cuts_after_stop": pick([0, 20, 300]),
            "cuts_per_splice": pick([0, 40]),
            "cuts_per_joint": pick([0, 10]),
            "defects_per_million_sheets": pick([0, 50, 2000]),
        },
    }
    _add_reels(luck, data, webs, people)
    places = max(lanes, pick([lanes, lanes + 1, 30, 200]))
    rated = 60_000 * 4 / 297 / -(-sheets // webs) * lanes
    _add_bridge(luck, data, places)
    _add_wrappers(luck, data, places, rated, people)
    _add_time(luck, data, places, people)
    stations = [*WEB_STATIONS, "transfer", "bridge", "wrapper"]
    stations += ["outfeed"] if "outfeed" in data else []
    data["stop"] = [
        _stop(luck, f"cause {n}", pick(stations), people()) for n in range(pick([0, 2, 6]))
    ]
    data["crew"]["lay_work_down"] = pick([True, True, False])
    data["crew"]["work_at_shift_end"] = pick(["handed_over", "handed_over", "finished"])
    _add_start(luck, data)
    return data


def _add_start(luck: Random, data: dict[str, Any]) -> None:
    data["start"] = {
        "state": luck.choice(["as_found", "as_found", "new"]),
        "run_in_h": luck.choice([0, 0.3, 1]),
    }
    if luck.random() < 0.4:
        for stop in data["stop"]:
            if luck.random() < 0.5:
                (law,) = (stop[name] for name in stop if name.startswith("every_"))
                usual = law if isinstance(law, (int, float)) else law.get("mean", 0)
                stop["since_last"] = luck.choice([0, 0.2]) * usual


def _add_reels(luck: Random, data: dict[str, Any], webs: int, people: Any) -> None:
    pick = luck.choice
    change = pick(["standing_change", "standstill_splice", "flying_splice"])
    data["reels"] = {
        "diameter_mm": pick([400, 600, 1250]),
        "diameter_sd_mm": pick([0, 20]),
        "mill_joints_per_reel": pick([0, 2]),
        "at_start": pick(["fresh", "staggered", "random"]),
    }
    data["unwind"] = {
        "webs": webs,
        "change": change,
        "stands_per_web": 1 if change == "standing_change" else 2,
        "stand_limit_kg": 20_000,
        "change_min": any_law(luck, 4, may_be_none=True),
        "change_people": people(),
        "splice_min": any_law(luck, 1, may_be_none=True),
        "splice_people": people(),
        "prepare_min": any_law(luck, pick([3, 40])),
        "prepare_people": people(),
        "splice_speed_m_per_min": pick([30, 120]),
        "splice_fail_chance": pick([0, 0.3, 1]),
        "splice_length_m": pick([0, 20]),
        "butt_length_m": pick([0, 30]),
        "change_together_below_m": pick([0, 500]),
    }
    data["web_path"] = {
        "path_length_m": pick([0, 18]),
        "breaks_per_100_reels": pick([0, 5, 300]),
        "speed_exponent": pick([0, 2.5]),
        "break_chance_at_splice": pick([0, 0.5]),
        "break_chance_at_joint": pick([0, 1]),
        "break_chance_at_restart": pick([0, 0.2]),
        "clamp_holds_chance": pick([0, 0.5, 1]),
        "rethread_people": people(),
        "rethread_held_min": any_law(luck, 3),
        "rethread_lost_min": any_law(luck, 10),
    }
    data["cutter"] = {
        "web_speed_m_per_min": pick([120, 240, 331.7]),
        "max_cuts_per_min": pick([600, 1200]),
        "run_up_m_per_min_per_s": pick([0, 5, 15]),
        "run_down_m_per_min_per_s": pick([0, 30]),
    }
    seconds = pick([1, 3])
    data["transfer"] = {
        f"{part}_s": any_law(luck, seconds, may_be_none=True)
        for part in ("pick", "carry", "place", "return")
    }
    data["transfer"]["paces_webs"] = luck.random() < 0.7


def _add_bridge(luck: Random, data: dict[str, Any], places: int) -> None:
    pick = luck.choice
    bridge = {
        "places": places,
        "ream_pitch_mm": pick([60, 330]),
        "belt_speed_m_per_min": pick([0, 10, 30]),
        "when_full": pick(["wait", "wait", "set_aside"]),
    }
    if luck.random() < 0.3:
        bridge |= {"slow_at_reams": luck.randint(1, places), "slow_to_fraction": pick([0.4, 1])}
    if luck.random() < 0.3:
        stop_at = luck.randint(bridge.get("slow_at_reams", 1), places)
        bridge |= {"stop_at_reams": stop_at, "restart_at_reams": luck.randint(0, stop_at - 1)}
    if luck.random() < 0.3:
        bridge |= {"catch_up_at_reams": luck.randint(1, places), "catch_up_factor": 1.3}
    data["bridge"] = bridge


def _add_wrappers(
    luck: Random, data: dict[str, Any], places: int, rated: float, people: Any
) -> None:
    pick = luck.choice
    count = pick([1, 1, 2, 3])
    wrappers = []
    for number in range(count):
        rate = round(rated * pick([0.5, 1, 1.5]) / pick([1, count]), 2)
        wrapper: dict[str, Any] = {
            "name": f"wrapper {number + 1}",
            "rate_reams_per_min": rate,
            "spoiled_per_10000": pick([0, 50, 2000]),
        }
        if luck.random() < 0.25:
            wrapper["wrap_s"] = any_law(luck, 60 / rate)
        if luck.random() < 0.4:
            wrapper |= {
                "roll_length_m": pick([50, 500]),
                "roll_change": pick(["stop", "splice"]),
                "roll_change_min": any_law(luck, 3),
                "roll_change_people": people(),
                "roll_splice_fail_chance": pick([0, 0.5]),
            }
        wrappers.append(wrapper)
    data["wrapper"] = wrappers
    rules = ["in_turn", "nearest_free"] + ["second_above_level", "hot_standby"] * (count > 1)
    data["divert"] = {"rule": pick(rules)}
    if data["divert"]["rule"] == "second_above_level":
        data["divert"]["second_at_reams"] = luck.randint(1, places)
    data["rework"] = {
        "places": pick([0, 1, 20]),
        "rewrap_min": any_law(luck, 1),
        "people": people(),
        "good_chance": pick([0, 0.5, 1]),
    }
    if luck.random() < 0.4:
        data["outfeed"] = {
            "rate_reams_per_min": round(rated * pick([0.6, 1, 2]), 2),
            "buffer_reams": pick([0, 1, 20]),
        }


def _add_time(luck: Random, data: dict[str, Any], places: int, people: Any) -> None:
    pick = luck.choice
    if luck.random() < 0.3:
        data["calendar"] = {"shifts_per_day": 1}
    if luck.random() < 0.4:
        line = pick(["stands", "relieved"])
        data["break"] = [{"start_h": 0.7, "minutes": 20, "line": line}]
    if luck.random() < 0.3:
        data["planned_work"] = [
            {"name": "cleaning", "start_h": 0.5, "minutes": 15, "every_h": 0.9, "people": people()}
        ]
    if luck.random() < 0.3:
        data["changeover"] = {
            "grade_min": any_law(luck, 5),
            "size_min": any_law(luck, 10),
            "people": people(),
        }
        data["order"] = [_order(luck, n, places) for n in range(luck.randint(1, 4))]


def _order(luck: Random, number: int, places: int) -> dict[str, Any]:
    changes = [
        {"grammage_g_per_m2": 100, "thickness_um": 130},
        {"sheet_length_mm": 420},
        {"lanes": luck.randint(1, min(places, 6))},
        {},
    ]
    return {"name": f"order {number}", "reams": luck.choice([1, 200, 900])} | luck.choice(changes)


def _stop(luck: Random, cause: str, station: str, people: int) -> dict[str, Any]:
    pick = luck.choice
    on_webs = station in WEB_STATIONS
    meters = {
        "every_running_h": pick([0.1, 1]),
        "every_reams": pick([30, 500]),
        "every_clock_h": pick([0.2, 2]),
    }
    if on_webs:
        meters |= {"every_web_km": pick([2, 20]), "every_cuts": pick([500, 20_000])}
    meter = pick(sorted(meters))
    stop = {
        "cause": cause,
        "station": station,
        meter: any_law(luck, meters[meter]),
        "people": people,
        "restore_min": any_law(luck, pick([0.3, 5]), may_be_none=True),
        "planned": pick([True, False]),
        "spoils_cuts": pick([0, 0, 100]),
    }
    if on_webs:
        stop |= {"spoils_web_m": pick([0, 0, 50, 2000]), "spoils_pockets": pick([True, False])}
    else:
        stop["spoils_reams"] = pick([0, 1, 10])
    return stop
