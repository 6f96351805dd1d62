"""When the line is not meant to run: breaks, planned work, hours without a shift."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.accounts import PLANNED, late_cause
from linesim.line.clock import DAY, HOUR, MINUTE, NEVER, RANK_CALENDAR, Alarm, set_alarm
from linesim.line.crew import come_back, leave, lend, take_back
from linesim.line.machine import end_stop, hold
from linesim.line.rings import PAUSE_BEGINS, PAUSE_OVER
from linesim.line.stoppage import PAUSED, Stoppage, new_stoppage
from linesim.line.typed import Ref, Row, add, shorten
from linesim.line.webs import add_hold, release_hold
from linesim.scenario.tables import Holiday

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.scenario import Scenario


@dataclass(frozen=True, order=True)
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
    """
    length = round(scenario.line.shift_hours * HOUR)
    before = _breaks(scenario, range(run_in % length - length, run_in, length), run_in)
    after = [
        replace(pause, start=pause.start + run_in, end=pause.end + run_in)
        for pause in pauses(scenario, until - run_in)
    ]
    return sorted([pause for pause in before if pause.start >= 0] + after)


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


@dataclass(slots=True)
class PlannedPause:
    """One to come, or that has been. Times since the run-in began."""

    start_ns: int
    end_ns: int
    late_cause: int
    """Place of its name among the causes that get numbers as they are met."""
    crew_away: bool
    people: int
    shift_over: bool


@dataclass(slots=True)
class PauseNow:
    """One under way."""

    hold: Stoppage
    alarm: Alarm
    stops: Row[Ref[Stoppage]]
    """What each machine stands for."""
    of: int = -1
    """Which of the pauses; -1: none."""


@dataclass(slots=True)
class Calendar:
    """Stops the whole line for each pause, and starts it again."""

    alarm: Alarm
    pauses: Row[PlannedPause]
    now: Row[PauseNow]
    """As many as there are at one moment at most."""
    next: int = 0
    away: int = 0
    """Pauses under way for which the crew is away."""


def at_once(found: list[Pause]) -> int:
    """How many pauses there are at one moment at most, one that ends as another begins included."""
    moments = sorted([(pause.start, 0) for pause in found] + [(pause.end, 1) for pause in found])
    most = now = 0
    for _, ends in moments:
        now += -1 if ends else 1
        most = max(most, now)
    return most


def new_calendar(found: list[Pause], names: dict[str, int], machines: int) -> Calendar:
    """Before the first pause. ``names``: places of their causes among those met later."""
    most = at_once(found)
    return Calendar(
        alarm=Alarm(RANK_CALENDAR, PAUSE_BEGINS),
        pauses=Row(
            "pauses",
            len(found),
            [
                PlannedPause(
                    each.start,
                    each.end,
                    names[each.name],
                    each.crew_away,
                    each.people,
                    each.shift_over,
                )
                for each in found
            ],
        ),
        now=Row("pauses at once", most, [_new_pause(i, machines) for i in range(most)]),
    )


def _new_pause(number: int, machines: int) -> PauseNow:
    pause = PauseNow(
        new_stoppage(number, PAUSED),
        Alarm(RANK_CALENDAR, PAUSE_OVER, number),
        Row("machines", machines),
    )
    pause.hold.state = PLANNED
    return pause


# -- rules ---------------------------------------------------------------------------------------


def await_pause(line: Line) -> None:
    """Set the alarm to the next pause, if there is one."""
    calendar = line.calendar
    if calendar.next < len(calendar.pauses):
        set_alarm(line, calendar.alarm, calendar.pauses[calendar.next].start_ns)


def pause_begins(line: Line) -> None:
    """The line stands as planned, and so does all that is under way but for jobs in hand."""
    calendar = line.calendar
    pause = calendar.pauses[calendar.next]
    told.settle(line)
    cause = late_cause(line, pause.late_cause)
    if pause.crew_away:
        calendar.away += 1
        leave(line, pause.shift_over)
    if pause.people > 0:
        # Planned work goes first; it begins and ends by the calendar even when people come late,
        # because they are still at a job that began before.
        lend(line, pause.people)
    place = 0
    while calendar.now[place].of >= 0:
        place += 1
    now = calendar.now[place]
    now.of = calendar.next
    now.hold.cause = cause
    add_hold(line, now.hold)
    for machine in line.machines:
        add(line, now.stops, hold(line, machine, cause, PLANNED, NEVER))
    set_alarm(line, now.alarm, pause.end_ns)
    calendar.next += 1
    await_pause(line)


def pause_ends(line: Line, number: int) -> None:
    """The line may run again."""
    calendar = line.calendar
    now = calendar.now[number]
    pause = calendar.pauses[now.of]
    if pause.crew_away:
        calendar.away -= 1
        if calendar.away == 0:
            come_back(line)
    if pause.people > 0:
        take_back(line, pause.people)
    for i in range(len(now.stops)):
        end_stop(line, line.machines[i], now.stops[i])
        add(line, line.stoppages.free, now.stops[i].number)
    shorten(now.stops, 0)
    release_hold(line, now.hold)
    now.of = -1
