"""Contradictions of wrappers, stops, people and the calendar."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from linesim.scenario.doubts import tables_of
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.faults import Contradiction, Path, at
from linesim.scenario.fields import POWER
from linesim.scenario.order_tables import MOMENT_WANTED
from linesim.scenario.residual_life import longer_than, longest
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest
from linesim.scenario.stops import STATIONS, WEB_STATIONS

_HARDLY_EVER = 1e-9
"""A chance taken for none."""
PER_WEB_STATIONS = ("unwind", "web_path", "slitter")


_SEVERAL = {"wrapper": "wrapper", "carton_packer": "carton packer"}
"""Stations of which there may be several, each with a name, and their kinds in words."""


def _named(s: Scenario) -> Iterator[tuple[Path, str, str]]:
    """Where each name of a station stands, the table and the name."""
    for table in _SEVERAL:
        for i, each in enumerate(getattr(s, table)):
            yield (table, i, "name"), table, each.name


def _names(s: Scenario) -> Iterator[Contradiction]:
    seen: dict[str, str] = {}
    for path, table, name in _named(s):
        kind = _SEVERAL[table]
        if name in seen:
            both = f"two {kind}s are" if seen[name] == table else f"a wrapper and a {kind} are"
            yield Contradiction(
                path, f"{both} named {name!r}", f"a name of its own for each {kind}"
            )
        elif name in STATIONS and (name != table or len(getattr(s, table)) > 1):
            yield Contradiction(
                path,
                f"{name!r} is the name of a station",
                f'another name, such as "{kind} 1"',
            )
        seen[name] = table


def _divert(s: Scenario) -> Iterator[Contradiction]:
    rule = s.divert.rule
    if rule == "second_above_level" and s.divert.second_at_reams is None:
        yield Contradiction(
            ("divert", "rule"),
            "the level at which the others help is not given",
            f"second_at_reams, 1 to {s.bridge_places} reams",
            at("divert", "second_at_reams"),
        )
    if rule in ("second_above_level", "hot_standby") and len(s.wrapper) == 1:
        yield Contradiction(
            ("divert", "rule"),
            "there is only one wrapper",
            'a second [[wrapper]], or rule = "nearest_free"',
            (("wrapper",),),
        )


def _stop_stations(s: Scenario) -> Iterator[Contradiction]:
    known = [*STATIONS, *(name for _, _, name in _named(s) if name not in STATIONS)]
    names = tuple(path for path, _, _ in _named(s))
    for i, stop in enumerate(s.stop):
        path: Path = ("stop", i, "station")
        if stop.station not in known:
            guess = nearest(stop.station, known)
            yield Contradiction(
                path,
                "there is no such station",
                (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(known),
                names,
            )
        elif stop.station in END_OF_LINE and stop.station not in s.end_places:
            yield Contradiction(
                path,
                f"{stop.cause!r} stops a station that the line has not",
                f"a table [{stop.station}], or another station",
                ((stop.station,), ("stop", i, "cause")),
            )


def _stop_twice(s: Scenario) -> Iterator[Contradiction]:
    seen: set[tuple[str, str]] = set()
    for i, stop in enumerate(s.stop):
        pairs = {(station, stop.cause) for station in s.stations_called(stop.station)}
        if pairs & seen:
            yield Contradiction(
                ("stop", i, "cause"),
                f"{stop.cause!r} at {stop.station!r} is given twice",
                "one of the two, or another name for the cause",
                (("stop", i, "station"),),
            )
        seen |= pairs


def _stop_meters(s: Scenario) -> Iterator[Contradiction]:
    for i, stop in enumerate(s.stop):
        station: Path = ("stop", i, "station")
        if stop.per_web and stop.station not in PER_WEB_STATIONS:
            yield Contradiction(
                ("stop", i, "per_web"),
                f"the webs are not apart at {stop.station!r}",
                f"per_web only at {', '.join(PER_WEB_STATIONS)}",
                (station,),
            )
        if stop.meter in ("every_web_km", "every_cuts") and stop.station not in WEB_STATIONS:
            yield Contradiction(
                ("stop", i, stop.meter),
                f"{stop.station!r} meets reams, not webs and cuts",
                "every_reams, every_running_h or every_clock_h",
                (station,),
            )


def _ages(s: Scenario) -> Iterator[Contradiction]:
    for i, stop in enumerate(s.stop):
        used = stop.since_last
        if used is not None and longer_than(stop.interval, used) < _HARDLY_EVER:
            yield Contradiction(
                ("stop", i, "since_last"),
                "no interval of this cause lasts so long",
                f"below {longest(stop.interval, _HARDLY_EVER):.4g}, or a longer interval",
                (("stop", i, stop.meter),),
            )


def _plans(s: Scenario) -> Iterator[Contradiction]:
    for i, stop in enumerate(s.stop):
        if stop.changed_every is None:
            continue
        path: Path = ("stop", i, "changed_every")
        if stop.change_min is None:
            yield Contradiction(
                path,
                "how long a change by plan takes is not given",
                "change_min, in minutes",
                (("stop", i, "change_min"),),
            )
        if stop.planned:
            yield Contradiction(
                path,
                f"{stop.cause!r} is planned itself: what does not fail has no plan to prevent it",
                "planned = false, with interval and time to restore of a part that fails",
                (("stop", i, "planned"),),
            )


def _calendar(s: Scenario) -> Iterator[Contradiction]:
    hours, shifts = s.line.shift_hours, s.calendar.shifts_per_day
    if shifts is not None and shifts * hours > 24 + 1e-9:
        yield Contradiction(
            ("calendar", "shifts_per_day"),
            f"{shifts} shifts of {hours:g} h are more than a day",
            f"at most {int(24 / hours + 1e-9)} shifts, or shorter ones",
            at("line", "shift_hours"),
        )
    for i, rest in enumerate(s.rest):
        if rest.start_h + rest.minutes / 60 > hours + 1e-9:
            yield Contradiction(
                ("break", i, "start_h"),
                f"the break ends after the shift of {hours:g} h",
                f"an end within {hours:g} h",
                (("line", "shift_hours"), ("break", i, "minutes")),
            )
    in_turn = sorted(enumerate(s.rest), key=lambda pair: pair[1].start_h)
    for (i, first), (j, second) in pairwise(in_turn):
        ends = first.start_h + first.minutes / 60
        if second.start_h < ends - 1e-9:
            yield Contradiction(
                ("break", j, "start_h"),
                f"the break starts before the one at {first.start_h:g} h has ended",
                f"{ends:.4g} h or later",
                (("break", i), ("break", j, "minutes")),
            )


def _holidays(s: Scenario) -> Iterator[Contradiction]:
    in_turn = sorted(enumerate(s.holiday), key=lambda pair: pair[1].day)
    for (i, first), (j, second) in pairwise(in_turn):
        if second.day < first.day + first.days:
            yield Contradiction(
                ("holiday", j, "day"),
                f"{first.name!r} lasts to the end of day {first.day + first.days - 1}",
                f"day {first.day + first.days} or later, or one entry for both",
                (("holiday", i, "day"), ("holiday", i, "days")),
            )


def _power(s: Scenario) -> Iterator[Contradiction]:
    for table, number, figures in tables_of(s):
        given = [name for name in POWER if getattr(figures, name, None) is not None]
        if len(given) == 1:
            path: Path = (table,) if number is None else (table, number)
            missing = next(name for name in POWER if name not in given)
            yield Contradiction(
                (*path, given[0]),
                f"{missing} is not given, so its energy cannot be reckoned",
                "both powers; 0 is what a station draws that is switched off",
            )


def _start(s: Scenario) -> Iterator[Contradiction]:
    try:
        _ = s.calendar.start
    except ValueError:
        yield Contradiction(
            ("calendar", "starts"),
            "there is no such day or hour",
            MOMENT_WANTED,
        )


def _planned_work(s: Scenario) -> Iterator[Contradiction]:
    for i, work in enumerate(s.planned_work):
        if work.every_h is not None and work.minutes >= work.every_h * 60:
            yield Contradiction(
                ("planned_work", i, "minutes"),
                f"{work.name!r} takes as long as the {work.every_h:g} h after which it is due"
                " again",
                f"less than {work.every_h * 60:g} min",
                (("planned_work", i, "every_h"),),
            )


CHECKS = (
    _names,
    _divert,
    _stop_stations,
    _stop_twice,
    _stop_meters,
    _ages,
    _plans,
    _calendar,
    _power,
    _start,
    _holidays,
    _planned_work,
)
