"""The trucks of the reference line: each brings reel after reel, for whoever waits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.luck import Luck
from tests.reference.people import Crew, Job, Steps


@dataclass(eq=False)
class Wanted:
    """Somebody waits for a reel."""

    comes: simpy.Event
    presses: Callable[[], bool]
    """The webs stand for it."""


class ReelTruck:
    """All trucks, and the places on which reels wait that were ordered ahead of need."""

    def __init__(
        self,
        env: simpy.Environment,
        scenario: Any,
        luck: Luck,
        crew: Crew,
        low: Callable[[float], int],
    ) -> None:
        table, name = scenario.reel_truck, "reel_truck"
        self.env, self.table, self.crew, self._low = env, table, crew, low
        self._first = scenario.crew.priority_standing_line
        self._last = scenario.crew.priority_prepare
        self._reel_s = luck.times(table.reel_min, 60.0, name, "reel")
        self._fails = luck.coin(table.stops_per_100_reels / 100, name, "stops")
        self._stop_s = luck.times(table.stop_min, 60.0, name, "stop_min")
        self._queue: list[Wanted] = []
        self._trips: list[Job] = []
        self._due = 0
        """Reels ordered that have not come."""
        self._beside = 0

    @property
    def presses(self) -> bool:
        """The next trip is one for which the webs stand."""
        under_way = sum(trip.stands for trip in self._trips)
        return under_way < sum(wanted.presses() for wanted in self._queue)

    def reel(self, presses: Callable[[], bool]) -> Steps:
        """Wait until a reel is there for who asks."""
        if self._beside:
            self._beside -= 1
            self.env.process(self._look_afterwards())
            return
        wanted = Wanted(self.env.event(), presses)
        self._queue.append(wanted)
        self.look()
        yield wanted.comes

    def _look_afterwards(self) -> Steps:
        """Who has a reel now asks for people before the truck does."""
        yield self.env.timeout(0)
        self.look()

    def look(self) -> None:
        """Order what is wanted or will be, send trucks off, hurry those for which webs stand."""
        places = self.table.places or 0
        ahead = min(places, self._low(self.table.order_below_m)) if places else 0
        self._due = max(self._due, ahead + len(self._queue) - self._beside)
        while len(self._trips) < min(self.table.trucks, self._due):
            seconds, stop = self._reel_s(), self._stop_s()
            if self._fails():
                seconds += stop
            presses = self.presses
            priority = self._first if presses else self._last
            trip = Job(
                self.table.people,
                priority,
                seconds,
                stands=presses,
                where="unwind",
                goes_by=frozenset(("truck",)),
            )
            self._trips.append(trip)
            self.env.process(self._bring(trip))
        for trip in self._trips:
            if not trip.stands and self.presses:
                self.crew.hurry(trip, self._first)

    def _bring(self, trip: Job) -> Steps:
        yield from self.crew.do(trip)
        self._trips.remove(trip)
        self._due -= 1
        if self._queue:
            first = next((each for each in self._queue if each.presses()), self._queue[0])
            self._queue.remove(first)
            first.comes.succeed()
        else:
            self._beside += 1
        self.env.process(self._look_afterwards())
