"""Transfer and bridge of the reference line: from the pockets to the wrappers."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import simpy

from tests.reference.luck import Luck
from tests.reference.machines import Machine, causes_at
from tests.reference.moments import CONTROLS, when_others_are_done
from tests.reference.people import Crew, Steps
from tests.reference.webs import Hold, Webs


class Bridge(Machine):
    """A belt, first in, first out. The level counts all reams on it, travelling ones too."""

    def __init__(
        self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew, webs: Webs
    ) -> None:
        super().__init__(env, crew, causes_at(scenario, luck, "bridge"))
        self.table, self._webs = scenario.bridge, webs
        self.places = scenario.bridge_places
        self.level = self.arrived = 0
        """Reams on the belt, and those of them that are before the wrappers."""
        self.aside = 0
        """Reams that found no place and were put on a pallet."""
        self.placed_s: list[float] = []
        """When each set was put down."""
        self._held: Hold | None = None
        self._level_s = self._level_since = 0.0
        self.news = env.event()
        self.on_change = self.tell
        env.process(self._belt())

    def tell(self) -> None:
        """Something changed from here on."""
        news, self.news = self.news, self.env.event()
        news.succeed()

    def has_room_for(self, reams: int) -> bool:
        """Whether the transfer may set down what it holds."""
        fits = self.level + reams <= self.places or self.table.when_full == "set_aside"
        return fits and not self.down

    def put_down(self, reams: int) -> Steps:
        """A set is put down, as far as there are places; the controls look at the level."""
        fit = max(0, min(reams, self.places - self.level))
        self.aside += reams - fit
        self.placed_s.append(self.env.now)
        self._change_level(fit)
        self.env.process(self._travel(fit))
        # Where travel takes no time, an idle wrapper has taken the first by then.
        yield when_others_are_done(self.env, CONTROLS)
        self._restrain()
        self.count(fit)

    def take(self) -> None:
        """The first ream leaves the belt."""
        self.arrived -= 1
        self._change_level(-1)
        self._ease()

    def mean_level_s(self) -> float:
        """The level added up over time so far, ream seconds."""
        return self._level_s + self.level * (self.env.now - self._level_since)

    def _belt(self) -> Steps:
        while True:
            yield from self.work(3600.0)

    def _travel(self, reams: int) -> Steps:
        if self.table.belt_speed_m_per_min:
            left = self._length_m() / self.table.belt_speed_m_per_min * 60
            while left > 1e-9:
                while self.down:
                    yield self._changed
                began = self.env.now
                yield self.env.timeout(left) | self._changed
                left -= self.env.now - began
        self.arrived += reams
        self.tell()

    def _length_m(self) -> float:
        b = self.table
        if b.length_m is not None:
            return float(b.length_m)
        if b.places is None:
            return 6.0
        return math.ceil(b.places / b.tracks) * float(b.ream_pitch_mm) / 1000

    def _change_level(self, reams: int) -> None:
        self._level_s = self.mean_level_s()
        self._level_since = self.env.now
        self.level += reams
        self.tell()

    def _restrain(self) -> None:
        """The level has risen: slow or stop the webs."""
        stop_at = self.table.stop_at_reams
        self._webs.keep_to(self._part_of_speed())
        if stop_at is not None and self.level >= stop_at and self._held is None:
            self._held = self._webs.hold()

    def _part_of_speed(self) -> float:
        """What the controls leave the webs of their speed at this level."""
        b = self.table
        if b.slow_at_reams is None or self.level < b.slow_at_reams:
            return 1.0
        if b.slowing == "at_once":
            return float(b.slow_to_fraction)
        last = min(self.places, b.stop_at_reams or self.places)
        levels = [b.slow_at_reams, last] if last > b.slow_at_reams else [last - 0.5, last]
        return float(np.interp(self.level, levels, [1.0, b.slow_to_fraction]))

    def _ease(self) -> None:
        """The level has fallen: let the webs run again, or as fast as rated."""
        stop_at = self.table.stop_at_reams
        self._webs.keep_to(self._part_of_speed())
        restart_at = self.table.restart_at_reams
        if restart_at is None and stop_at is not None:
            restart_at = stop_at - 1
        if self._held is not None and self.level <= restart_at:
            held, self._held = self._held, None
            self._webs.release(held)


class Transfer(Machine):
    """Lifts a full set out of the pockets, carries it over and sets it down."""

    def __init__(
        self,
        env: simpy.Environment,
        scenario: Any,
        luck: Luck,
        crew: Crew,
        webs: Webs,
        bridge: Bridge,
    ) -> None:
        super().__init__(env, crew, causes_at(scenario, luck, "transfer"))
        self._webs, self._bridge = webs, bridge
        self._fingers = scenario.pockets.interim_fingers
        self._reams = scenario.slitter.lanes
        self._moves = {
            move: luck.times(getattr(scenario.transfer, f"{move}_s"), 1.0, "transfer", move)
            for move in ("pick", "carry", "place", "return")
        }
        self._full_sets = simpy.Store(env)
        webs.set_is_full = lambda: self._full_sets.put(self._reams)
        env.process(self._cycle())

    def _cycle(self) -> Steps:
        moves = self._moves
        while True:
            reams = yield self._full_sets.get()
            while self.down:
                yield self._changed
            if self._fingers:
                self._webs.taken()
            yield from self.work(moves["pick"]())
            if not self._fingers:
                self._webs.taken()
            yield from self.work(moves["carry"]())
            while self.down or not self._bridge.has_room_for(reams):
                yield self._changed | self._bridge.news
            yield from self.work(moves["place"]())
            yield from self._bridge.put_down(reams)
            self.count(reams)
            yield from self.work(moves["return"]())
