"""The crew of the reference line: jobs of one moment are given out together, the first first."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.moments import CREW, when_others_are_done

Steps = Generator[simpy.Event, Any, None]


@dataclass(eq=False)
class Job:
    """Work for some people. What something stands for comes before what may wait."""

    people: int
    priority: int
    seconds: float
    stands: bool = True
    number: int = 0
    granted: simpy.Event | None = None
    """People are there for it."""

    @property
    def rank(self) -> tuple[bool, int, int]:
        """The first to be done is the lowest."""
        return (not self.stands, self.priority, self.number)


class Crew:
    """People who can do everything. A job that needs more than are free is not overtaken."""

    def __init__(self, env: simpy.Environment, table: Any) -> None:
        self.env = env
        self.free = table.size
        self._away = 0
        self._lays_down = table.lay_work_down
        self._hands_over = table.work_at_shift_end == "handed_over"
        self._queue: list[Job] = []
        self._under_way: dict[Job, tuple[simpy.Event, float]] = {}
        """Jobs in hand: the event by which they are laid down, and when they will be done."""
        self._number = 0
        self._looking = False

    def do(self, job: Job) -> Steps:
        """Wait for people and work, as often as the job is laid down."""
        if job.people == 0:
            yield self.env.timeout(job.seconds)
            return
        left = job.seconds
        job.number = self._number
        self._number += 1
        self._ask_for(job)
        while True:
            yield job.granted
            began, laid_down = self.env.now, self.env.event()
            self._under_way[job] = laid_down, began + left
            yield self.env.timeout(left) | laid_down
            if not laid_down.triggered:
                break
            left -= self.env.now - began
        del self._under_way[job]
        self.free += job.people
        self._look()

    def hurry(self, job: Job, priority: int) -> None:
        """Something stands for it now."""
        job.priority = priority
        job.stands = True
        self._look()

    def leave(self, *, shift_over: bool) -> None:
        """No job is begun any more; at the end of a shift those in hand may be handed over."""
        self._away += 1
        if shift_over and self._hands_over:
            for job, (_, ends) in list(self._under_way.items()):
                if ends > self.env.now:
                    self._lay_down(job)

    def come_back(self) -> None:
        """A break is over, or a shift begins."""
        self._away -= 1
        self._look()

    def lend(self, people: int) -> None:
        """Planned work takes people, those still at a job as soon as it is done."""
        self.free -= people

    def take_back(self, people: int) -> None:
        """The planned work is over."""
        self.free += people
        self._look()

    def _look(self) -> None:
        """Give jobs out at the end of this moment, when all who ask now have asked."""
        if self._looking:
            return
        self._looking = True
        when_others_are_done(self.env, CREW).callbacks = [self._give_out]

    def _give_out(self, _: simpy.Event) -> None:
        self._looking = False
        while self._queue and not self._away:
            first = min(self._queue, key=lambda job: job.rank)
            assert first.granted is not None
            if first.people > self.free and first.stands and self._lays_down:
                self._make_room_for(first)
            if first.people > self.free:
                return
            self.free -= first.people
            self._queue.remove(first)
            first.granted.succeed()

    def _make_room_for(self, first: Job) -> None:
        may_wait = sorted(
            (job for job in self._under_way if not job.stands), key=lambda job: job.rank
        )
        if self.free + sum(job.people for job in may_wait) < first.people:
            return
        while self.free < first.people:
            self._lay_down(may_wait.pop())

    def _lay_down(self, job: Job) -> None:
        self.free += job.people
        self._under_way.pop(job)[0].succeed()
        self._ask_for(job)

    def _ask_for(self, job: Job) -> None:
        job.granted = self.env.event()
        self._queue.append(job)
        self._look()
