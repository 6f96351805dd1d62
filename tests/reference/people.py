"""The crew of the reference line: jobs of one moment are given out together, the first first.

Of those who can do a job, who is good at the fewest things goes.
"""

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
    where: str = ""
    """The station at which it is done."""
    goes_by: frozenset[str] = frozenset()
    """Its kind, its station, its cause: who is good at one of them can do it."""
    number: int = 0
    granted: simpy.Event | None = None
    """People go to it."""

    @property
    def rank(self) -> tuple[bool, int, int]:
        """The first to be done is the lowest."""
        return (not self.stands, self.priority, self.number)


@dataclass(eq=False)
class Person:
    """Somebody of the crew, and what keeps them busy: a job, planned work, or nothing."""

    group: Any
    """None for those who are always there and can do everything."""
    on_shift: bool = True
    at: Job | str | None = None
    stood_m: float = 0.0
    """Place along the line at which they were last free, ..."""
    left_at: float = 0.0
    """... and when they went from there."""

    @property
    def good_at(self) -> frozenset[str]:
        """Nothing in particular: everything."""
        if self.group is None or self.group.can is None:
            return frozenset()
        return frozenset(word.strip() for word in self.group.can.split(","))

    @property
    def versatility(self) -> int:
        """How many kinds of work they can do."""
        return len(self.good_at) or 1_000_000

    def may_do(self, job: Job) -> bool:
        """Whether they are there for it and can do it."""
        return self.on_shift and (not self.good_at or bool(self.good_at & job.goes_by))


class Crew:
    """A job that needs more people than are free keeps those who could do it from others."""

    def __init__(self, env: simpy.Environment, scenario: Any) -> None:
        self.env = env
        table = scenario.crew
        everybody = [Person(None) for _ in range(table.size)]
        for group in scenario.crew_group:
            everybody += [Person(group) for _ in range(group.number)]
        self.people = sorted(everybody, key=lambda each: each.versatility)
        self._speed = table.walk_m_per_s
        self._places = self._stations(scenario)
        self._missing = 0
        """People that planned work still waits for."""
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
            laid_down = self.env.event()
            began = self.env.now + max(self._walk_s(each, job) for each in self.at(job))
            self._under_way[job] = laid_down, began + left
            yield self.env.timeout(began + left - self.env.now) | laid_down
            if not laid_down.triggered:
                break
            left -= max(0.0, self.env.now - began)
        del self._under_way[job]
        self._let_go(job)
        self._look()

    def at(self, job: Job) -> list[Person]:
        """Those who do it."""
        return [person for person in self.people if person.at is job]

    def _stations(self, scenario: Any) -> dict[str, float]:
        """Places by station, in m; several of a kind stand together unless each has its own."""
        said = {place.name: place.at_m for place in scenario.station_place}
        found = dict(said)
        for kind in ("wrapper", "carton_packer"):
            for each in getattr(scenario, kind):
                found[each.name] = said.get(each.name, said.get(kind, 0.0))
        return found

    def _place(self, job: Job) -> float:
        return self._places.get(job.where, 0.0)

    def _walk_s(self, person: Person, job: Job) -> float:
        if self._speed is None:
            return 0.0
        return float(abs(self._place(job) - person.stood_m) / self._speed)

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

    def shift_begins(self, day: int, shift: int) -> None:
        """Those of this day of the week and this shift of the day are there now."""
        for person in self.people:
            if person.group is None:
                continue
            days = person.group.first_day or 1, person.group.last_day or 7
            shifts = person.group.first_shift or 1, person.group.last_shift or 24
            person.on_shift = days[0] <= day <= days[1] and shifts[0] <= shift <= shifts[1]
            if not person.on_shift and person.at == "planned work":
                person.at = None
                self._missing += 1
        if self._hands_over:
            gone = {person.at for person in self.people if not person.on_shift}
            for job, (_, ends) in list(self._under_way.items()):
                if job in gone and ends > self.env.now:
                    self._lay_down(job)
        self._look()

    def lend(self, people: int) -> None:
        """Planned work takes people, those still at a job as soon as it is done."""
        self._missing += people
        self._lend_who_is_free()

    def take_back(self, people: int) -> None:
        """The planned work is over."""
        never_came = min(people, self._missing)
        self._missing -= never_came
        there = [person for person in self.people if person.at == "planned work"]
        for person in there[: people - never_came]:
            person.at = None
        self._look()

    def _lend_who_is_free(self) -> None:
        free = [person for person in self.people if person.on_shift and person.at is None]
        for person in free[: self._missing]:
            person.at = "planned work"
            self._missing -= 1

    def _let_go(self, job: Job) -> None:
        for person in self.at(job):
            person.at = None
            if self._speed is not None:
                way = self._place(job) - person.stood_m
                gone = min(abs(way), self._speed * (self.env.now - person.left_at))
                person.stood_m += gone if way > 0 else -gone

    def _look(self) -> None:
        """Give jobs out at the end of this moment, when all who ask now have asked."""
        if self._looking:
            return
        self._looking = True
        when_others_are_done(self.env, CREW).callbacks = [self._give_out]

    def _give_out(self, _: simpy.Event) -> None:
        self._looking = False
        self._lend_who_is_free()
        kept: set[Person] = set()
        too_big: set[Job] = set()
        while not self._away:
            askers = [job for job in self._queue if job not in too_big]
            if not askers:
                return
            first = min(askers, key=lambda job: job.rank)
            assert first.granted is not None
            able = [each for each in self.people if each.may_do(first)]
            usable = [each for each in able if each not in kept]
            if first.stands and self._lays_down:
                self._make_room_for(first, usable)
            free = [each for each in usable if each.at is None]
            if len(free) < first.people:
                too_big.add(first)
                if len(able) >= first.people:
                    kept.update(able)
                continue
            free.sort(key=lambda each: (each.versatility, round(self._walk_s(each, first), 6)))
            for person in free[: first.people]:
                person.at, person.left_at = first, self.env.now
            self._queue.remove(first)
            first.granted.succeed()

    def _make_room_for(self, first: Job, usable: list[Person]) -> None:
        may_wait = {job for job in self._under_way if not job.stands}
        if sum(each.at is None or each.at in may_wait for each in usable) < first.people:
            return
        while sum(each.at is None for each in usable) < first.people:
            useful = [each.at for each in usable if each.at in may_wait]
            last = max((job for job in useful if isinstance(job, Job)), key=lambda job: job.rank)
            may_wait.remove(last)
            self._lay_down(last)

    def _lay_down(self, job: Job) -> None:
        self._let_go(job)
        self._under_way.pop(job)[0].succeed()
        self._ask_for(job)

    def _ask_for(self, job: Job) -> None:
        job.granted = self.env.event()
        self._queue.append(job)
        self._look()
