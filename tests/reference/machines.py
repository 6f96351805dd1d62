"""Stop causes, and the stations of the reference line that stand and move by themselves."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.luck import Luck
from tests.reference.people import Crew, Job

Steps = Generator[simpy.Event, Any, None]
NEVER = float("inf")
CLOSE_S = 1e-9
WEB_STATIONS = ("unwind", "web_path", "slitter", "cutter", "gate", "overlap_belt", "pockets")
"""Stations that move as one with the webs."""
_UNITS = {
    "every_running_h": 3600.0,
    "every_web_km": 1000.0,
    "every_cuts": 1.0,
    "every_reams": 1.0,
    "every_clock_h": 3600.0,
}
CLOSE = 1e-6
"""Readings of a meter (s, m, cuts, reams) that are no further apart are one."""


@dataclass(eq=False)
class Cause:
    """A stop cause at one place: what it falls due on, and for how long it stops."""

    stop: Any
    here: tuple[str, ...]
    """The station, and what it is called besides."""
    meter: str
    interval: Callable[[], float]
    restore: Callable[[], float]
    priority: int
    due: float = NEVER
    change: Callable[[], float] = lambda: 0.0
    changed_every: float = NEVER
    """A part in use for so long is changed by plan."""
    by_plan: bool = False
    """When it next falls due, it is a change by plan."""
    changing: bool = False
    """What is, or was last, under way is one."""
    under_way: bool = False
    """From when it falls due until it is mended; it does not fall due again meanwhile."""

    def is_due(self, meter: str, reading: float) -> bool:
        """Whether its meter has reached the end of the interval."""
        return self.meter == meter and not self.under_way and reading >= self.due - CLOSE

    def fall(self, reading: float) -> Job:
        """It happens; the job that mends it."""
        self.under_way = True
        self.changing = self.by_plan
        if self.meter != "every_clock_h":
            self.due = reading + self.next_part()
        goes_by = frozenset((self.stop.cause, *self.here))
        if not self.changing:
            return Job(
                self.stop.people, self.priority, self.restore(), where=self.here[0], goes_by=goes_by
            )
        people = self.stop.people if self.stop.change_people is None else self.stop.change_people
        return Job(people, self.priority, self.change(), where=self.here[0], goes_by=goes_by)

    def next_part(self, age: float = 0.0) -> float:
        """How long the next part is in use: until it fails, or has had its time."""
        fails, had = self.interval(), max(1e-9, self.changed_every - age)
        self.by_plan = had < fails
        return min(fails, had)

    @property
    def spoils_reams(self) -> int:
        """What it has spoiled as it happened."""
        return 0 if self.changing else int(self.stop.spoils_reams)


def causes_at(scenario: Any, luck: Luck, here: str, *also_called: str) -> list[Cause]:
    """The causes of a station, web by web where each web has its own."""
    found = []
    crew = scenario.crew
    usual = crew.priority_standing_line if here in WEB_STATIONS else crew.priority_standing_wrapper
    for stop in sorted(scenario.stop, key=lambda stop: stop.cause):
        if stop.station not in (here, *also_called):
            continue
        names = [stop.cause]
        if stop.per_web:
            names = [f"{stop.cause} (web {web + 1})" for web in range(scenario.unwind.webs)]
        for name in names:
            interval = luck.times(
                stop.interval, _UNITS[stop.meter], here, name, "interval", used=stop.since_last
            )
            restore = luck.times(stop.restore_min, 60.0, here, name, "restore")
            priority = usual if stop.priority is None else stop.priority
            cause = Cause(stop, (here, *also_called), stop.meter, interval, restore, priority)
            unit = _UNITS[stop.meter]
            if stop.changed_every is not None:
                cause.change = luck.times(stop.change_min, 60.0, here, name, "change")
                every = stop.changed_every * unit
                cause.changed_every = max(1, round(every)) if unit == 1.0 else every
            cause.due = cause.next_part((stop.since_last or 0.0) * unit)
            found.append(cause)
    return found


def by_the_clock(
    env: simpy.Environment, cause: Cause, stop: Callable[[Cause], simpy.Process]
) -> Steps:
    """A cause that happens whether the station moves or not, and begins anew when mended."""
    while True:
        yield env.timeout(cause.due)
        yield stop(cause)
        cause.due = cause.next_part()


class Machine:
    """Transfer, bridge belt, wrapper or outfeed: works, falls due, is mended."""

    def __init__(self, env: simpy.Environment, crew: Crew, causes: list[Cause]) -> None:
        self.env = env
        self.crew = crew
        self.causes = causes
        self.down = 0
        """Reasons for which it stands."""
        self.can_spoil = False
        """Its stops spoil what it works at, if they spoil reams."""
        self.run_s = 0.0
        self.reams = 0
        self.on_change: Callable[[], None] = lambda: None
        """Told when it has come to a stand, or may move again."""
        self._changed = env.event()
        for cause in causes:
            if cause.meter == "every_clock_h":
                env.process(by_the_clock(env, cause, self._stop))

    def stand(self) -> None:
        """Stand for one more reason."""
        self.down += 1
        self._tell()

    def go_on(self) -> None:
        """One reason less."""
        self.down -= 1
        self._tell()

    def _tell(self) -> None:
        changed, self._changed = self._changed, self.env.event()
        changed.succeed()
        self.on_change()

    def run(self, seconds: float) -> Steps:
        """Run for so long, standing in between where it is stopped by others or the clock."""
        left = seconds
        while left > CLOSE_S:
            while self.down:
                yield self._changed
            began = self.env.now
            yield self.env.timeout(left) | self._changed
            left -= self.env.now - began
            self.run_s += self.env.now - began

    def work(self, seconds: float) -> Generator[simpy.Event, Any, list[Cause]]:
        """Run for so long, and fall due on the way; ends early where a stop spoils the work.

        Returns the causes that fell due then. One that is due as the work ends begins with the
        next.
        """
        left = seconds
        while left > CLOSE_S:
            while self.down:
                yield self._changed
            due = min((c.due for c in self.causes if c.meter == "every_running_h"), default=NEVER)
            stretch = min(left, max(0.0, due - self.run_s))
            yield from self.run(stretch)
            left -= stretch
            if left > CLOSE_S:
                fallen = self.fall("every_running_h", self.run_s)
                if self.can_spoil and any(cause.spoils_reams for cause in fallen):
                    return fallen
        return []

    def count(self, reams: int) -> list[Cause]:
        """So many more reams done here; returns the causes that fall due by it."""
        self.reams += reams
        return self.fall("every_reams", self.reams)

    def fall(self, meter: str, reading: float) -> list[Cause]:
        """Begin the stops that are due at this reading of a meter."""
        due = [cause for cause in self.causes if cause.is_due(meter, reading)]
        for cause in due:
            self._stop(cause, reading)
        return due

    def stand_for(self, job: Job, cause: Cause | None = None) -> simpy.Process:
        """Stand from this moment on until the job is done."""
        self.stand()
        return self.env.process(self._mend(job, cause))

    def _stop(self, cause: Cause, reading: float = 0.0) -> simpy.Process:
        return self.stand_for(cause.fall(reading), cause)

    def _mend(self, job: Job, cause: Cause | None) -> Steps:
        yield from self.crew.do(job)
        if cause is not None:
            cause.under_way = False
        self.go_on()
