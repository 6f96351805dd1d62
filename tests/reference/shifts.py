"""The hours of the reference line: shifts, breaks, holidays, planned work."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import simpy

from tests.reference.people import Crew, Steps

DAY_S = 86_400.0


class Calendar:
    """Stops the whole line for each pause, and starts it again."""

    def __init__(
        self,
        env: simpy.Environment,
        scenario: Any,
        crew: Crew,
        stand: Callable[[], Callable[[], None]],
    ) -> None:
        self.env, self.s, self.crew = env, scenario, crew
        self._stand = stand
        """Has the line stand; gives what has it go on again."""
        env.process(self._shifts())
        for work in scenario.planned_work:
            env.process(self._planned(work))

    def _shift_starts(self) -> Iterator[float]:
        """When shifts begin, one after the other for ever."""
        length, calendar = self.s.line.shift_hours * 3600, self.s.calendar
        free = {h.day - 1 + n for h in self.s.holiday for n in range(h.days)}
        if calendar.shifts_per_day is None and calendar.days_per_week == 7:
            start = 0.0  # end to end, whatever the hour
            while True:
                if start // DAY_S not in free:
                    yield start
                start += length
        per_day = calendar.shifts_per_day or int(DAY_S // length)
        day = 0
        while True:
            if day % 7 < calendar.days_per_week and day not in free:
                yield from (day * DAY_S + n * length for n in range(per_day))
            day += 1

    def _shifts(self) -> Steps:
        length = self.s.line.shift_hours * 3600
        for start in self._shift_starts():
            if start > self.env.now + 1e-6:
                yield from self._away(start - self.env.now, shift_over=True)
            hour_of_day = start % DAY_S + 1e-6
            self.crew.shift_begins(int(start // DAY_S) % 7 + 1, int(hour_of_day // length) + 1)
            for rest in self.s.rest:
                if rest.line == "stands":
                    self.env.process(self._break(rest))
            yield self.env.timeout(start + length - self.env.now)

    def _break(self, rest: Any) -> Steps:
        yield self.env.timeout(rest.start_h * 3600)
        yield from self._away(rest.minutes * 60, shift_over=False)

    def _away(self, seconds: float, *, shift_over: bool) -> Steps:
        self.crew.leave(shift_over=shift_over)
        go_on = self._stand()
        yield self.env.timeout(seconds)
        self.crew.come_back()
        go_on()

    def _planned(self, work: Any) -> Steps:
        """It begins and ends by the calendar, even when people come late for it."""
        start = work.start_h * 3600
        while True:
            yield self.env.timeout(start - self.env.now)
            self.crew.lend(work.people)
            go_on = self._stand()
            yield self.env.timeout(work.minutes * 60)
            self.crew.take_back(work.people)
            go_on()
            if work.every_h is None:
                return
            start += work.every_h * 3600
