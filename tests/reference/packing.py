"""Wrappers, divert and rework table of the reference line."""

from __future__ import annotations

import math
from typing import Any

import simpy

from tests.reference.bridge import Bridge
from tests.reference.end_of_line import end_of_line
from tests.reference.luck import Luck
from tests.reference.machines import Cause, Machine, causes_at
from tests.reference.named import fastest
from tests.reference.people import Crew, Job, Steps


class Rework:
    """A table with places for spoiled reams; one that finds none is repulped."""

    def __init__(self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew) -> None:
        self.env, self.crew, self.table = env, crew, scenario.rework
        self.priority = scenario.crew.priority_rework
        self.lying = self.saved = self.repulped = 0
        self._seconds = luck.times(self.table.rewrap_min, 60.0, "rework", "time")
        self._is_saved = luck.coin(self.table.good_chance, "rework", "saved")

    def bring(self) -> None:
        """A spoiled ream arrives."""
        if self.lying >= self.table.places:
            self.repulped += 1
            return
        self.lying += 1
        self.env.process(self._rewrap(self._seconds(), saved=self._is_saved()))

    def _rewrap(self, seconds: float, *, saved: bool) -> Steps:
        goes_by = frozenset(("rework",))
        people = self.table.people
        yield from self.crew.do(
            Job(people, self.priority, seconds, stands=False, where="rework", goes_by=goes_by)
        )
        self.lying -= 1
        self.saved += saved
        self.repulped += not saved


class Wrapper(Machine):
    """One of the wrappers, with its roll."""

    def __init__(
        self,
        env: simpy.Environment,
        scenario: Any,
        luck: Luck,
        crew: Crew,
        number: int,
        line: Packing,
    ) -> None:
        self.table = table = scenario.wrapper[number]
        self.number, self.line, self.s = number, line, scenario
        super().__init__(env, crew, causes_at(scenario, luck, table.name, "wrapper"))
        self.can_spoil = True
        self.busy = False
        self.on_change = line.bridge.tell
        self._next_spoilt = luck.pieces(table.spoiled_per_10000 / 10_000, table.name, "spoiled")
        self._spoilt_due = self._next_spoilt()
        self._wrap_s = None
        if table.wrap_s is not None:
            self._wrap_s = luck.times(table.wrap_s, 1.0, table.name, "wrap")
        self._change_s = luck.times(table.roll_change_min, 60.0, table.name, "roll")
        self._splice_fails = luck.coin(table.roll_splice_fail_chance, table.name, "roll splice")
        self._reams_on_roll = self._of_a_roll()
        self._roll_due = self._reams_on_roll
        env.process(self._run())

    def _of_a_roll(self) -> float:
        table, product = self.table, self.s.product
        if table.roll_length_m is None:
            return math.inf
        wrap_mm = table.wrap_length_mm
        if wrap_mm is None:
            webs = self.s.unwind.webs
            sheets = math.ceil(product.sheets_per_ream / webs) * webs
            high = sheets * product.thickness_um / 1000
            wrap_mm = 2 * (product.sheet_width_mm + high) + table.wrap_overlap_mm
        return max(1, math.floor(table.roll_length_m * 1000 / wrap_mm + 1e-9))

    def _seconds(self) -> float:
        """Time for the next ream; above a level of the bridge they hurry."""
        bridge = self.line.bridge
        if self._wrap_s is None:
            allowed = fastest(self.s, "wrapper_rate_reams_per_min")
            seconds = 60 / min(self.table.rate_reams_per_min, allowed)
        else:
            seconds = self._wrap_s()
        hurries = bridge.table.catch_up_at_reams
        if hurries is not None and bridge.level >= hurries:
            return seconds / float(bridge.table.catch_up_factor)
        return seconds

    def _run(self) -> Steps:
        line = self.line
        while True:
            while not line.may_take(self):
                yield line.bridge.news
            self.busy = True
            seconds = self._seconds()
            line.turn = (self.number + 1) % len(line.wrappers)
            line.bridge.take()
            spoiling = yield from self.work(seconds)
            if spoiling:
                self.reams += 1
                line.rework.bring()
            else:
                spoiling = self.count(1)
                yield from self._put_out(spoiling)
            self.busy = False
            self._spoil_more(spoiling)
            line.bridge.tell()

    def _put_out(self, fallen: list[Cause]) -> Steps:
        """The ream is wrapped: good, or spoiled by chance or by a stop that it was in."""
        spoilt = any(cause.spoils_reams for cause in fallen)
        if self.reams >= self._spoilt_due:
            self._spoilt_due = self.reams + self._next_spoilt()
            spoilt = True
        if self.reams >= self._roll_due:
            self._roll_due = self.reams + self._reams_on_roll
            self._change_roll()
        if spoilt:
            self.line.rework.bring()
            return
        self.line.wrapped_s.append(self.env.now)
        for here in self.line.behind[:1]:
            yield here[0].place.bring(self.number)

    def _change_roll(self) -> None:
        table = self.table
        seconds = self._change_s()
        if table.roll_change == "stop" or self._splice_fails():
            first = self.s.crew.priority_standing_wrapper
            goes_by = frozenset(("rolls", "wrapper", table.name))
            self.stand_for(
                Job(table.roll_change_people, first, seconds, where=table.name, goes_by=goes_by)
            )

    def _spoil_more(self, causes: list[Cause]) -> None:
        """Besides the ream that it was in, a stop spoils those that wait before the wrapper."""
        bridge = self.line.bridge
        more = sum(max(0, cause.spoils_reams - 1) for cause in causes)
        while more and bridge.arrived:
            bridge.take()
            self.reams += 1
            self.line.rework.bring()
            more -= 1


class Packing:
    """All wrappers behind one bridge, and what comes after them."""

    def __init__(
        self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew, bridge: Bridge
    ) -> None:
        self.bridge = bridge
        self.divert = scenario.divert
        self.turn = 0
        self.wrapped_s: list[float] = []
        """When each good ream left its wrapper."""
        self.rework = Rework(env, scenario, luck, crew)
        self.behind = end_of_line(env, scenario, luck, crew)
        self.wrappers: list[Wrapper] = []
        for number in range(len(scenario.wrapper)):
            self.wrappers.append(Wrapper(env, scenario, luck, crew, number, self))

    def may_take(self, wrapper: Wrapper) -> bool:
        """Whether the rule gives the first ream on the bridge to this wrapper."""
        if not self.bridge.arrived or self.bridge.down:
            return False
        up = [each for each in self.wrappers if not each.down]
        if self.divert.rule == "in_turn":
            up.sort(key=lambda each: (each.number - self.turn) % len(self.wrappers))
            return up[:1] == [wrapper] and not wrapper.busy
        first_only = self.divert.rule == "hot_standby" or (
            self.divert.rule == "second_above_level"
            and self.bridge.level < self.divert.second_at_reams
        )
        if first_only and self.wrappers[0] in up:
            up = up[:1]
        return [each for each in up if not each.busy][:1] == [wrapper]
