"""Contradictions of the crew: work that nobody ever does, groups that are never there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from linesim.scenario.faults import Contradiction, Path
from linesim.scenario.people import (
    ANYONE,
    KINDS_OF_WORK,
    crews_of_the_week,
    people_in,
    shifts_of_the_week,
    who_can,
    who_can_mend,
)
from linesim.scenario.running_tables import CrewGroup
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest
from linesim.scenario.stops import STATIONS, WEB_STATIONS
from linesim.scenario.wages import wages_of_the_crew


class _Task(NamedTuple):
    """Work that takes people: where that stands, what it is called, and who can do it."""

    path: Path
    people: int
    task: str
    who: int = ANYONE
    concerns: tuple[Path, ...] = ()


def _tasks(s: Scenario) -> Iterator[_Task]:
    u, path, reels = s.unwind, s.web_path, who_can(s, "reels", "unwind")
    if u.change == "standing_change":
        yield _Task(("unwind", "change_people"), u.change_people, "a reel change", reels)
    if u.change == "standstill_splice":
        yield _Task(("unwind", "splice_people"), u.splice_people, "a splice", reels)
    if u.prepares_stands:
        yield _Task(
            ("unwind", "prepare_people"),
            u.prepare_people,
            "preparing a stand",
            who_can(s, "prepare", "unwind"),
        )
    if s.reel_truck is not None:
        yield _Task(
            ("reel_truck", "people"), s.reel_truck.people, "bringing a reel", who_can(s, "truck")
        )
    chances = (
        path.breaks_per_100_reels,
        *(grade.breaks_per_100_reels or 0 for grade in s.grade),
        path.break_chance_at_splice,
        path.break_chance_at_joint,
        path.break_chance_at_restart,
        u.splice_fail_chance,
    )
    if any(chance > 0 for chance in chances):
        yield _Task(
            ("web_path", "rethread_people"),
            path.rethread_people,
            "re-threading a web",
            who_can(s, "rethread", "web_path"),
        )
    for i, wrapper in enumerate(s.wrapper):
        if wrapper.roll_length_m is not None:
            yield _Task(
                ("wrapper", i, "roll_change_people"),
                wrapper.roll_change_people,
                f"a roll change at {wrapper.name!r}",
                who_can(s, "rolls", "wrapper", wrapper.name),
            )
    for i, packer in enumerate(s.carton_packer):
        if packer.magazine_blanks is not None:
            where: Path = ("carton_packer", i, "refill_people")
            yield _Task(
                where,
                packer.refill_people,
                "filling the magazine of blanks",
                who_can(s, "blanks", "carton_packer", packer.name),
            )
    palletiser = s.palletiser
    if palletiser is not None:
        where = ("palletiser", "change_people")
        yield _Task(
            where,
            palletiser.change_people,
            "a change of pallets",
            who_can(s, "pallets", "palletiser"),
        )
        if palletiser.fetch_min is not None:
            where = ("palletiser", "fetch_people")
            yield _Task(where, palletiser.fetch_people, "fetching a pallet", who_can(s, "truck"))
    if s.rework.places > 0:
        yield _Task(("rework", "people"), s.rework.people, "rework", who_can(s, "rework"))
    for i, stop in enumerate(s.stop):
        cause: tuple[Path, ...] = (("stop", i, "cause"),)
        for station in s.stations_called(stop.station):
            who = who_can_mend(s, stop.cause, station)
            yield _Task(("stop", i, "people"), stop.people, f"the stop {stop.cause!r}", who, cause)
            if stop.changed_every is not None and stop.change_people is not None:
                yield _Task(
                    ("stop", i, "change_people"),
                    stop.change_people,
                    f"the planned change of {stop.cause!r}",
                    who,
                    cause,
                )
    for i, work in enumerate(s.planned_work):
        yield _Task(("planned_work", i, "people"), work.people, f"the planned work {work.name!r}")
    if len(s.order) > 1:
        yield _Task(
            ("changeover", "people"),
            s.changeover.people,
            "a change-over between orders",
            who_can(s, "change-over"),
        )
    for i, pair in enumerate(s.changeover_pair):
        if pair.people is not None:
            yield _Task(
                ("changeover_pair", i, "people"),
                pair.people,
                f"the change-over from {pair.before!r} to {pair.after!r}",
                who_can(s, "change-over"),
            )


def _crew(s: Scenario) -> Iterator[Contradiction]:
    crews = crews_of_the_week(s)
    for path, people, task, who, concerns in _tasks(s):
        most = max((people_in(s, there & who) for there in crews), default=0)
        if people <= most:
            continue
        if not s.crew_group:
            yield Contradiction(
                path,
                f"{task} takes {people} people and the crew has {s.crew.size}: it is never done",
                f"at most {s.crew.size}, or a larger size in [crew]",
                (("crew", "size"), *concerns),
            )
        else:
            yield Contradiction(
                path,
                f"{task} takes {people} people and on no shift are there more than {most} who can"
                " do it: it is never done",
                f"at most {most}, or more people who can in [crew] or [[crew_group]]",
                (("crew", "size"), ("crew_group",), *concerns),
            )


def _groups(s: Scenario) -> Iterator[Contradiction]:
    if s.crew_group and "size" not in s.crew.model_fields_set:
        yield Contradiction(
            ("crew", "size"),
            "there are groups of the crew, and how many people come besides them is not given",
            "people on every shift who can do everything; 0 where the groups are all there are",
            (("crew_group",),),
        )
    seen: set[str] = set()
    for i, group in enumerate(s.crew_group):
        path: Path = ("crew_group", i)
        if group.name in seen:
            yield Contradiction(
                (*path, "name"), f"two groups are named {group.name!r}", "a name for each group"
            )
        seen.add(group.name)
        if not any(group.is_there(day, shift) for day, shift in shifts_of_the_week(s)):
            yield Contradiction(
                (*path, "name"),
                f"{group.name!r} is on no shift that is worked",
                "other shifts or days, or a [calendar] that has them",
                tuple(
                    (*path, name)
                    for name in ("first_shift", "last_shift", "first_day", "last_day")
                    if getattr(group, name) is not None
                ),
            )
        yield from _skills(s, (*path, "can"), group)
        yield from _whole_shifts(s, path, group)


def _skills(s: Scenario, path: Path, group: CrewGroup) -> Iterator[Contradiction]:
    ends = (name for names in s.end_places.values() for name in names)
    known = [*KINDS_OF_WORK, *STATIONS, *(each.name for each in s.wrapper), *ends]
    known = list(dict.fromkeys([*known, *(stop.cause for stop in s.stop)]))
    for word in group.skills:
        if word not in known:
            guess = nearest(word, known)
            yield Contradiction(
                path,
                f"there is no work, station or stop cause {word!r}",
                (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(known),
            )


def _whole_shifts(s: Scenario, path: Path, group: CrewGroup) -> Iterator[Contradiction]:
    """Shifts end to end have a number in the day only where a day is so many whole ones."""
    shifts = 24 / s.line.shift_hours
    end_to_end = s.calendar.shifts_per_day is None and s.calendar.days_per_week == 7
    if not end_to_end or abs(shifts - round(shifts)) < 1e-9:
        return
    for name in ("first_shift", "last_shift"):
        if getattr(group, name) is not None:
            yield Contradiction(
                (*path, name),
                f"shifts of {s.line.shift_hours:g} h end to end begin at other hours every day",
                "shifts_per_day in [calendar], or shifts of which a day has a whole number",
                (("line", "shift_hours"), ("calendar", "shifts_per_day")),
            )


def _places(s: Scenario) -> Iterator[Contradiction]:
    ends = (name for names in s.end_places.values() for name in names)
    there = [
        *WEB_STATIONS,
        "transfer",
        "bridge",
        "wrapper",
        *(each.name for each in s.wrapper),
        *s.end_places,
        *ends,
    ]
    known = list(dict.fromkeys([*there, "rework"]))
    seen: set[str] = set()
    for i, place in enumerate(s.station_place):
        path: Path = ("station_place", i, "name")
        if place.name not in known:
            guess = nearest(place.name, known)
            yield Contradiction(
                path,
                f"the line has no station {place.name!r}",
                (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(known),
            )
        if place.name in seen:
            yield Contradiction(path, f"{place.name!r} has two places", "one place for each")
        seen.add(place.name)
    if s.station_place and s.crew.walk_m_per_s is None:
        yield Contradiction(
            ("station_place", 0, "name"),
            "stations have places, and how fast people walk is not given",
            "walk_m_per_s in [crew], or no places",
            (("crew", "walk_m_per_s"),),
        )
    if s.crew.walk_m_per_s is not None and not s.station_place:
        yield Contradiction(
            ("crew", "walk_m_per_s"),
            "no station has a place: nobody's way takes time",
            "the places of stations in [[station_place]]",
            (("station_place",),),
        )


def _wages(s: Scenario) -> Iterator[Contradiction]:
    paid: list[Path] = [
        ("crew_group", i, "wage_per_h")
        for i, group in enumerate(s.crew_group)
        if group.wage_per_h is not None
    ]
    if s.money.wage_per_h is not None:
        paid.insert(0, ("money", "wage_per_h"))
    if paid and s.money.person_cost_per_year > 0:
        yield Contradiction(
            ("money", "person_cost_per_year"),
            "what a person costs is given by the year and by the hour",
            "one of the two; wage_per_h times hours_per_year is the cost of a year",
            tuple(paid),
        )
    elif paid and wages_of_the_crew(s) is None:
        yield Contradiction(
            paid[0],
            "some of the crew have wages and others have none",
            "wage_per_h in [money], too, for all who have none of their own",
            (*paid[1:], ("money", "wage_per_h")),
        )


CHECKS = (_crew, _groups, _places, _wages)
