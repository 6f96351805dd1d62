"""The line once more, in SimPy's own idiom: the judge of the program's rules.

Processes, resources and events, written from the description of the line and the meaning of the
scenario's fields. It shares no code with the rules it judges, draws its own luck, counts times as
floats, and keeps no accounts: good reams, stops and rejects are what it is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.luck import Luck
from tests.reference.machines import Machine, causes_at
from tests.reference.people import Crew, Job
from tests.reference.webs import Webs

Steps = Generator[simpy.Event, Any, None]


@dataclass(frozen=True)
class Result:
    """What was counted between the warm-up and the end."""

    good: int
    web_stops: int
    rejected_cuts: int
    mean_level: float


class ReferenceLine:
    """Webs, transfer, bridge, wrappers, rework table and outfeed."""

    def __init__(self, scenario: Any, luck: Luck) -> None:
        self.s = s = scenario
        self.env = env = simpy.Environment()
        self.luck = luck
        self.crew = Crew(env, s.crew.size, lays_down=True)
        self.good = self.repulped = self.aside = 0
        self.level = self.arrived = 0
        self.placed_s: list[float] = []
        """When each set was put on the bridge."""
        self.wrapped_s: list[float] = []
        """When each good ream left its wrapper."""
        self._level_since = self._level_s = 0.0
        self.news = env.event()
        self.webs = Webs(env, s, luck, self.crew)
        self.transfer = Machine(env, self.crew, causes_at(s, luck, "transfer"))
        self.bridge = Machine(env, self.crew, causes_at(s, luck, "bridge"))
        self.bridge.on_change = self.tell
        self.wrappers = [self._wrapper(i) for i in range(len(s.wrapper))]
        self.busy = [False] * len(self.wrappers)
        self.counting = [False] * len(self.wrappers)
        """The ream in hand is done, and is being counted."""
        self.turn = 0
        self.level_hold: Any = None
        self.waiting_set = env.event()
        self.webs.set_is_full = self._set_full
        self.lying = 0
        self.rewrap_s = luck.times(s.rework.rewrap_min, 60.0, "rework", "time")
        self.saved = luck.coin(s.rework.good_chance, "rework", "saved")
        if s.outfeed is not None:
            self.outfeed = Machine(env, self.crew, causes_at(s, luck, "outfeed"))
            self.outfeed.on_change = self.tell
            self.before_outfeed = 0
            self.outfeed_busy = False
            env.process(self._outfeed())
        env.process(self._transfer())
        env.process(self._belt())
        for i in range(len(self.wrappers)):
            env.process(self._wrap(i))
        for pause in s.rest:
            if pause.line == "stands":
                env.process(self._pauses(pause))

    def run(self, hours: float, warm_up_h: float = 0.0) -> Result:
        """Run, and count what happens after the warm-up."""
        if warm_up_h:
            self.env.run(until=warm_up_h * 3600)
        self._note_level()
        before = self.good, self.webs.stops, self.webs.rejected, self._level_s
        self.env.run(until=(warm_up_h + hours) * 3600)
        self._note_level()
        return Result(
            self.good - before[0],
            self.webs.stops - before[1],
            self.webs.rejected - before[2],
            (self._level_s - before[3]) / (hours * 3600),
        )

    def tell(self) -> None:
        """Something changed at the packing end."""
        news, self.news = self.news, self.env.event()
        news.succeed()

    # -- transfer ----------------------------------------------------------------------------

    def _set_full(self) -> None:
        if not self.waiting_set.triggered:
            self.waiting_set.succeed()

    def _transfer(self) -> Steps:
        t = self.s.transfer
        phases = {
            name: self.luck.times(getattr(t, f"{name}_s"), 1.0, "transfer", name)
            for name in ("pick", "carry", "place", "return")
        }
        reams = self.s.slitter.lanes
        while True:
            yield self.waiting_set
            self.waiting_set = self.env.event()
            yield from self.transfer.up()
            if self.s.pockets.interim_fingers:
                self.webs.taken()
            yield from self.transfer.work(phases["pick"]())
            if not self.s.pockets.interim_fingers:
                self.webs.taken()
            yield from self.transfer.work(phases["carry"]())
            aside = 0
            while self.bridge.down:
                yield self.news
            if self.s.bridge.when_full == "wait":
                while self.level + reams > self.s.bridge_places:
                    yield self.news
            else:
                aside = max(0, self.level + reams - self.s.bridge_places)
            yield from self.transfer.work(phases["place"]())
            self.aside += aside
            self.placed_s.append(self.env.now)
            self._change_level(reams - aside)
            self.env.process(self._travel(reams - aside))
            self.transfer.count(reams)
            yield from self.transfer.work(phases["return"]())
            if self.webs.full:
                self._set_full()

    # -- bridge ------------------------------------------------------------------------------

    def _belt(self) -> Steps:
        while True:
            yield from self.bridge.work(3600.0)

    def _travel(self, reams: int) -> Steps:
        b = self.s.bridge
        left = 0.0
        if b.belt_speed_m_per_min:
            left = self._bridge_length_m() / b.belt_speed_m_per_min * 60
        while left > 1e-9:
            while self.bridge.down:
                yield self.news
            began, changed = self.env.now, self.bridge._changed
            yield self.env.timeout(left) | changed
            left -= self.env.now - began
        self.arrived += reams
        self.tell()

    def _bridge_length_m(self) -> float:
        b = self.s.bridge
        if b.places is None:
            return float(b.length_m)
        return math.ceil(b.places / b.tracks) * b.ream_pitch_mm / 1000

    def _note_level(self) -> None:
        self._level_s += self.level * (self.env.now - self._level_since)
        self._level_since = self.env.now

    def _change_level(self, reams: int) -> None:
        self._note_level()
        self.level += reams
        b = self.s.bridge
        if b.stop_at_reams is not None:
            restart = b.stop_at_reams - 1 if b.restart_at_reams is None else b.restart_at_reams
            if self.level >= b.stop_at_reams and self.level_hold is None:
                self.level_hold = self.webs.hold()
            elif self.level <= restart and self.level_hold is not None:
                hold, self.level_hold = self.level_hold, None
                self.webs.release(hold)
        if b.slow_at_reams is not None:
            self.webs.set_slow(self.level >= b.slow_at_reams)
        self.tell()

    # -- wrappers ----------------------------------------------------------------------------

    def _wrapper(self, i: int) -> Machine:
        name = self.s.wrapper[i].name
        causes = causes_at(self.s, self.luck, name, "wrapper")
        made = Machine(self.env, self.crew, causes)
        made.on_change = self.tell
        made.spoil = lambda reams, i=i: self._spoil_more(i, reams)
        return made

    def _roll_reams(self, i: int) -> int | None:
        w, p = self.s.wrapper[i], self.s.product
        if w.roll_length_m is None:
            return None
        wrap = w.wrap_length_mm
        if wrap is None:
            # Once around the ream across its longer side, and the overlap.
            thick = p.sheets_per_ream * p.thickness_um / 1000
            wrap = 2 * (min(p.sheet_width_mm, p.sheet_length_mm) + thick) + w.wrap_overlap_mm
        return max(1, int(w.roll_length_m * 1000 / wrap))

    def _may_take(self, i: int) -> bool:
        if not self.arrived or self.bridge.down or self.wrappers[i].down:
            return False
        free = [n for n, m in enumerate(self.wrappers) if not m.down and not self.busy[n]]
        rule, second = self.s.divert.rule, self.s.divert.second_at_reams
        if i not in free:
            return False
        if rule == "in_turn":
            able = [n for n, m in enumerate(self.wrappers) if not m.down]
            order = sorted(able, key=lambda n: (n - self.turn) % len(self.wrappers))
            return order[0] == i
        first_only = rule == "hot_standby" or (
            rule == "second_above_level" and self.level < (second or 0)
        )
        if i > 0 and first_only and not self.wrappers[0].down:
            return False
        return free[0] == i

    def _wrap(self, i: int) -> Steps:
        w, machine = self.s.wrapper[i], self.wrappers[i]
        luck, b = self.luck, self.s.bridge
        spoils = luck.pieces(w.spoiled_per_10000 / 10_000, w.name, "spoiled")
        spoil_due = max(1.0, spoils())
        cycle = None if w.wrap_s is None else luck.times(w.wrap_s, 1.0, w.name, "wrap")
        change = luck.times(w.roll_change_min, 60.0, w.name, "roll")
        fails = luck.coin(w.roll_splice_fail_chance, w.name, "roll splice")
        on_roll = self._roll_reams(i)
        roll_due = math.inf if on_roll is None else on_roll
        while True:
            while not self._may_take(i):
                yield self.news
            self.busy[i] = True
            seconds = 60 / w.rate_reams_per_min if cycle is None else cycle()
            if cycle is None and b.catch_up_at_reams and self.level >= b.catch_up_at_reams:
                seconds /= b.catch_up_factor
            self.arrived -= 1
            self.turn = (i + 1) % len(self.wrappers)
            self._change_level(-1)
            yield from machine.work(seconds)
            if machine.spoilt:
                self._spoilt()
                self.busy[i] = False
                self.tell()
                continue
            if machine.reams + 1 >= spoil_due:
                machine.spoilt = True
                spoil_due = machine.reams + 1 + spoils()
            # A stop that falls due by this ream spoils it, if it spoils any.
            self.counting[i] = True
            machine.count(1)
            self.counting[i] = False
            if machine.spoilt:
                self._spoilt()
            else:
                self.good += 1
                self.wrapped_s.append(self.env.now)
                if self.s.outfeed is not None:
                    while not self._outfeed_has_room():
                        yield self.news
                    self.before_outfeed += 1
                    self.tell()
            if machine.reams >= roll_due:
                assert on_roll is not None
                roll_due = machine.reams + on_roll
                seconds, failed = change(), fails()
                if w.roll_change == "stop" or failed:
                    machine.stand()
                    standing = self.s.crew.priority_standing_wrapper
                    yield from self.crew.do(Job(w.roll_change_people, standing, seconds))
                    machine.go_on()
            self.busy[i] = False
            self.tell()

    def _spoil_more(self, i: int, reams: int) -> None:
        if self.busy[i] and not self.wrappers[i].spoilt:
            self.wrappers[i].spoilt = True
            if not self.counting[i]:
                self.wrappers[i].reams += 1
            reams -= 1
        while reams > 0 and self.arrived:
            self.arrived -= 1
            self.wrappers[i].reams += 1
            self._change_level(-1)
            self._spoilt()
            reams -= 1

    def _spoilt(self) -> None:
        table = self.s.rework
        if self.lying >= table.places:
            self.repulped += 1
            return
        self.lying += 1
        self.env.process(self._rewrap())

    def _rewrap(self) -> Steps:
        table = self.s.rework
        seconds, saved = self.rewrap_s(), self.saved()
        yield from self.crew.do(
            Job(table.people, self.s.crew.priority_rework, seconds, may_wait=True)
        )
        self.lying -= 1
        if saved:
            self.good += 1
        else:
            self.repulped += 1

    def _outfeed_has_room(self) -> bool:
        takes_it = not (self.outfeed_busy or self.before_outfeed or self.outfeed.down)
        return takes_it or self.before_outfeed < self.s.outfeed.buffer_reams

    def _outfeed(self) -> Steps:
        seconds = 60 / self.s.outfeed.rate_reams_per_min
        while True:
            while self.outfeed.down or not self.before_outfeed:
                yield self.news
            self.before_outfeed -= 1
            self.outfeed_busy = True
            self.tell()
            yield from self.outfeed.work(seconds)
            self.outfeed_busy = False
            self.outfeed.count(1)
            self.tell()

    # -- time --------------------------------------------------------------------------------

    def _pauses(self, pause: Any) -> Steps:
        shift = self.s.line.shift_hours * 3600
        machines = [self.transfer, self.bridge, *self.wrappers]
        if self.s.outfeed is not None:
            machines.append(self.outfeed)
        wait = pause.start_h * 3600
        while True:
            yield self.env.timeout(wait)
            self.crew.away = True
            hold = self.webs.hold()
            for machine in machines:
                machine.stand()
            yield self.env.timeout(pause.minutes * 60)
            self.crew.away = False
            self.crew.look()
            self.webs.release(hold)
            for machine in machines:
                machine.go_on()
            wait = shift - pause.minutes * 60
