"""The crew of the reference line: jobs of one moment are given out together, by priority."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import simpy

Steps = Generator[simpy.Event, Any, None]
_AFTER_ALL_ELSE = 9
"""Priority in SimPy's queue: what happens in this moment otherwise comes first."""


@dataclass(eq=False)
class Job:
    """Work for some people. One that may wait is laid down for one that may not."""

    people: int
    priority: int
    seconds: float
    may_wait: bool = False
    number: int = 0


class Crew:
    """People who can do everything. A job that needs more than are free is not overtaken."""

    def __init__(self, env: simpy.Environment, size: int, *, lays_down: bool) -> None:
        self.env = env
        self.free = size
        self.away = False
        self._lays_down = lays_down
        self._queue: dict[Job, simpy.Event] = {}
        self._under_way: dict[Job, simpy.Event] = {}
        self._number = 0
        self._looking = False

    def do(self, job: Job) -> Steps:
        """Wait for people and work."""
        if job.people == 0:
            yield self.env.timeout(job.seconds)
            return
        left = job.seconds
        job.number = self._number
        self._number += 1
        while True:
            granted = self._queue[job] = self.env.event()
            self.look()
            yield granted
            began = self.env.now
            laid_down = self._under_way[job] = self.env.event()
            yield self.env.timeout(left) | laid_down
            if not laid_down.triggered:
                break
            left -= self.env.now - began
        del self._under_way[job]
        self.free += job.people
        self.look()

    def hurry(self, job: Job, priority: int) -> None:
        """Something stands for it now."""
        job.priority = priority
        job.may_wait = False
        self.look()

    def look(self) -> None:
        """Give jobs out at the end of this moment, when all who ask now have asked."""
        if self._looking:
            return
        self._looking = True
        event = self.env.event()
        event.callbacks = [self._give_out]
        event._ok = True
        event._value = None
        self.env.schedule(event, priority=_AFTER_ALL_ELSE)

    def _give_out(self, _: simpy.Event) -> None:
        self._looking = False
        while self._queue and not self.away:
            first = min(self._queue, key=lambda job: (job.priority, job.number))
            if first.people > self.free:
                self._lay_down_for(first)
            if first.people > self.free:
                return
            self.free -= first.people
            self._queue.pop(first).succeed()

    def _lay_down_for(self, first: Job) -> None:
        if not self._lays_down or first.may_wait:
            return
        lower = [job for job, event in self._under_way.items() if job.may_wait]
        lower.sort(key=lambda job: (job.priority, job.number), reverse=True)
        if self.free + sum(job.people for job in lower) < first.people:
            return
        for job in lower:
            if first.people <= self.free:
                return
            self.free += job.people
            self._under_way.pop(job).succeed()
