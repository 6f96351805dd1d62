"""When the line is not meant to run: breaks, planned work, hours without a shift."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import PLANNED, late_cause
from linesim.line.clock import NEVER, PAUSE_BEGINS, PAUSE_OVER, RANK_CALENDAR, Alarm, set_alarm
from linesim.line.crew import come_back, leave, lend, take_back
from linesim.line.line import Line
from linesim.line.machine import PAUSED, Stoppage, end_stops, hold, new_stoppage
from linesim.line.typed import Ref, Row, add, shorten
from linesim.line.webs import add_hold, release_hold
from linesim.scenario.shifts import Pause


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
    pauses: Row[Pause]
    """All of them. Times since the run-in began."""
    causes: Row[int]
    """Of each: place of its name among the causes that get numbers as they are met."""
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
        pauses=Row("pauses", len(found), found),
        causes=Row("pauses", len(found), [names[each.name] for each in found]),
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


def await_pause(line: Line) -> None:
    """Set the alarm to the next pause, if there is one."""
    calendar = line.calendar
    if calendar.next < len(calendar.pauses):
        set_alarm(line, calendar.alarm, calendar.pauses[calendar.next].start)


def pause_begins(line: Line) -> None:
    """The line stands as planned, and so does all that is under way but for jobs in hand."""
    calendar = line.calendar
    pause = calendar.pauses[calendar.next]
    told.settle(line)
    cause = late_cause(line, calendar.causes[calendar.next])
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
    set_alarm(line, now.alarm, pause.end)
    calendar.next += 1
    await_pause(line)


def pause_ends(line: Line, number: int) -> None:
    calendar = line.calendar
    now = calendar.now[number]
    pause = calendar.pauses[now.of]
    if pause.crew_away:
        calendar.away -= 1
        if calendar.away == 0:
            come_back(line)
    if pause.people > 0:
        take_back(line, pause.people)
    end_stops(line, now.stops)
    for stop in now.stops:
        add(line, line.stoppages.free, stop.number)
    shorten(now.stops, 0)
    release_hold(line, now.hold)
    now.of = -1
