"""When a line is meant to run, and when not: shifts, breaks, planned work, holidays."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from linesim.scenario.people import on_shift
from linesim.scenario.running_tables import Holiday
from linesim.scenario.scenario import Scenario
from linesim.scenario.units import DAY, HOUR, MINUTE


@dataclass(order=True, slots=True)
class Pause:
    """A stretch of time in which the line stands as planned, ns."""

    start: int
    end: int
    name: str
    crew_away: bool
    people: int = 0
    """People it takes while it lasts."""
    shift_over: bool = False
    """A shift has ended and none follows at once."""


def shift_starts(scenario: Scenario, until: int) -> list[int]:
    """Starts of all shifts before ``until``, ns."""
    length = round(scenario.line.shift_hours * HOUR)
    calendar = scenario.calendar
    free = {day for each in scenario.holiday for day in _days(each)}
    if calendar.shifts_per_day is None and calendar.days_per_week == 7:
        return [start for start in range(0, until, length) if start // DAY not in free]
    per_day = calendar.shifts_per_day or int(DAY // length)
    days = range(until // DAY + 1)
    worked = [day for day in days if day % 7 < calendar.days_per_week and day not in free]
    starts = [day * DAY + i * length for day in worked for i in range(per_day)]
    return [start for start in starts if start < until]


def crews_after_run_in(scenario: Scenario, until: int, run_in: int) -> list[tuple[int, int]]:
    """When other people come, ns from the start of the run-in, and who is there then, bit by bit.

    The run-in is shifts end to end, before the first of the calendar; below 0 that began so long
    before. The first are those who are there at the start.
    """
    if not scenario.crew_group:
        return []
    length = round(scenario.line.shift_hours * HOUR)
    before = range(run_in % length - length, run_in, length)
    after = [start + run_in for start in shift_starts(scenario, until - run_in)]
    found: list[tuple[int, int]] = []
    for start in (*before, *after):
        there = on_shift(scenario, start - run_in)
        if start <= 0:
            found = [(0, there)]
        elif not found or found[-1][1] != there:
            found.append((start, there))
    return found


def manned_ns(scenario: Scenario, start: int, end: int) -> int:
    """How long somebody is on shift from ``start`` to ``end``, ns, breaks included."""
    length = round(scenario.line.shift_hours * HOUR)
    return sum(
        max(0, min(begin + length, end) - max(begin, start))
        for begin in shift_starts(scenario, end)
    )


def pauses_after_run_in(scenario: Scenario, until: int, run_in: int) -> list[Pause]:
    """Every planned pause that begins before ``until``, ns from the start of the run-in.

    The run-in is shifts end to end up to its end, with their breaks; there the calendar begins.
    Below 0 it began so long before, and a pause under way has only its rest to come.
    """
    length = round(scenario.line.shift_hours * HOUR)
    before = _breaks(scenario, range(run_in % length - length, run_in, length), run_in)
    after = [
        replace(pause, start=pause.start + run_in, end=pause.end + run_in)
        for pause in pauses(scenario, until - run_in)
    ]
    under_way = [replace(pause, start=max(0, pause.start)) for pause in after if pause.end > 0]
    return sorted([pause for pause in before if pause.start >= 0] + under_way)


def _breaks(scenario: Scenario, starts: Iterable[int], until: int) -> list[Pause]:
    """The breaks for which the line stands, of shifts that start so, ns."""
    found = []
    for start in starts:
        for rest in scenario.rest:
            begin = start + round(rest.start_h * HOUR)
            if rest.line == "stands" and begin < until:
                end = begin + round(rest.minutes * MINUTE)
                found.append(Pause(begin, end, "break", crew_away=True))
    return found


def pauses(scenario: Scenario, until: int) -> list[Pause]:
    """Every planned pause that begins before ``until``, in order."""
    starts = shift_starts(scenario, until)
    length = round(scenario.line.shift_hours * HOUR)
    found = _breaks(scenario, starts, until)
    covered = 0
    for start in starts:
        found += _free(scenario, covered, start)
        covered = max(covered, start + length)
    found += _free(scenario, covered, until)
    for work in scenario.planned_work:
        begin = round(work.start_h * HOUR)
        while begin < until:
            end = begin + round(work.minutes * MINUTE)
            found.append(Pause(begin, end, work.name, crew_away=False, people=work.people))
            if work.every_h is None:
                break
            begin += round(work.every_h * HOUR)
    return sorted(found)


def _days(holiday: Holiday) -> range:
    """Numbers of its days; 0 is the day that begins as the run does."""
    return range(holiday.day - 1, holiday.day - 1 + holiday.days)


def _free(scenario: Scenario, start: int, end: int) -> list[Pause]:
    """The time without a shift from ``start`` to ``end``, each holiday in it by its name."""
    found = []
    for holiday in sorted(scenario.holiday, key=lambda each: each.day):
        days = _days(holiday)
        begins, ends = max(start, days[0] * DAY), min(end, (days[-1] + 1) * DAY)
        if begins < ends:
            if start < begins:
                found.append(Pause(start, begins, "no shift", crew_away=True, shift_over=True))
            found.append(Pause(begins, ends, holiday.name, crew_away=True, shift_over=True))
            start = ends
    if start < end:
        found.append(Pause(start, end, "no shift", crew_away=True, shift_over=True))
    return found
