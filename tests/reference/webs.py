"""The reference line from the stands to the pockets: all webs move as one."""

from __future__ import annotations

import math
from collections.abc import Callable, Generator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import simpy

from tests.reference.luck import Luck
from tests.reference.machines import WEBS, Cause, causes_at
from tests.reference.motion import CLOSE_M, Motion
from tests.reference.people import Crew, Job

Steps = Generator[simpy.Event, Any, None]
SOON_M = 1.0
"""How far the webs run on before a weak place in the machine gives way."""


@dataclass(eq=False)
class Hold:
    """A reason for which the webs stand, or are on their way to a standstill."""

    stood: simpy.Event


@dataclass(eq=False)
class Stand:
    """The reel (or the pair of stands) of one web. Places are metres run by all webs."""

    web: int
    end_m: float = 0.0
    joints_m: list[float] = field(default_factory=list)
    ready: bool = True
    preparing: Job | None = None
    prepared: simpy.Event | None = None
    threaded: bool = True

    def lose(self, metres: float) -> None:
        """The next metres of the reel are lost."""
        self.end_m -= metres
        self.joints_m = [at - metres for at in self.joints_m]


class Webs(Motion):
    """Reels, speed, breaks, cuts, rejects and pockets."""

    def __init__(self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew) -> None:
        super().__init__(scenario)
        self.env, self.crew, self.luck, self.s = env, crew, luck, scenario
        s = scenario
        self.cut_m = s.product.sheet_length_mm / 1000
        rated = min(s.cutter.web_speed_m_per_min, s.cutter.max_cuts_per_min * self.cut_m) / 60
        self.rated = rated
        self.cuts_per_ream = math.ceil(s.product.sheets_per_ream / s.unwind.webs)
        self.paced = self._pace()
        self.since = 0.0
        self.run_s = 0.0
        self.cuts = self.sets = self.stops = 0
        self.rejected = self.no_room = 0
        self.holds: list[Hold] = []
        self.slow = False
        self.stood = False
        self.spoiled_cuts = 0
        self.rejects: list[tuple[int, int, str]] = []
        self.begun = 0.0, 0
        """Where a cut began, and how many had been made by then."""
        self.in_pockets = self.on_belt = 0
        self.full = False
        self.full_hold: Hold | None = None
        self.set_is_full: Callable[[], None] = lambda: None
        self.kick = env.event()
        self.soon: list[tuple[float, int]] = []
        self.causes = [cause for station in WEBS for cause in causes_at(s, luck, station)]
        for cause in self.causes:
            if cause.meter == "every_clock_h":
                env.process(self._by_the_clock(cause))
        self._unwinding()
        self._breaking()
        per_cut = s.gate.defects_per_million_sheets * s.unwind.webs * s.slitter.lanes / 1e6
        self.defects = luck.pieces(min(1.0, per_cut), "gate", "defect")
        self.next_defect = self.defects()
        self.splice_until = -1.0
        env.process(self._run())

    # -- reels -------------------------------------------------------------------------------

    def _unwinding(self) -> None:
        s, u = self.s, self.s.unwind
        self.reels = [self.luck.reels(s, web) for web in range(u.webs)]
        self.stands = [Stand(web) for web in range(u.webs)]
        for stand in self.stands:
            length, joints = self.reels[stand.web]()
            left = 1.0
            if s.reels.at_start == "staggered":
                left = (stand.web + 1) / u.webs
            elif s.reels.at_start == "random":
                left = self.luck.anywhere(stand.web)
            gone = length * (1 - left)
            stand.end_m = length - gone
            stand.joints_m = [at - gone for at in joints if at > gone]
        names = [f"web {web + 1}" for web in range(u.webs)]

        def minutes(what: str) -> list[Callable[[], float]]:
            law = getattr(u, what)
            return [self.luck.times(law, 60.0, "unwind", name, what) for name in names]

        self.change = minutes("change_min")
        self.splice = minutes("splice_min")
        self.prepare = minutes("prepare_min")
        self.fails = [
            self.luck.coin(u.splice_fail_chance, "unwind", name, "splice fails") for name in names
        ]
        self.paired = u.change != "standing_change"
        self.flying = u.change == "flying_splice"
        self.splice_speed = min(u.splice_speed_m_per_min / 60, self.rated)
        self.changing = False

    def _new_reel(self, stand: Stand) -> None:
        length, joints = self.reels[stand.web]()
        stand.end_m = self.x + length
        stand.joints_m = [self.x + at for at in joints]
        if not stand.threaded:
            stand.threaded = True
            stand.lose(self.s.web_path.path_length_m)

    def _stop_m(self, stand: Stand) -> float:
        """Where a stop for this reel must begin, so that it ends with the butt on the core."""
        return stand.end_m - self.s.unwind.butt_length_m - self.rated**2 / (2 * self.loss)

    def _splice_m(self, stand: Stand) -> float:
        return stand.end_m - self.s.unwind.butt_length_m

    def _reel_stop(self) -> Steps:
        self.changing = True
        hold = self.hold()
        yield hold.stood
        due = [
            stand
            for stand in self.stands
            if self._reached(stand) or stand.end_m - self.x < self.s.unwind.change_together_below_m
        ]
        if due:
            yield self.env.all_of([self.env.process(self._change(stand)) for stand in due])
        self.changing = False
        self.release(hold)

    def _reached(self, stand: Stand) -> bool:
        return self.x >= self._stop_m(stand) - CLOSE_M

    def _change(self, stand: Stand) -> Steps:
        u, first = self.s.unwind, self.s.crew.priority_standing_line
        if not self.paired:
            yield from self.crew.do(Job(u.change_people, first, self.change[stand.web]()))
            self._new_reel(stand)
            self._joined(stand, fails=False)
            return
        while not stand.ready:
            assert stand.prepared is not None
            assert stand.preparing is not None
            self.crew.hurry(stand.preparing, first)
            yield stand.prepared
        yield from self.crew.do(Job(u.splice_people, first, self.splice[stand.web]()))
        self._splice_done(stand, fails=self.fails[stand.web]())

    def _splice_done(self, stand: Stand, *, fails: bool) -> None:
        self._new_reel(stand)
        stand.ready = False
        stand.prepared = self.env.event()
        self.env.process(self._prepare(stand))
        self._joined(stand, fails=fails)

    def _joined(self, stand: Stand, *, fails: bool) -> None:
        self._reject_around(self.x, self.s.gate.cuts_per_splice, "splice")
        if self.at_splice[stand.web]() or fails:
            self.soon.append((self.x + (CLOSE_M if self.v else SOON_M), stand.web))

    def _prepare(self, stand: Stand) -> Steps:
        u, crew = self.s.unwind, self.s.crew
        seconds = self.prepare[stand.web]()
        stand.preparing = Job(u.prepare_people, crew.priority_prepare, seconds, may_wait=True)
        yield from self.crew.do(stand.preparing)
        stand.ready = True
        assert stand.prepared is not None
        stand.prepared.succeed()

    # -- breaks ------------------------------------------------------------------------------

    def _breaking(self) -> None:
        s, p, webs = self.s, self.s.web_path, range(self.s.unwind.webs)
        reels = s.reels
        area = (reels.diameter_mm**2 - reels.core_diameter_mm**2) / 1e6
        nominal = math.pi * area / (4 * s.product.thickness_um / 1e6)
        per_m = p.breaks_per_100_reels / 100 / nominal

        def coins(chance: float, what: str) -> list[Callable[[], bool]]:
            return [self.luck.coin(chance, "web_path", web, what) for web in webs]

        self.at_splice = coins(p.break_chance_at_splice, "splice")
        self.at_joint = coins(p.break_chance_at_joint, "joint")
        self.at_restart = coins(p.break_chance_at_restart, "restart")
        self.holds_tail = coins(p.clamp_holds_chance, "clamp holds")
        self.gaps = [self.luck.pieces(per_m, "web_path", web, "break") for web in webs]
        self.break_due = [gap() for gap in self.gaps]
        times = self.luck.times
        self.held = [times(p.rethread_held_min, 60.0, "web_path", web, "held") for web in webs]
        self.lost = [times(p.rethread_lost_min, 60.0, "web_path", web, "lost") for web in webs]

    def _break(self, web: int) -> None:
        """The webs stand at once; the paper between stands and knives is lost on all of them."""
        path = self.s.web_path
        self.stops += 1
        coast = self.v / self.loss
        # The k-th break has the k-th draws of both, whichever of the two it takes.
        held, lost = self.held[web](), self.lost[web]()
        seconds = held if self.holds_tail[web]() else lost
        self.v = self.target = 0.0
        self.soon.clear()
        self.splice_until = -1.0
        # The cut begun is lost, too: the next one starts from here.
        self.begun = self.x, self.cuts
        self.rejects = [each for each in self.rejects if each[2] not in ("splice", "joint")]
        for stand in self.stands:
            if stand.end_m - self.x >= path.path_length_m:
                stand.lose(path.path_length_m)
            else:
                stand.threaded = False
                stand.end_m = self.x
        self.env.process(self._rethread(self.hold(), coast + seconds))

    def _rethread(self, hold: Hold, seconds: float) -> Steps:
        yield hold.stood
        first = self.s.crew.priority_standing_line
        yield from self.crew.do(Job(self.s.web_path.rethread_people, first, seconds))
        self.release(hold)

    # -- speed -------------------------------------------------------------------------------

    def hold(self) -> Hold:
        """Have the webs stand; ``stood`` comes when they do."""
        hold = Hold(self.env.event())
        self.holds.append(hold)
        self._kick()
        return hold

    def release(self, hold: Hold) -> None:
        """One reason less to stand."""
        self.holds.remove(hold)
        self._kick()

    def set_slow(self, slow: bool) -> None:
        """Slowed by the level of the bridge, or not."""
        if slow != self.slow:
            self.slow = slow
            self._kick()

    def _kick(self) -> None:
        if not self.kick.triggered:
            self.kick.succeed()

    def _pace(self) -> float:
        """Speed at which a set takes as long as the transfer is away for the one before it."""
        t = self.s.transfer
        pick = t.pick_s.average()
        away = pick + t.carry_s.average() + t.place_s.average() + t.return_s.average()
        if not t.paces_webs or not away:
            return math.inf
        cuts, filling = self.cuts_per_ream, away
        held = self.s.overlap_belt.hold_cuts
        if not self.s.pockets.interim_fingers and cuts * pick / away > held:
            # The pockets are shut during the pick, but for the cuts on the belt.
            cuts, filling = cuts - held, away - pick
        # A hair more, so that the transfer is home when the set is full.
        return cuts * self.cut_m / filling * (1 - 1e-9)

    def _wanted(self) -> float:
        if self.holds:
            return 0.0
        speed = self.rated * (self.s.bridge.slow_to_fraction if self.slow else 1.0)
        speed = min(speed, self.paced)
        if self.flying and self._splicing():
            speed = min(speed, self.splice_speed)
        return speed

    def _slow_m(self, stand: Stand) -> float:
        """Where the webs begin to slow down, so as to have the speed a metre before the splice."""
        slowing = max(0.0, self.rated**2 - self.splice_speed**2) / (2 * self.loss)
        return self._splice_m(stand) - slowing - 1.0

    def _splicing(self) -> bool:
        near = any(st.ready and self.x >= self._slow_m(st) - CLOSE_M for st in self.stands)
        return near or self.x < self.splice_until - CLOSE_M

    def settle(self) -> None:
        """Catch up with the clock."""
        seconds = self.env.now - self.since
        self.since = self.env.now
        if seconds > 0 and (self.v or self.target):
            self._move(seconds)
            self.run_s += seconds
            self._cut()

    def _aim(self) -> None:
        wanted = self._wanted()
        if wanted > 0 and self.v == 0 and self.stood:
            self._restart()
            wanted = self._wanted()
        self.target = wanted
        if (wanted > self.v and self.gain == math.inf) or (
            wanted < self.v and self.loss == math.inf
        ):
            self.v = wanted
        if self.v == 0 and self.target == 0:
            self.stood = True
            for hold in self.holds:
                if not hold.stood.triggered:
                    hold.stood.succeed()

    def _restart(self) -> None:
        self.stood = False
        count = self.s.gate.cuts_after_stop + self.spoiled_cuts
        self.spoiled_cuts = 0
        if count:
            self.rejects.append((self.cuts, self.cuts + count, "stop"))
        for web in range(self.s.unwind.webs):
            if self.at_restart[web]():
                self.soon.append((self.x + SOON_M, web))

    # -- cuts --------------------------------------------------------------------------------

    def _cuts_at(self, at_m: float) -> int:
        """How many cuts have been made when the webs have run so far."""
        return self.begun[1] + int((at_m - self.begun[0]) / self.cut_m + CLOSE_M)

    def _reject_around(self, at_m: float, count: int, why: str) -> None:
        """What left a stand there reaches the knives a path length later."""
        if count:
            middle = self._cuts_at(at_m + self.s.web_path.path_length_m)
            begin = max(self.cuts, middle - count // 2)
            self.rejects.append((begin, begin + count, why))

    def _good_between(self, begin: int, end: int) -> int:
        bad = np.zeros(end - begin, dtype=bool)
        for a, b, _ in self.rejects:
            bad[max(0, a - begin) : max(0, b - begin)] = True
        return int(end - begin - bad.sum())

    def _cut_with_good(self, good: int) -> int:
        """The number of cuts made when so many more good ones have been."""
        cut = self.cuts
        while True:
            end = cut + good
            found = self._good_between(cut, end)
            cut, good = end, good - found
            if not good:
                break
        return cut

    def _cut(self) -> None:
        made = self._cuts_at(self.x)
        while self.next_defect <= made:
            begin = int(self.next_defect)
            self.rejects.append((begin, begin + self.s.gate.cuts_per_defect, "defect"))
            self.next_defect += self.defects()
        good = self._good_between(self.cuts, made)
        self.rejected += made - self.cuts - good
        self.cuts = made
        self.rejects = [each for each in self.rejects if each[1] > made]
        if not self.full:
            taken = min(good, self.cuts_per_ream - self.in_pockets)
            self.in_pockets += taken
            good -= taken
        room = self.s.overlap_belt.hold_cuts - self.on_belt
        self.on_belt += min(room, good)
        self.no_room += max(0, good - room)
        self._look_at_pockets()

    def _look_at_pockets(self) -> None:
        if self.full or self.in_pockets < self.cuts_per_ream:
            return
        self.full = True
        self.sets += 1
        self.set_is_full()

    def taken(self) -> None:
        """The pockets are free again: the belt lets go of what it held."""
        self.settle()
        self.full = False
        self.in_pockets = min(self.on_belt, self.cuts_per_ream)
        self.on_belt -= self.in_pockets
        if self.full_hold is not None:
            hold, self.full_hold = self.full_hold, None
            self.release(hold)
        self._look_at_pockets()
        self._kick()

    # -- what comes next -----------------------------------------------------------------------

    def _attend(self) -> None:
        """Everything that has been reached."""
        s = self.s
        for stand in self.stands:
            while stand.joints_m and stand.joints_m[0] <= self.x + CLOSE_M:
                at = stand.joints_m.pop(0)
                self._reject_around(at, s.gate.cuts_per_joint, "joint")
                if self.at_joint[stand.web]():
                    self.soon.append((self.x + CLOSE_M, stand.web))
        self._attend_reels()
        for at, web in list(self.soon):
            if at <= self.x + CLOSE_M and (at, web) in self.soon:
                self._break(web)
        for web, due in enumerate(self.break_due):
            if due <= self.worn_m + CLOSE_M:
                self.break_due[web] = self.worn_m + self.gaps[web]()
                self._break(web)
        for meter, reading in self._readings():
            for cause in self.causes:
                if cause.is_due(meter, reading):
                    cause.due = reading + cause.interval()
                    self.env.process(self._stop(cause))
        if self.full and self.full_hold is None and self._brake_m() <= self.x + CLOSE_M:
            self.full_hold = Hold(self.env.event())
            self.holds.append(self.full_hold)

    def _attend_reels(self) -> None:
        if self.changing:
            return
        if not self.flying:
            if any(self._reached(stand) for stand in self.stands):
                self.env.process(self._reel_stop())
            return
        for stand in self.stands:
            if not stand.ready and self._reached(stand):
                self.env.process(self._reel_stop())
                return
            if stand.ready and self.x >= self._splice_m(stand) - CLOSE_M:
                self.splice_until = self.x + self.s.unwind.splice_length_m
                self._splice_done(stand, fails=self.fails[stand.web]())

    def _readings(self) -> tuple[tuple[str, float], ...]:
        return (
            ("every_running_h", self.run_s),
            ("every_web_km", self.x),
            ("every_cuts", self.cuts),
            ("every_reams", self.sets * self.s.slitter.lanes),
        )

    def _brake_m(self) -> float:
        """Where the webs must slow down so as to stand when the belt is full."""
        room = self.s.overlap_belt.hold_cuts - self.on_belt
        if self.loss == math.inf:
            return self._at_cut(self._cut_with_good(room))
        slowing = self.v**2 / (2 * self.loss)
        if self.target <= self.v:
            return self._at_cut(self._cut_with_good(max(0, room - int(slowing / self.cut_m) - 1)))
        # They gain speed meanwhile: v^2 grows by twice the gain with every metre.
        end = self._at_cut(self._cut_with_good(room) - 1)
        return self.x + max(0.0, (end - self.x - slowing) / (1 + self.gain / self.loss))

    def _at_cut(self, cut: int) -> float:
        return self.begun[0] + (cut - self.begun[1]) * self.cut_m

    def _seconds_to_next(self) -> float:
        places = [self.soon_at for self.soon_at, _ in self.soon]
        for stand in self.stands:
            places += stand.joints_m[:1]
            if self.flying:
                marks = (self._slow_m(stand), self._splice_m(stand))
                places += [at for at in marks if at > self.x + CLOSE_M]
                if not stand.ready and not self.changing:
                    places.append(self._stop_m(stand))
            elif not self.changing:
                places.append(self._stop_m(stand))
        if self.splice_until > self.x + CLOSE_M:
            places.append(self.splice_until)
        # Where cuts are counted: the place at which the cut has been made.
        cuts = [] if self.next_defect == math.inf else [int(self.next_defect)]
        if not self.full:
            cuts.append(self._cut_with_good(self.cuts_per_ream - self.in_pockets))
        elif self.full_hold is None:
            places.append(self._brake_m())
        worn = min(self.break_due)
        seconds = [math.inf if worn == math.inf else self._seconds_to_worn(worn - self.worn_m)]
        for cause in self.causes:
            if cause.under_way:
                continue
            if cause.meter == "every_web_km":
                places.append(cause.due)
            elif cause.meter == "every_cuts":
                cuts.append(math.ceil(cause.due))
            elif cause.meter == "every_running_h" and (self.v or self.target):
                seconds.append(max(0.0, cause.due - self.run_s))
        places += [self.begun[0] + (cut - self.begun[1] + CLOSE_M) * self.cut_m for cut in cuts]
        moving = self.v or self.target
        ramp, _ = self._ramp()
        if ramp:
            seconds.append(ramp)
        if moving and places:
            seconds.append(self._seconds_to(max(CLOSE_M, min(places) - self.x)))
        return min(seconds, default=math.inf) if moving else math.inf

    def _run(self) -> Steps:
        while True:
            self.settle()
            # The transfer may take a set in the moment in which it is full.
            yield self.env.timeout(0)
            self._attend()
            if self.kick.triggered:
                self.kick = self.env.event()
            self._aim()
            wait = self._seconds_to_next()
            if wait == math.inf:
                yield self.kick
            else:
                yield self.env.timeout(wait) | self.kick

    def _stop(self, cause: Cause) -> Steps:
        cause.under_way = True
        self.stops += 1
        hold = self.hold()
        yield hold.stood
        stop = cause.stop
        self.spoiled_cuts += stop.spoils_cuts
        if stop.spoils_web_m:
            for stand in self.stands:
                stand.lose(stop.spoils_web_m)
        if stop.spoils_pockets and not self.full:
            self.in_pockets = self.on_belt = 0
        yield from self.crew.do(Job(stop.people, cause.priority, cause.restore()))
        cause.under_way = False
        self.release(hold)

    def _by_the_clock(self, cause: Cause) -> Steps:
        while True:
            yield self.env.timeout(cause.due)
            yield self.env.process(self._stop(cause))
            cause.due = cause.interval()
