"""A line with one thing changed: a longer bridge, a cause taken away, a faster station."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from linesim.line.chance import FIRST_OF_SEVERAL
from linesim.record.capacity import CARTON_PACKER, PALLETISER, SHEETER, TRANSFER, WRAPPERS
from linesim.record.states import HAND_RAMP
from linesim.record.web_stops import REEL_TRUCK
from linesim.scenario import WEB_STATIONS, Scenario, check_mapping
from linesim.scenario.buffers import BRIDGE, buffers_of
from linesim.scenario.changed_law import scaled
from linesim.scenario.writing import split_name

REEL_CHANGES = "reel changes"
SPLICES = "splices"
"""What changes of reels are where the next reel of a web is on another stand."""
WEB_BREAKS = "web breaks"
ROLL_CHANGES = "roll changes"
NO_BLANKS = "no blanks"
PALLET_CHANGES = "pallet changes"
FULL_PALLETS = "full pallets wait"

Data = dict[str, Any]


def data_of(scenario: Scenario) -> Data:
    """The scenario as tables that may be changed."""
    data = _lists(scenario.model_dump(by_alias=True, exclude_none=True))
    assert isinstance(data, dict)
    return data


def _lists(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _lists(inner) for key, inner in value.items()}
    return [_lists(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def changed(scenario: Scenario, change: Callable[[Data], None]) -> Scenario:
    """A checked copy of the scenario with ``change`` made to its tables.

    Raises :class:`~linesim.scenario.ScenarioFaults` where that makes no line.
    """
    data = data_of(scenario)
    change(data)
    return check_mapping(data, file=scenario.line.name)


def with_bridge(scenario: Scenario, places: int) -> Scenario:
    """The line with so many places on its bridge: with what :func:`bridge_fields` says set."""
    return with_buffers(scenario, {BRIDGE: places})


def with_buffers(scenario: Scenario, places: Mapping[str, int]) -> Scenario:
    """The line with buffers of so many places, by their names."""

    def change(data: Data) -> None:
        for field, value in buffer_fields(scenario, places).items():
            *owner, name = split_name(field)
            table: Any = data
            for part in owner:
                table = table[part]
            table[name] = value

    return changed(scenario, change)


def buffer_fields(scenario: Scenario, places: Mapping[str, int]) -> dict[str, Any]:
    """What gives buffers so many places: fields by their dotted names, and their values."""
    buffers = buffers_of(scenario)
    found: dict[str, Any] = {}
    for name, count in places.items():
        is_bridge = name == BRIDGE
        found |= bridge_fields(scenario, count) if is_bridge else buffers[name].fields(count)
    return found


def bridge_fields(scenario: Scenario, places: int) -> dict[str, Any]:
    """What gives the line so many places: fields by their dotted names, and their values.

    Length and places follow, each where it is given, and travel goes with the length. Levels at
    which the sheeter is slowed or stopped, and wrappers catch up or help, keep their distance from
    the end of the bridge (what is still under way at a stop must find its place); the restart level
    keeps its share of the stop level.
    """
    old, bridge = scenario.bridge_places, scenario.bridge
    if places == old:
        return {}
    found: dict[str, Any] = {}

    def moved(level: int) -> int:
        return min(places, max(1, places - (old - level)))

    if bridge.length_m is not None:
        found["bridge.length_m"] = bridge.belt.length_for(places)
    if bridge.length_m is None or bridge.places is not None or places % bridge.tracks:
        found["bridge.places"] = places
    for name in ("slow_at_reams", "stop_at_reams", "catch_up_at_reams"):
        level = getattr(bridge, name)
        if level is not None:
            found[f"bridge.{name}"] = moved(level)
    if bridge.restart_at_reams is not None:
        stop = moved(bridge.stop_at_reams or places)
        share = bridge.restart_at_reams / (bridge.stop_at_reams or old)
        found["bridge.restart_at_reams"] = max(0, min(stop - 1, round(share * stop)))
    if scenario.divert.second_at_reams is not None:
        found["divert.second_at_reams"] = moved(scenario.divert.second_at_reams)
    return found


def with_levels(
    scenario: Scenario, stop: int | None, restart: int | None, slow: int | None
) -> Scenario:
    """The line with these levels of its bridge; None takes a level away."""

    def change(data: Data) -> None:
        for name, level in (("stop", stop), ("restart", restart), ("slow", slow)):
            data["bridge"].pop(f"{name}_at_reams", None)
            if level is not None:
                data["bridge"][f"{name}_at_reams"] = level

    return changed(scenario, change)


def causes_of(scenario: Scenario) -> tuple[str, ...]:
    """Everything that stops or slows the line of itself and can be taken away, by name."""
    found = list(dict.fromkeys(stop.cause for stop in scenario.stop))
    path, unwind = scenario.web_path, scenario.unwind
    chances = (
        path.breaks_per_100_reels,
        *(grade.breaks_per_100_reels or 0 for grade in scenario.grade),
        path.break_chance_at_splice,
        path.break_chance_at_joint,
        path.break_chance_at_restart,
        unwind.splice_fail_chance,
    )
    if any(chances):
        found.append(WEB_BREAKS)
    if scenario.cutter.hand_ramp_fractions:
        found.append(HAND_RAMP)
    found.append(SPLICES if unwind.prepares_stands else REEL_CHANGES)
    if scenario.reel_truck is not None:
        found.append(REEL_TRUCK)
    if any(wrapper.roll_length_m is not None for wrapper in scenario.wrapper):
        found.append(ROLL_CHANGES)
    if any(packer.magazine_blanks is not None for packer in scenario.carton_packer):
        found.append(NO_BLANKS)
    palletiser = scenario.palletiser
    if palletiser is not None:
        found.append(PALLET_CHANGES)
        if palletiser.truck_every_min is not None or palletiser.fetch_min is not None:
            found.append(FULL_PALLETS)
    return tuple(found)


def without_cause(scenario: Scenario, cause: str) -> Scenario:
    """The line with one cause alone taken away, all else meeting the same random numbers.

    Reels and rolls still run out, and pallets are full: their changes take neither time nor people
    then. Blanks never run out, full pallets are gone at once, and reels are at hand.
    Raises ``KeyError`` for a cause the scenario has not.
    """
    if cause not in causes_of(scenario):
        raise KeyError(f"the scenario has no stop cause {cause!r}")

    def change(data: Data) -> None:
        named = [stop for stop in data["stop"] if stop["cause"] == cause]
        if named:
            data["stop"] = [stop for stop in data["stop"] if stop["cause"] != cause]
        elif cause == WEB_BREAKS:
            _break_less(data, 0.0)
        elif cause == HAND_RAMP:
            for name in [name for name in data["cutter"] if name.startswith("hand_ramp_")]:
                del data["cutter"][name]
        elif cause == ROLL_CHANGES:
            for wrapper in data["wrapper"]:
                wrapper.pop("roll_length_m", None)
        elif cause == NO_BLANKS:
            for packer in data["carton_packer"]:
                packer.pop("magazine_blanks", None)
        elif cause == PALLET_CHANGES:
            data["palletiser"] |= {"change_s": 0.0, "change_people": 0}
        elif cause == FULL_PALLETS:
            for name in ("truck_every_min", "fetch_min"):
                data["palletiser"].pop(name, None)
        elif cause == REEL_TRUCK:
            truck = data.pop("reel_truck")
            if "places" in truck:
                data["unwind"]["prepare_min"] = truck["chuck_min"]
        else:
            if "reel_truck" in data:
                data["reel_truck"]["chuck_min"] = 0.0
            table = data["unwind"]
            table |= {"change_min": 0.0, "splice_min": 0.0, "prepare_min": 0.0}
            table |= {"change_people": 0, "splice_people": 0, "prepare_people": 0}
            table["splice_length_m"] = 0.0

    return changed(scenario, change)


def stations_of(scenario: Scenario) -> tuple[str, ...]:
    """Stations that set a pace, as the paper moves; wrappers are one, and carton packers."""
    return (SHEETER, TRANSFER, WRAPPERS, *scenario.end_places)


def faster(scenario: Scenario, station: str, factor: float) -> Scenario:
    """The line with one station's rated speed times ``factor``; web breaks grow as they do."""

    def change(data: Data) -> None:
        if station == SHEETER:
            for name in ("web_speed_m_per_min", "max_cuts_per_min"):
                data["cutter"][name] *= factor
            _scale_limits(data, "web_speed_m_per_min", factor)
        elif station == TRANSFER:
            for name in ("pick_s", "carry_s", "place_s", "return_s"):
                data["transfer"][name] = scaled(data["transfer"][name], 1 / factor)
        elif station == WRAPPERS:
            for wrapper in data["wrapper"]:
                wrapper["rate_reams_per_min"] *= factor
                if wrapper.get("wrap_s") is not None:
                    wrapper["wrap_s"] = scaled(wrapper["wrap_s"], 1 / factor)
            _scale_limits(data, "wrapper_rate_reams_per_min", factor)
        else:
            if station == CARTON_PACKER:
                _scale_limits(data, "packer_rate_cartons_per_min", factor)
            for table in as_tables(data[station]):
                for name in table:
                    if name.startswith("rate_"):
                        table[name] *= factor

    return changed(scenario, change)


