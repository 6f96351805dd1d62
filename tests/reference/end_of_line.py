"""What comes after the wrappers of the reference line: outfeed, carton packer, palletiser."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Any

import simpy

from tests.reference.luck import Luck
from tests.reference.machines import Machine, causes_at
from tests.reference.named import fastest
from tests.reference.people import Crew, Job, Steps


class Place:
    """Where pieces wait for a station, or for several side by side: the first free one has them."""

    def __init__(self, env: simpy.Environment, room: int) -> None:
        self.env = env
        self.room = room
        self.waiting = 0
        self.stations: list[EndStation] = []
        self._blocked: list[tuple[int, simpy.Event]] = []
        """Who holds a piece, and how they are told that it is gone."""

    def bring(self, number: int = 0) -> simpy.Event:
        """Somebody before it has a piece; the event comes when it is rid of it.

        Of several, the lowest number goes first, then who came first.
        """
        gone = self.env.event()
        self._blocked.append((number, gone))
        self.look()
        return gone

    def look(self) -> None:
        """Let in what has room; who is free looks, too."""
        while self._blocked:
            one_free = any(not (station.busy or station.down) for station in self.stations)
            takes_it = one_free and self.waiting < self.stations[0].takes
            if not takes_it and self.waiting >= self.room:
                break
            first = min(self._blocked, key=lambda each: each[0])
            self._blocked.remove(first)
            first[1].succeed()
            self.waiting += 1
        for station in self.stations:
            station.hear()


class EndStation(Machine):
    """Takes some pieces at once from those that wait before it, and hands one on."""

    takes = 1
    in_piece = 1
    """Reams in what it hands on."""

    def __init__(
        self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew, *names: str
    ) -> None:
        super().__init__(env, crew, causes_at(scenario, luck, *names))
        self.place = Place(env, 0)
        self.onward: Place | None = None
        self.standing = scenario.crew.priority_standing_wrapper
        self.busy = False
        self.room = 0
        """What it adds to that of its place."""
        self._news = env.event()
        self.on_change = self._look
        env.process(self._take())

    def hear(self) -> None:
        """Something has changed before it."""
        if not self._news.triggered:
            self._news.succeed()

    def seconds(self) -> Iterator[float]:
        """Times for one piece after another."""
        raise NotImplementedError

    def done(self) -> Steps:
        """A piece is done: it is handed on, and what falls due by it begins."""
        gone = None if self.onward is None else self.onward.bring()
        self.count(self.in_piece)
        if gone is not None:
            yield gone

    def _look(self) -> None:
        self.place.look()

    def _take(self) -> Steps:
        yield self.env.timeout(0)
        seconds = self.seconds()
        while True:
            while self.down or self.place.waiting < self.takes:
                self._news = self.env.event()
                yield self._news
            self.place.waiting -= self.takes
            self.busy = True
            self._look()
            yield from self.work(next(seconds))
            while self.came_out_spoiled():
                yield from self.work(next(seconds))
            yield from self.done()
            self.busy = False
            self._look()

    def came_out_spoiled(self) -> bool:
        """What was just done is to be done again."""
        return False


class Outfeed(EndStation):
    """Takes wrapped reams, one at a time, from a small buffer before it."""

    def __init__(self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew) -> None:
        super().__init__(env, scenario, luck, crew, "outfeed")
        self.table = scenario.outfeed
        self.room = self.table.buffer_reams

    def seconds(self) -> Iterator[float]:
        return itertools.repeat(60 / self.table.rate_reams_per_min)


class CartonPacker(EndStation):
    """Packs groups of reams, as long as there are blanks."""

    def __init__(
        self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew, table: Any
    ) -> None:
        name = table.name
        super().__init__(env, scenario, luck, crew, name, "carton_packer")
        self.table = table
        self.takes = self.in_piece = table.reams_per_carton
        self.room = table.conveyor_reams + self.takes
        allowed = fastest(scenario, "packer_rate_cartons_per_min")
        self._rate_per_min = min(self.table.rate_cartons_per_min, allowed)
        self.closed = self.spoiled = 0
        self._next_spoilt = luck.pieces(table.spoiled_per_10000 / 10_000, name, "spoiled")
        self._spoilt_due = self._next_spoilt()
        self._refill_s = luck.times(table.refill_min, 60.0, name, "refill")
        self._preparing = scenario.crew.priority_prepare
        self._blanks = table.magazine_blanks
        self._refill: Job | None = None

    def seconds(self) -> Iterator[float]:
        return itertools.repeat(60 / self._rate_per_min)

    def came_out_spoiled(self) -> bool:
        """Its reams are packed again, in another blank."""
        self.closed += 1
        if self.closed < self._spoilt_due:
            return False
        self._spoilt_due = self.closed + self._next_spoilt()
        self.spoiled += 1
        self._use_blank()
        return True

    def done(self) -> Steps:
        gone = None if self.onward is None else self.onward.bring()
        self.count(self.in_piece)
        self._use_blank()
        if gone is not None:
            yield gone

    def _use_blank(self) -> None:
        if self._blanks is None:
            return
        self._blanks -= 1
        if self._refill is None and self._blanks <= self.table.refill_at_blanks:
            people, seconds = self.table.refill_people, self._refill_s()
            goes_by = frozenset(("blanks", "carton_packer", self.table.name))
            where = self.table.name
            self._refill = Job(
                people, self._preparing, seconds, stands=False, where=where, goes_by=goes_by
            )
            self.env.process(self._fill(self._refill))
        if self._blanks == 0:
            self.stand()
            assert self._refill is not None
            self.env.process(self._call(self._refill))

    def _call(self, job: Job) -> Steps:
        yield self.env.timeout(0)  # it has been asked for by now
        self.crew.hurry(job, self.standing)

    def _fill(self, job: Job) -> Steps:
        yield from self.crew.do(job)
        self._refill = None
        stood, self._blanks = self._blanks == 0, self.table.magazine_blanks
        if stood:
            self.go_on()


class Palletiser(EndStation):
    """Lays cartons; a full pallet needs a place to be sent to, and an empty one comes."""

    def __init__(self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew) -> None:
        name = "palletiser"
        super().__init__(env, scenario, luck, crew, name)
        self.table = table = scenario.palletiser
        self.room = table.belt_cartons
        self.in_piece = scenario.carton_packer[0].reams_per_carton
        self.pallets = 0
        """Sent off."""
        self._full = self._laid = 0
        self._change_s = luck.times(table.change_s, 1.0, name, "change")
        self._preparing = scenario.crew.priority_prepare
        self._room_now: simpy.Event | None = None
        self._fetch: Job | None = None
        self._leave_at_once = table.truck_every_min is None and table.fetch_min is None
        if table.truck_every_min is not None:
            env.process(self._trucks(luck.times(table.truck_every_min, 60.0, name, "truck")))
        if table.fetch_min is not None:
            self._fetch_s = luck.times(table.fetch_min, 60.0, name, "fetch")

    def seconds(self) -> Iterator[float]:
        each = 60 / self.table.rate_cartons_per_min
        last = each + self.table.layer_sheet_s
        return itertools.cycle([each] * (self.table.cartons_per_layer - 1) + [last])

    def done(self) -> Steps:
        self._laid += 1
        if self._laid < self.table.cartons_per_layer * self.table.layers_per_pallet:
            self.count(self.in_piece)
            return
        self._laid = 0
        if not self._leave_at_once and self._full >= self.table.full_pallet_places:
            self._room_now = self.env.event()
            if self._fetch is not None:
                self.crew.hurry(self._fetch, self.standing)
            self.count(self.in_piece)
            yield self._room_now
        else:
            self._send_off()
            self.count(self.in_piece)

    def _send_off(self) -> None:
        self.pallets += 1
        if not self._leave_at_once:
            self._full += 1
            self._have_fetched()
        seconds, people = self._change_s(), self.table.change_people
        if seconds or people:
            goes_by = frozenset(("pallets", "palletiser"))
            self.stand_for(Job(people, self.standing, seconds, where="palletiser", goes_by=goes_by))

    def _taken(self, most: int) -> None:
        self._full -= min(most, self._full)
        if self._room_now is not None:
            room, self._room_now = self._room_now, None
            self._send_off()
            room.succeed()

    def _trucks(self, every_s: Any) -> Steps:
        while True:
            yield self.env.timeout(every_s())
            self._taken(self.table.truck_takes_pallets)

    def _have_fetched(self) -> None:
        if self.table.fetch_min is not None and self._full and self._fetch is None:
            people, seconds = self.table.fetch_people, self._fetch_s()
            goes_by = frozenset(("truck",))
            where = "palletiser"
            self._fetch = Job(
                people, self._preparing, seconds, stands=False, where=where, goes_by=goes_by
            )
            self.env.process(self._fetched(self._fetch))

    def _fetched(self, job: Job) -> Steps:
        yield from self.crew.do(job)
        self._fetch = None
        self._taken(1)
        self._have_fetched()


def end_of_line(
    env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew
) -> list[list[EndStation]]:
    """The stations at each place there is, as reams meet them; each knows the next place."""
    site = env, scenario, luck, crew
    made: list[list[EndStation]] = []
    if scenario.outfeed is not None:
        made.append([Outfeed(*site)])
    if scenario.carton_packer:
        made.append([CartonPacker(*site, table) for table in scenario.carton_packer])
    if scenario.palletiser is not None:
        made.append([Palletiser(*site)])
    for here in made:
        place = Place(env, sum(station.room for station in here))
        place.stations += here
        for station in here:
            station.place = place
    for before, behind in itertools.pairwise(made):
        for station in before:
            station.onward = behind[0].place
    return made
