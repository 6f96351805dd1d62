"""When the line is not meant to run: breaks, planned work, hours without a shift."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from linesim.line.clock import HOUR, MINUTE, Alarm, Rank
from linesim.line.holds import PlainHold
from linesim.line.stoppage import Stoppage
from linesim.record.states import Kind, State
from linesim.scenario.tables import Holiday

if TYPE_CHECKING:
    from linesim.line.floor import Floor
    from linesim.line.machine import Machine
    from linesim.line.webs import Webs
    from linesim.scenario import Scenario

_DAY = 24 * HOUR


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
        return [start for start in range(0, until, length) if start // _DAY not in free]
    per_day = calendar.shifts_per_day or int(_DAY // length)
    days = range(until // _DAY + 1)
    worked = [day for day in days if day % 7 < calendar.days_per_week and day not in free]
    starts = [day * _DAY + i * length for day in worked for i in range(per_day)]
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
        begins, ends = max(start, days[0] * _DAY), min(end, (days[-1] + 1) * _DAY)
        if begins < ends:
            if start < begins:
                found.append(Pause(start, begins, "no shift", crew_away=True, shift_over=True))
            found.append(Pause(begins, ends, holiday.name, crew_away=True, shift_over=True))
            start = ends
    if start < end:
        found.append(Pause(start, end, "no shift", crew_away=True, shift_over=True))
    return found


class Calendar:
    """Stops the whole line for each pause, and starts it again."""

    def __init__(self, floor: Floor, webs: Webs, machines: list[Machine], until: int) -> None:
        self._floor, self._webs, self._machines = floor, webs, machines
        self._away = 0
        self.to_come = pauses_after_run_in(floor.scenario, until, floor.run_in_ns)
        """Pauses to come, the last one first."""
        self.to_come.reverse()
        self._alarm = Alarm(floor.env, Rank.CALENDAR, self._begin)
        self._next()

    def _next(self) -> None:
        if self.to_come:
            self._alarm.set(self.to_come[-1].start)

    def _begin(self) -> None:
        pause = self.to_come.pop()
        floor = self._floor
        floor.settle()
        cause = floor.ledger.cause(pause.name, Kind.CALENDAR)
        if pause.crew_away:
            self._away += 1
            floor.crew.leave(shift_over=pause.shift_over)
        if pause.people:
            # Planned work goes first; it begins and ends by the calendar even when people come
            # late, because they are still at a job that began before.
            floor.crew.lend(pause.people)
        hold = PlainHold(-1, cause, State.PLANNED)
        self._webs.add(hold)
        held = [(m, m.hold(cause, State.PLANNED, _UNTIL_TOLD)) for m in self._machines]
        over = Alarm(floor.env, Rank.CALENDAR, self._end(pause, hold, held))
        over.set(pause.end)
        self._next()

    def _end(
        self, pause: Pause, hold: PlainHold, held: list[tuple[Machine, Stoppage]]
    ) -> Callable[[], None]:
        def over() -> None:
            if pause.crew_away:
                self._away -= 1
                if self._away == 0:
                    self._floor.crew.come_back()
            if pause.people:
                self._floor.crew.take_back(pause.people)
            for machine, stoppage in held:
                machine.end(stoppage)
            self._webs.release(hold)

        return over


_UNTIL_TOLD = 1 << 62