def as_tables(there: Data | list[Data]) -> list[Data]:
    """The tables of a station, one or several."""
    return there if isinstance(there, list) else [there]


def _scale_limits(data: Data, field: str, factor: float) -> None:
    """What grades and sizes say of a speed or of breaks, times ``factor``."""
    for each in (*data.get("grade", ()), *data.get("size", ())):
        if each.get(field) is not None:
            each[field] *= factor


def fewer_stops(scenario: Scenario, station: str, factor: float) -> Scenario:
    """The line with a station's stops rarer: ``factor`` 0.9 for 10 % fewer. Rolls stay as long."""

    def change(data: Data) -> None:
        for stop in _stops_at(scenario, data, station):
            _make_rarer(stop, factor)
        if station == SHEETER:
            _break_less(data, factor)

    return changed(scenario, change)


def with_fewer_breaks(scenario: Scenario, factor: float) -> Scenario:
    """The line with so much less of web breaks: ``factor`` 0.7 for 30 % fewer."""
    return changed(scenario, lambda data: _break_less(data, factor))


def _break_less(data: Data, factor: float) -> None:
    for name in data["web_path"]:
        if name.startswith(("breaks_per", "break_chance")):
            data["web_path"][name] *= factor
    _scale_limits(data, "breaks_per_100_reels", factor)
    data["unwind"]["splice_fail_chance"] *= factor


