"""Stations of the reference line that stand and move by themselves, and what stops them."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.luck import Luck
from tests.reference.people import Crew, Job

Steps = Generator[simpy.Event, Any, None]
NEVER = float("inf")
CLOSE = 1e-9
WEBS = ("unwind", "web_path", "slitter", "cutter", "gate", "overlap_belt", "pockets")
"""Stations that move as one with the webs."""
_UNITS = {
    "every_running_h": 3600.0,
    "every_web_km": 1000.0,
    "every_cuts": 1.0,
    "every_reams": 1.0,
    "every_clock_h": 3600.0,
}


@dataclass(eq=False)
class Cause:
    """A stop cause at one place: what it falls due on, and for how long it stops."""

    stop: Any
    meter: str
    interval: Callable[[], float]
    restore: Callable[[], float]
    priority: int
    due: float = NEVER
    under_way: bool = False

    def is_due(self, meter: str, reading: float) -> bool:
        """Whether its meter has reached the end of the interval."""
        return self.meter == meter and not self.under_way and reading >= self.due - CLOSE


def causes_at(scenario: Any, luck: Luck, here: str, *also_called: str) -> list[Cause]:
    """The causes of a station, web by web where each web has its own."""
    found = []
    crew = scenario.crew
    usual = crew.priority_standing_line if here in WEBS else crew.priority_standing_wrapper
    for stop in sorted(scenario.stop, key=lambda stop: stop.cause):
        if stop.station not in (here, *also_called):
            continue
        names = [stop.cause]
        if stop.per_web:
            names = [f"{stop.cause} (web {web + 1})" for web in range(scenario.unwind.webs)]
        for name in names:
            found.append(
                Cause(
                    stop,
                    stop.meter,
                    luck.times(stop.interval, _UNITS[stop.meter], here, name, "interval"),
                    luck.times(stop.restore_min, 60.0, here, name, "restore"),
                    usual if stop.priority is None else stop.priority,
                )
            )
    for cause in found:
        cause.due = cause.interval()
    return found


class Machine:
    """Transfer, bridge belt, wrapper or outfeed: works, falls due, is mended."""

    def __init__(self, env: simpy.Environment, crew: Crew, causes: list[Cause]) -> None:
        self.env = env
        self.crew = crew
        self.causes = causes
        self.down = 0
        self.run_s = 0.0
        self.reams = 0
        self.stops = 0
        self.spoilt = False
        """What it worked at was spoiled by a stop."""
        self.on_change: Callable[[], None] = lambda: None
        self.spoil: Callable[[int], None] = lambda reams: None
        self._changed = env.event()
        for cause in causes:
            if cause.meter == "every_clock_h":
                env.process(self._by_the_clock(cause))

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

    def up(self) -> Steps:
        """Wait until it may move."""
        while self.down:
            yield self._changed

    def work(self, seconds: float) -> Steps:
        """Work for so long, standing still in between where it is stopped."""
        left = seconds
        self.spoilt = False
        while left > CLOSE:
            yield from self.up()
            if self.spoilt:
                return
            due = min((c.due for c in self.causes if c.meter == "every_running_h"), default=NEVER)
            run = min(left, max(0.0, due - self.run_s))
            began = self.env.now
            if run > 0:
                yield self.env.timeout(run) | self._changed
            done = self.env.now - began
            self.run_s += done
            left -= done
            self._fall("every_running_h", self.run_s)
            if self.spoilt:
                # Nothing is left to go on with, and nothing to wait for.
                return

    def count(self, reams: int) -> None:
        """So many more reams done here."""
        self.reams += reams
        self._fall("every_reams", self.reams)

    def _fall(self, meter: str, reading: float) -> None:
        for cause in self.causes:
            if cause.is_due(meter, reading):
                cause.due = reading + cause.interval()
                self._begin(cause)
                self.env.process(self._mend(cause))

    def _begin(self, cause: Cause) -> None:
        cause.under_way = True
        self.stops += 1
        self.stand()
        if cause.stop.spoils_reams:
            self.spoil(cause.stop.spoils_reams)

    def _mend(self, cause: Cause) -> Steps:
        yield from self.crew.do(Job(cause.stop.people, cause.priority, cause.restore()))
        cause.under_way = False
        self.go_on()

    def _by_the_clock(self, cause: Cause) -> Steps:
        while True:
            yield self.env.timeout(cause.due)
            self._begin(cause)
            yield self.env.process(self._mend(cause))
            cause.due = cause.interval()
