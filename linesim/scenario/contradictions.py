"""Fields that are each legal and cannot be true together.

Each check reads a whole scenario and yields what clashes. Limits that are not arithmetic
(the thinnest wrapping material, the largest roll) are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from linesim import paper
from linesim.scenario.faults import Path, dotted, nearest
from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import STATIONS, WEB_STATIONS
from linesim.scenario.tables import Order, Wrapper

LARGEST_ROLL_MM = 1000.0
ROLL_CORE_MM = 76.0
THINNEST_WRAP_UM = 40.0
PER_WEB_STATIONS = ("unwind", "web_path", "slitter")
_MOST_WEBS = 20


@dataclass(frozen=True)
class Contradiction:
    """``path`` is the field to point at, ``concerns`` the other fields that take part."""

    path: Path
    value: Any
    problem: str
    would_be_right: str
    concerns: tuple[Path, ...] = ()

    def __str__(self) -> str:
        return f"{dotted(self.path)}: {self.problem}; right would be: {self.would_be_right}"


def contradictions(scenario: Scenario) -> list[Contradiction]:
    """Everything in *scenario* that cannot be true together; empty for a sound one."""
    checks = (
        _counting, _bridge_levels, _bridge_room, _reels, _changes, _wrapper_names, _wrapping,
        _divert, _stop_stations, _stop_twice, _stop_meters, _crew, _calendar, _planned_work,
    )
    return [clash for check in checks for clash in check(scenario)]


@dataclass(frozen=True)
class _Made:
    """What is made at one time: the product, or one order."""

    where: Path
    name: str
    width_mm: float
    length_mm: float
    grammage: float
    thickness_um: float
    lanes: int


def _all_made(s: Scenario) -> list[_Made]:
    """The product where there are no orders, and every order."""
    if not s.order:
        return [_made(s, (), None)]
    return [_made(s, ("order", i), order) for i, order in enumerate(s.order)]


def _made(s: Scenario, where: Path, order: Order | None) -> _Made:
    def own(field: str, otherwise: Any) -> Any:
        value = getattr(order, field) if order is not None else None
        return otherwise if value is None else value

    return _Made(
        where,
        f"order {order.name!r}" if order is not None else "the product",
        own("sheet_width_mm", s.product.sheet_width_mm),
        own("sheet_length_mm", s.product.sheet_length_mm),
        own("grammage_g_per_m2", s.product.grammage_g_per_m2),
        own("thickness_um", s.product.thickness_um),
        own("lanes", s.slitter.lanes),
    )


def _at(table: str, *fields: str) -> tuple[Path, ...]:
    return tuple((table, field) for field in fields)


_PLACES = _at("bridge", "places", "length_m", "ream_pitch_mm", "tracks")


def _counting(s: Scenario) -> Iterator[Contradiction]:
    sheets, webs = s.product.sheets_per_ream, s.unwind.webs
    if s.product.counting == "exact" and not paper.cuts_per_ream(sheets, webs).even:
        even = [str(n) for n in range(1, _MOST_WEBS + 1) if sheets % n == 0]
        yield Contradiction(
            ("unwind", "webs"), webs,
            f"{webs} webs do not divide a ream of {sheets} sheets, and counting is exact",
            f"{', '.join(even)} webs; or counting = \"round_up\" in [product]",
            _at("product", "sheets_per_ream", "counting"),
        )


def _bridge_levels(s: Scenario) -> Iterator[Contradiction]:
    b, places = s.bridge, s.bridge_places
    stop, restart, slow = b.stop_at_reams, b.restart_at_reams, b.slow_at_reams
    if restart is not None and stop is None:
        yield Contradiction(
            ("bridge", "restart_at_reams"), restart,
            "there is a restart level but no level at which the sheeter is stopped",
            "stop_at_reams above it, or no restart_at_reams", _at("bridge", "stop_at_reams"),
        )
    if restart is not None and stop is not None and restart >= stop:
        yield Contradiction(
            ("bridge", "restart_at_reams"), restart,
            f"the restart level is not below the stop level of {stop} reams",
            f"0 to {stop - 1} reams", _at("bridge", "stop_at_reams"),
        )
    if slow is not None and stop is not None and slow > stop:
        yield Contradiction(
            ("bridge", "slow_at_reams"), slow,
            f"the slow level is above the stop level of {stop} reams: it is never reached",
            f"1 to {stop} reams", _at("bridge", "stop_at_reams"),
        )
    levels = [("bridge", name) for name in ("slow_at_reams", "stop_at_reams", "catch_up_at_reams")]
    for table, field in [*levels, ("divert", "second_at_reams")]:
        level = getattr(getattr(s, table), field)
        if level is not None and level > places:
            yield Contradiction(
                (table, field), level,
                f"the level is above the {places} places of the bridge: it is never reached",
                f"1 to {places} reams, or a longer bridge", _PLACES,
            )


def _bridge_room(s: Scenario) -> Iterator[Contradiction]:
    places = s.bridge_places
    given = "places" if s.bridge.places is not None else "length_m"
    for made in _all_made(s):
        if places >= made.lanes:
            continue
        in_order = bool(made.where) and s.order[int(made.where[1])].lanes is not None
        at: Path = (*made.where, "lanes") if in_order else ("bridge", given)
        yield Contradiction(
            at, made.lanes if in_order else getattr(s.bridge, given),
            f"the bridge has {places} places, fewer than the {made.lanes} reams of one set",
            f"a bridge of at least {made.lanes} places",
            (*_PLACES, ("slitter", "lanes"), *_own(made, "lanes")),
        )


def _own(made: _Made, *fields: str) -> tuple[Path, ...]:
    return tuple((*made.where, field) for field in fields) if made.where else ()


def _reels(s: Scenario) -> Iterator[Contradiction]:
    r = s.reels
    diameters = _at("reels", "diameter_mm", "core_diameter_mm")
    if r.core_diameter_mm >= r.diameter_mm:
        yield Contradiction(
            ("reels", "core_diameter_mm"), r.core_diameter_mm,
            f"the core is not smaller than the reel of {r.diameter_mm:g} mm",
            "a core below the reel's diameter, usually 76 or 152.4 mm", diameters,
        )
        return
    speed, slowing = s.cutter.web_speed_m_per_min, s.cutter.run_down_m_per_min_per_s
    run_down_m = speed**2 / slowing / 120 if slowing > 0 else 0.0
    needed_m = s.unwind.butt_length_m + s.web_path.path_length_m + run_down_m
    too_short = too_heavy = False
    for made in _all_made(s):
        thin = (("product", "thickness_um"), *_own(made, "thickness_um"))
        length_m = paper.reel_length_m(r.diameter_mm, r.core_diameter_mm, made.thickness_um)
        if length_m <= needed_m and not too_short:
            too_short = True
            yield Contradiction(
                ("reels", "diameter_mm"), r.diameter_mm,
                f"a fresh reel holds {length_m:,.0f} m in {made.name}, no more than butt, web path"
                f" and run-down take ({needed_m:,.0f} m)",
                "a larger reel, a shorter butt or path, or a harder run-down",
                (*diameters, *thin, ("unwind", "butt_length_m"), ("web_path", "path_length_m"),
                 *_at("cutter", "web_speed_m_per_min", "run_down_m_per_min_per_s")),
            )
        width = paper.web_width_mm(made.lanes, made.width_mm, s.slitter.edge_trim_mm)
        mass = paper.reel_mass_kg(
            r.diameter_mm, r.core_diameter_mm, width, made.grammage, made.thickness_um
        )
        if mass > s.unwind.stand_limit_kg and not too_heavy:
            too_heavy = True
            yield Contradiction(
                ("reels", "diameter_mm"), r.diameter_mm,
                f"a fresh reel of {made.name}, {width:g} mm wide, weighs {mass:,.0f} kg; a stand"
                f" takes {s.unwind.stand_limit_kg:,.0f} kg",
                "a smaller reel, fewer lanes, or a higher stand_limit_kg in [unwind]",
                (*diameters, *thin, ("unwind", "stand_limit_kg"),
                 *_at("product", "grammage_g_per_m2", "sheet_width_mm"),
                 *_at("slitter", "lanes", "edge_trim_mm"),
                 *_own(made, "grammage_g_per_m2", "sheet_width_mm", "lanes")),
            )


def _changes(s: Scenario) -> Iterator[Contradiction]:
    u, paired = s.unwind, s.unwind.stands_per_web == 2
    if u.change != "standing_change" and not paired:
        yield Contradiction(
            ("unwind", "stands_per_web"), u.stands_per_web,
            f"a {u.change.replace('_', ' ')} needs a prepared partner stand",
            'stands_per_web = 2, or change = "standing_change"', _at("unwind", "change"),
        )
    if u.change == "standing_change" and paired:
        yield Contradiction(
            ("unwind", "change"), u.change,
            "a standing change makes no use of the second stand of each pair",
            '"standstill_splice" or "flying_splice", or stands_per_web = 1',
            _at("unwind", "stands_per_web"),
        )
    rated = s.cutter.web_speed_m_per_min
    if u.change == "flying_splice" and u.splice_speed_m_per_min > rated:
        yield Contradiction(
            ("unwind", "splice_speed_m_per_min"), u.splice_speed_m_per_min,
            f"the splice speed is above the rated web speed of {rated:g} m/min",
            f"above 0, up to {rated:g} m/min",
            (("unwind", "change"), ("cutter", "web_speed_m_per_min")),
        )


def _wrapper_names(s: Scenario) -> Iterator[Contradiction]:
    seen: dict[str, int] = {}
    for i, wrapper in enumerate(s.wrapper):
        path: Path = ("wrapper", i, "name")
        if wrapper.name in seen:
            yield Contradiction(
                path, wrapper.name, f"two wrappers are named {wrapper.name!r}",
                "a name of its own for each wrapper",
            )
        elif wrapper.name in STATIONS and (wrapper.name != "wrapper" or len(s.wrapper) > 1):
            yield Contradiction(
                path, wrapper.name, f"{wrapper.name!r} is the name of a station",
                "another name, such as \"wrapper 1\"",
            )
        seen[wrapper.name] = i


def _wrapping(s: Scenario) -> Iterator[Contradiction]:
    longest = paper.reel_length_m(LARGEST_ROLL_MM, ROLL_CORE_MM, THINNEST_WRAP_UM)
    for i, wrapper in enumerate(s.wrapper):
        roll = wrapper.roll_length_m
        if roll is not None and roll > longest:
            yield Contradiction(
                ("wrapper", i, "roll_length_m"), roll,
                f"no roll holds that much: {THINNEST_WRAP_UM:g} um material on a roll of"
                f" {LARGEST_ROLL_MM:g} mm is {longest:,.0f} m long",
                f"above 0, up to {longest:,.0f} m (usual: 1000 to 6000 m)",
            )
        for made in _all_made(s):
            clash = _wrap(s, i, wrapper, made)
            if clash is not None:
                yield clash
                break


def _wrap(s: Scenario, i: int, wrapper: Wrapper, made: _Made) -> Contradiction | None:
    height = paper.ream_height_mm(s.product.sheets_per_ream, made.thickness_um)
    sizes = ("sheet_width_mm", "sheet_length_mm", "thickness_um")
    concerns = (
        *_at("product", *sizes, "sheets_per_ream"), *_own(made, *sizes),
        ("wrapper", i, "wrap_length_mm"), ("wrapper", i, "wrap_overlap_mm"),
    )
    girth = 2 * (min(made.width_mm, made.length_mm) + height)
    if wrapper.wrap_length_mm is not None and wrapper.wrap_length_mm < girth:
        return Contradiction(
            ("wrapper", i, "wrap_length_mm"), wrapper.wrap_length_mm,
            f"does not reach around a ream of {made.name} ({girth:g} mm)",
            f"at least {girth:g} mm, and an overlap", concerns,
        )
    length = wrapper.wrap_length_mm or paper.wrap_length_mm(
        made.width_mm, height, wrapper.wrap_overlap_mm
    )
    roll = wrapper.roll_length_m
    if roll is not None and paper.reams_per_roll(roll, length) < 1:
        return Contradiction(
            ("wrapper", i, "roll_length_m"), roll,
            f"the roll is shorter than one wrap of {made.name} ({length:g} mm)",
            f"at least {length / 1000:g} m (usual: 1000 to 6000 m)", concerns,
        )
    return None


def _divert(s: Scenario) -> Iterator[Contradiction]:
    rule = s.divert.rule
    if rule == "second_above_level" and s.divert.second_at_reams is None:
        yield Contradiction(
            ("divert", "rule"), rule, "the level at which the others help is not given",
            f"second_at_reams, 1 to {s.bridge_places} reams", _at("divert", "second_at_reams"),
        )
    if rule in ("second_above_level", "hot_standby") and len(s.wrapper) == 1:
        yield Contradiction(
            ("divert", "rule"), rule, "there is only one wrapper",
            "a second [[wrapper]], or rule = \"nearest_free\"", (("wrapper",),),
        )


def _stop_stations(s: Scenario) -> Iterator[Contradiction]:
    known = [*STATIONS, *(w.name for w in s.wrapper if w.name not in STATIONS)]
    names: tuple[Path, ...] = tuple(("wrapper", i, "name") for i in range(len(s.wrapper)))
    for i, stop in enumerate(s.stop):
        path: Path = ("stop", i, "station")
        if stop.station not in known:
            guess = nearest(stop.station, known)
            yield Contradiction(
                path, stop.station, "there is no such station",
                (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(known), names,
            )
        elif stop.station == "outfeed" and s.outfeed is None:
            yield Contradiction(
                path, stop.station, f"{stop.cause!r} stops an outfeed that the line has not",
                "a table [outfeed], or another station", (("outfeed",), ("stop", i, "cause")),
            )


def _stop_twice(s: Scenario) -> Iterator[Contradiction]:
    wrappers = [w.name for w in s.wrapper]
    seen: set[tuple[str, str]] = set()
    for i, stop in enumerate(s.stop):
        stations = wrappers if stop.station == "wrapper" else [stop.station]
        pairs = {(station, stop.cause) for station in stations}
        if pairs & seen:
            yield Contradiction(
                ("stop", i, "cause"), stop.cause,
                f"{stop.cause!r} at {stop.station!r} is given twice",
                "one of the two, or another name for the cause", (("stop", i, "station"),),
            )
        seen |= pairs


def _stop_meters(s: Scenario) -> Iterator[Contradiction]:
    for i, stop in enumerate(s.stop):
        station: Path = ("stop", i, "station")
        if stop.per_web and stop.station not in PER_WEB_STATIONS:
            yield Contradiction(
                ("stop", i, "per_web"), True, f"the webs are not apart at {stop.station!r}",
                f"per_web only at {', '.join(PER_WEB_STATIONS)}", (station,),
            )
        if stop.meter in ("every_web_km", "every_cuts") and stop.station not in WEB_STATIONS:
            yield Contradiction(
                ("stop", i, stop.meter), None, f"{stop.station!r} meets reams, not webs and cuts",
                "every_reams, every_running_h or every_clock_h", (station,),
            )
        if stop.interval.average() <= 0:
            yield Contradiction(
                ("stop", i, stop.meter), None, "the interval is always 0: it would never run",
                "an interval above 0",
            )


def _tasks(s: Scenario) -> Iterable[tuple[Path, int, str, tuple[Path, ...]]]:
    u, path = s.unwind, s.web_path
    if u.change == "standing_change":
        yield ("unwind", "change_people"), u.change_people, "a reel change", ()
    if u.change == "standstill_splice":
        yield ("unwind", "splice_people"), u.splice_people, "a splice", ()
    if u.stands_per_web == 2:
        yield ("unwind", "prepare_people"), u.prepare_people, "preparing a stand", ()
    chances = (
        path.breaks_per_100_reels, path.break_chance_at_splice, path.break_chance_at_joint,
        path.break_chance_at_restart, u.splice_fail_chance,
    )
    if any(chance > 0 for chance in chances):
        yield ("web_path", "rethread_people"), path.rethread_people, "re-threading a web", ()
    for i, wrapper in enumerate(s.wrapper):
        if wrapper.roll_length_m is not None:
            yield (
                ("wrapper", i, "roll_change_people"), wrapper.roll_change_people,
                f"a roll change at {wrapper.name!r}", (),
            )
    if s.rework.places > 0:
        yield ("rework", "people"), s.rework.people, "rework", ()
    for i, stop in enumerate(s.stop):
        yield ("stop", i, "people"), stop.people, f"the stop {stop.cause!r}", (
            ("stop", i, "cause"),
        )
    for i, work in enumerate(s.planned_work):
        yield ("planned_work", i, "people"), work.people, f"the planned work {work.name!r}", ()
    if len(s.order) > 1:
        yield ("changeover", "people"), s.changeover.people, "a change-over between orders", ()


def _crew(s: Scenario) -> Iterator[Contradiction]:
    for path, people, task, concerns in _tasks(s):
        if people > s.crew.size:
            yield Contradiction(
                path, people,
                f"{task} takes {people} people and the crew has {s.crew.size}: it is never done",
                f"at most {s.crew.size}, or a larger size in [crew]",
                (("crew", "size"), *concerns),
            )


def _calendar(s: Scenario) -> Iterator[Contradiction]:
    hours, shifts = s.line.shift_hours, s.calendar.shifts_per_day
    if shifts is not None and shifts * hours > 24 + 1e-9:
        yield Contradiction(
            ("calendar", "shifts_per_day"), shifts,
            f"{shifts} shifts of {hours:g} h are more than a day",
            f"at most {int(24 / hours + 1e-9)} shifts, or shorter ones",
            _at("line", "shift_hours"),
        )
    for i, rest in enumerate(s.rest):
        if rest.start_h + rest.minutes / 60 > hours + 1e-9:
            yield Contradiction(
                ("break", i, "start_h"), rest.start_h,
                f"the break ends after the shift of {hours:g} h",
                f"an end within {hours:g} h", (("line", "shift_hours"), ("break", i, "minutes")),
            )
    in_turn = sorted(enumerate(s.rest), key=lambda pair: pair[1].start_h)
    for (i, first), (j, second) in pairwise(in_turn):
        ends = first.start_h + first.minutes / 60
        if second.start_h < ends - 1e-9:
            yield Contradiction(
                ("break", j, "start_h"), second.start_h,
                f"the break starts before the one at {first.start_h:g} h has ended",
                f"{ends:.4g} h or later", (("break", i), ("break", j, "minutes")),
            )


def _planned_work(s: Scenario) -> Iterator[Contradiction]:
    for i, work in enumerate(s.planned_work):
        if work.every_h is not None and work.minutes >= work.every_h * 60:
            yield Contradiction(
                ("planned_work", i, "minutes"), work.minutes,
                f"{work.name!r} takes as long as the {work.every_h:g} h after which it is due"
                " again",
                f"less than {work.every_h * 60:g} min", (("planned_work", i, "every_h"),),
            )