def shorter_stops(scenario: Scenario, station: str, factor: float) -> Scenario:
    """The line with a station's stops, changes of reels, rolls, pallets shorter by ``factor``."""

    def change(data: Data) -> None:
        for stop in _stops_at(scenario, data, station):
            _make_shorter(stop, factor)
        if station == SHEETER:
            for table, name in (
                ("web_path", "rethread_held_min"),
                ("web_path", "rethread_lost_min"),
                ("unwind", "change_min"),
                ("unwind", "splice_min"),
            ):
                data[table][name] = scaled(data[table][name], factor)
        elif station == WRAPPERS:
            for wrapper in data["wrapper"]:
                wrapper["roll_change_min"] = scaled(wrapper["roll_change_min"], factor)
        elif station == PALLETISER:
            data[station]["change_s"] = scaled(data[station]["change_s"], factor)

    return changed(scenario, change)


def with_cause_rarer(scenario: Scenario, cause: str, factor: float) -> Scenario:
    """The line with so much less of one stop cause: ``factor`` 0.7 for 30 % fewer stops."""

    def change(data: Data) -> None:
        for stop in data["stop"]:
            if stop["cause"] == cause:
                _make_rarer(stop, factor)

    return changed(scenario, change)


def with_cause_shorter(scenario: Scenario, cause: str, factor: float) -> Scenario:
    """The line with the stops of one cause mended in ``factor`` of the time."""

    def change(data: Data) -> None:
        for stop in data["stop"]:
            if stop["cause"] == cause:
                _make_shorter(stop, factor)

    return changed(scenario, change)


