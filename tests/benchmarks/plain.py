"""The demo line as one would write it first in SimPy: a process for every ream.

Written for comparison of speed only. It has the line's rates, reels, stops, breaks, crew, bridge
levels and roll changes, drawn from the same laws, but keeps no accounts: no roots, no books, no
spans. So it does less than the model it is compared with.
"""

from __future__ import annotations

import contextlib
from collections.abc import Generator
from typing import Any

import numpy as np
import simpy

from linesim import paper
from linesim.scenario import WEB_STATIONS, Scenario

Steps = Generator[simpy.Event, Any, None]
_UNIT_S = {"every_running_h": 3600.0, "every_clock_h": 3600.0}


class PlainLine:
    """Sheeter, transfer, bridge, wrappers and outfeed as plain SimPy processes; times in s."""

    def __init__(self, scenario: Scenario, seed: int) -> None:
        self.s = scenario
        self.env = simpy.Environment()
        self.rng = np.random.default_rng(seed)
        self.wrapped = 0
        speed = paper.speed_within_cutter_m_per_min(
            scenario.cutter.web_speed_m_per_min,
            scenario.product.sheet_length_mm,
            scenario.cutter.max_cuts_per_min,
        )
        self.speed_m_per_s = speed / 60
        self.cut_s = scenario.product.sheet_length_mm / 1000 / self.speed_m_per_s
        count = paper.cuts_per_ream(scenario.product.sheets_per_ream, scenario.unwind.webs)
        self.set_cuts = count.cuts
        self.lanes = scenario.slitter.lanes
        env = self.env
        self.crew = simpy.PriorityResource(env, max(1, scenario.crew.size))
        self.bridge = simpy.Container(env, scenario.bridge_places)
        self.home = simpy.Resource(env, 1)
        self.wrapper = simpy.PriorityResource(env, len(scenario.wrapper))
        self.outfeed = simpy.Resource(env, 1)
        self.stops_due: list[tuple[float, int]] = []
        self.level_stop = False
        self.sheeter = env.process(self.sheet())
        self.reel_left = [
            self.new_reel() * (w + 1) / scenario.unwind.webs for w in range(scenario.unwind.webs)
        ]
        for stop in scenario.stop:
            times = scenario.unwind.webs if stop.per_web else 1
            for _ in range(times):
                env.process(self.breakdown(stop, stop.station in WEB_STATIONS))
        self.reams_on_roll = 0

    def draw(self, law: Any, unit: float) -> float:
        return float(law.quantile(np.array([self.rng.random()]))[0]) * unit

    def new_reel(self) -> float:
        r = self.s.reels
        return paper.reel_length_m(r.diameter_mm, r.core_diameter_mm, self.s.product.thickness_um)

    def mean_gap_s(self, stop: Any) -> float:
        """Seconds of running that one unit of the stop's meter takes."""
        m_per_s = self.speed_m_per_s
        return {
            "every_web_km": 1000 / m_per_s,
            "every_cuts": self.cut_s,
            "every_reams": self.cut_s * self.set_cuts / self.lanes,
        }.get(stop.meter, _UNIT_S.get(stop.meter, 1.0))

    def breakdown(self, stop: Any, on_webs: bool) -> Steps:
        while True:
            yield self.env.timeout(self.draw(stop.interval, self.mean_gap_s(stop)))
            restore = self.draw(stop.restore_min, 60)
            if on_webs:
                self.stops_due.append((restore, stop.people))
                if self.sheeter.is_alive and self.sheeter.target is not None:
                    with contextlib.suppress(RuntimeError):  # it stands by itself just now
                        self.sheeter.interrupt("stop")
            else:
                with self.wrapper.request(priority=0) as right:
                    yield right
                    yield from self.repair(restore, stop.people)

    def repair(self, restore: float, people: int) -> Steps:
        if people:
            with self.crew.request(priority=1) as hands:
                yield hands
                yield self.env.timeout(restore)
        else:
            yield self.env.timeout(restore)

    def stand(self) -> Steps:
        """Stand for everything that is due, with the time of the ramps."""
        while self.stops_due:
            restore, people = self.stops_due.pop()
            try:
                yield from self.repair(restore, people)
            except simpy.Interrupt:
                continue

    def sheet(self) -> Steps:
        s, env = self.s, self.env
        ramp = self.speed_m_per_s * 60 / max(1e-9, s.cutter.run_up_m_per_min_per_s) / 2
        while True:
            left = self.set_cuts * self.cut_s
            while left > 0:
                begun = env.now
                try:
                    yield env.timeout(left)
                    left = 0.0
                except simpy.Interrupt:
                    left -= env.now - begun
                    yield from self.stand()
                    left += ramp
            yield from self.change_reels(self.set_cuts * self.cut_s * self.speed_m_per_s)
            try:
                waiting = self.home.request()
                yield waiting
                env.process(self.transfer(waiting))
                stop_at, restart = s.bridge.stop_at_reams, s.bridge.restart_at_reams
                if stop_at is not None and self.bridge.level >= stop_at:
                    while self.bridge.level > (restart or 0):
                        yield env.timeout(1.0)
                    yield env.timeout(ramp)
            except simpy.Interrupt:
                yield from self.stand()

    def change_reels(self, length_m: float) -> Steps:
        u = self.s.unwind
        for web in range(u.webs):
            self.reel_left[web] -= length_m
            if self.reel_left[web] <= u.butt_length_m:
                law = u.splice_min if u.stands_per_web == 2 else u.change_min
                self.reel_left[web] = self.new_reel()
                try:
                    yield from self.repair(self.draw(law, 60), 1)
                except simpy.Interrupt:
                    yield from self.stand()

    def transfer(self, home: simpy.resources.resource.Request) -> Steps:
        t, env = self.s.transfer, self.env
        yield env.timeout(self.draw(t.pick_s, 1))
        yield env.timeout(self.draw(t.carry_s, 1))
        yield self.bridge.put(self.lanes)
        yield env.timeout(self.draw(t.place_s, 1))
        for _ in range(self.lanes):
            env.process(self.ream())
        yield env.timeout(self.draw(t.return_s, 1))
        self.home.release(home)

    def ream(self) -> Steps:
        s, env = self.s, self.env
        b = s.bridge
        yield env.timeout(b.length_m / b.belt_speed_m_per_min * 60)
        with self.wrapper.request(priority=1) as right:
            yield right
            yield self.bridge.get(1)
            yield env.timeout(60 / s.wrapper[0].rate_reams_per_min)
            self.reams_on_roll += 1
            if s.wrapper[0].roll_length_m and self.reams_on_roll >= 7000:
                self.reams_on_roll = 0
                yield from self.repair(self.draw(s.wrapper[0].roll_change_min, 60), 1)
        if s.outfeed is not None:
            with self.outfeed.request() as place:
                yield place
                yield env.timeout(60 / s.outfeed.rate_reams_per_min)
        self.wrapped += 1

    def run(self, hours: float) -> int:
        """Run; returns reams wrapped."""
        self.env.run(until=hours * 3600)
        return self.wrapped
