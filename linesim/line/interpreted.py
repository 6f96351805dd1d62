"""A run by Python itself, moment by moment in a SimPy environment.

Any debugger steps through it, and processes of one's own can watch the line from beside it: what
``env`` is told happens in the same simulated time, in ns.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import Any

import simpy

from linesim.line.chance import MORE_DRAWS, Kept
from linesim.line.clock import next_alarm
from linesim.line.events import ring
from linesim.line.history import LOG_IS_FULL
from linesim.line.line import Line, Site
from linesim.line.typed import MISTAKES, RunGivenUpError, words_of


def _taken(record: Any, name: str) -> list[Any]:
    row = getattr(record, name)
    values = list(row)
    row.clear()
    return values


def _point(record: Any, name: str, kept: Kept) -> None:
    setattr(record, name, kept.listed())


class Helper:
    """Gives one line what was asked for; see ``typed.outside``.

    ``number`` reads a field of a record as it is now, ``taken`` empties a row, ``point`` puts
    another in its place: in the records themselves, unless they are elsewhere while it runs.
    """

    def __init__(
        self,
        site: Site,
        line: Line,
        number: Callable[[Any, str], int] = getattr,
        taken: Callable[[Any, str], Any] = _taken,
        point: Callable[[Any, str, Kept], None] = _point,
    ) -> None:
        self._site, self._line, self._logs = site, line, line.history.logs()
        self._number, self._taken, self._point = number, taken, point

    def __call__(self, what: int, number: int) -> None:
        """Give so much of the so-manieth."""
        line = self._line
        if what == MORE_DRAWS:
            stream = self._site.chance.streams[number]
            self._point(stream, "values", stream.source.more(self._number(stream, "next")))
        elif what == LOG_IS_FULL:
            log = self._logs[number]
            log.take(self._taken(log, "rows"))
            if log is line.history.motion:
                line.history.take_speeds(self._taken(line.history, "speeds"))
        else:
            stand = line.webs.unwind.stands[number]
            thickness = self._site.goods[self._number(line, "product")].thickness_um
            reels = stand.store.reels(thickness, self._number(stand, "fetched"))
            self._point(stand, "lengths_um", reels.lengths)
            self._point(stand, "joints_end", reels.joints_end)
            self._point(stand, "joints_um", reels.joints)
            self._point(stand, "bad", reels.bad)


class Interpreted:
    """A line that is run by Python; see ``simulate.Run``."""

    def __init__(self, site: Site, line: Line) -> None:
        self.env = simpy.Environment()
        self.site = site
        self.line = line

    def run_to(self, until_ns: int) -> None:
        env = self.env
        env.run(until=env.process(self._moments(until_ns)))
        check(self.line)
        if until_ns > env.now:
            env.run(until=until_ns)
        self.line.now_ns = until_ns

    def do(self, rule: Callable[[Line], None]) -> None:
        rule(self.line)
        check(self.line)

    def fetch(self) -> Line:
        return self.line

    def fetch_all(self) -> Line:
        return self.line

    def _moments(self, until_ns: int) -> Generator[simpy.Event, object, None]:
        env, line = self.env, self.line
        pending = line.alarms.pending
        while line.given_up == 0 and line.fault == 0:
            place = next_alarm(line)
            if place < 0 or pending[place].at_ns >= until_ns:
                return
            alarm = pending[place]
            if alarm.at_ns > env.now:
                yield env.timeout(alarm.at_ns - env.now)
            line.now_ns = alarm.at_ns
            ring(line, alarm)


def check(line: Line) -> None:
    """Raises :class:`RunGivenUpError` where there was no room, ``AssertionError`` for a mistake."""
    if line.given_up:
        raise RunGivenUpError(
            f"the run was given up: more {words_of(line.given_up)} than there is room for"
        )
    if line.fault:
        raise AssertionError(MISTAKES[line.fault])