def _make_rarer(stop: Data, factor: float) -> None:
    meter = next(name for name in stop if name.startswith("every_"))
    stop[meter] = scaled(stop[meter], 1 / factor)
    if stop.get("changed_every") is not None:
        stop["changed_every"] /= factor


def _make_shorter(stop: Data, factor: float) -> None:
    stop["restore_min"] = scaled(stop["restore_min"], factor)
    if stop.get("change_min") is not None:
        stop["change_min"] = scaled(stop["change_min"], factor)


def _stops_at(scenario: Scenario, data: Data, station: str) -> list[Data]:
    called = "wrapper" if station == WRAPPERS else station
    names = {called, *scenario.stations_called(called)}
    if station == SHEETER:
        names = set(WEB_STATIONS)
    return [stop for stop in data["stop"] if stop["station"] in names]


def ready_for_more(scenario: Scenario, table: str = "wrapper") -> Scenario:
    """The same line with a name of its own for its wrapper, so that others can stand beside it.

    Or for its carton packer. Draws go by names; under this one it keeps its own.
    """

    def change(data: Data) -> None:
        data[table][0]["name"] = FIRST_OF_SEVERAL[table]

    # Of several, none has the name of the table.
    return changed(scenario, change) if getattr(scenario, table)[0].name == table else scenario


def with_another(scenario: Scenario, table: str = "wrapper") -> Scenario:
    """The line with one wrapper more, like its last, with the same kinds of stops.

    Or with one carton packer more, which adds no room to the conveyor. ``scenario`` comes from
    :func:`ready_for_more`.
    """
    names = scenario.stations_called(table)
    number = len(names) + 1
    while (name := f"{table.replace('_', ' ')} {number}") in names:
        number += 1

    def change(data: Data) -> None:
        like = data[table][-1]
        data[table].append(like | {"name": name})
        if table == "carton_packer":
            data[table][-1]["conveyor_reams"] = 0
        own = [stop for stop in data["stop"] if stop["station"] == like["name"]]
        data["stop"] += [stop | {"station": name} for stop in own]

    return changed(scenario, change)


def with_faster_roll_changes(scenario: Scenario, factor: float) -> Scenario:
    """The line with the standing time of its roll changes times ``factor``."""

    def change(data: Data) -> None:
        for wrapper in data["wrapper"]:
            wrapper["roll_change_min"] = scaled(wrapper["roll_change_min"], factor)

    return changed(scenario, change)


def with_faster_changeovers(scenario: Scenario, factor: float) -> Scenario:
    """The line with all times of a change-over between orders times ``factor``."""

    def change(data: Data) -> None:
        for table in (data["changeover"], *data.get("changeover_pair", ())):
            for name in ("grade_min", "size_min", "lanes_min", "wrapping_min", "time_min"):
                if table.get(name) is not None:
                    table[name] = scaled(table[name], factor)

    return changed(scenario, change)


def with_more_people(scenario: Scenario, people: int, group: int | None = None) -> Scenario:
    """The line with so many people more on every shift, or in a group of the crew by its place."""

    def change(data: Data) -> None:
        if group is None:
            data["crew"]["size"] += people
        else:
            data["crew_group"][group]["number"] += people

    return changed(scenario, change)
