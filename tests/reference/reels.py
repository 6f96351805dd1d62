"""The stands of the reference line: reels run out, are changed, and stands are prepared.

A place is the number of metres that have passed the knives. A reel ends at the place at which its
paper would leave the stand; paper that is lost brings that end nearer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import simpy

from tests.reference.luck import Luck
from tests.reference.motion import CLOSE_M
from tests.reference.people import Crew, Job, Steps
from tests.reference.reel_truck import ReelTruck

if TYPE_CHECKING:
    from tests.reference.webs import Hold, Webs

_PREPARE = frozenset(("prepare", "unwind"))


@dataclass(eq=False)
class Stand:
    """The reel in use of one web, and what its luck holds for the next ones."""

    web: int
    luck: dict[str, Any]
    end_m: float = 0.0
    joints_m: list[float] = field(default_factory=list)
    threaded: bool = True
    """Not from a break on that took more paper than the reel had left."""
    ready: bool = True
    """The partner stand is prepared."""
    preparing: Job | None = None
    prepared: simpy.Event | None = None
    waits: bool = False
    """The webs stand, and its next reel is not there."""
    at_work: bool = False
    """People have been asked to splice it."""

    def use_up(self, metres: float) -> None:
        """The next metres of the reel are threaded, with the joints in them."""
        self.end_m -= metres
        self.joints_m = [at - metres for at in self.joints_m]

    def throw_away(self, metres: float, x: float) -> None:
        """The next metres of the reel are lost, with the joints in them."""
        metres = min(metres, self.end_m - x)
        self.joints_m = [at for at in self.joints_m if at > x + metres]
        self.use_up(metres)


class Reels:
    """All stands. One standstill serves all reels that are due in it."""

    def __init__(
        self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew, webs: Webs
    ) -> None:
        self.env, self.s, self.crew, self.webs = env, scenario, crew, webs
        u = self.table = scenario.unwind
        self.paired = u.stands_per_web == 2
        self.spares = u.spare_stands or 0
        """Spare stands that are prepared."""
        self.shared = self.spares > 0
        self._emptied: list[Job] = []
        """What there is to do on the others, in the order in which they were emptied."""
        self._one_more = env.event()
        """A spare stand has been prepared."""
        self.flying = u.change == "flying_splice"
        motion = webs.motion
        self.splice_speed = min(u.splice_speed_m_per_min / 60, webs.rated)
        self._stop_m = motion.run_down_m(webs.rated)
        """The webs begin to stop so far before what is left is the butt."""
        self._slow_m = motion.run_down_m(webs.rated, self.splice_speed) + 1.0
        """They come down to splice speed a metre before the splice."""
        self._spliced_until = -1.0
        self._hold: Hold | None = None
        self._changing: list[Stand] = []
        self._stood = False
        self.stands = [Stand(web, self._luck(luck, web)) for web in range(u.webs)]
        self.truck: ReelTruck | None = None
        for stand in self.stands:
            length, joints = self._take(stand)
            part = 1.0
            if scenario.reels.at_start == "staggered":
                part = (stand.web + 1) / u.webs
            elif scenario.reels.at_start == "random":
                part = luck.anywhere(stand.web)
            # A reel with nothing left to run would have been replaced.
            left = max(length * part, min(length, u.butt_length_m + self._stop_m + 2 * CLOSE_M))
            stand.end_m, stand.joints_m = length, joints
            stand.throw_away(length - left, 0.0)
        if scenario.reel_truck is not None:
            self.truck = ReelTruck(env, scenario, luck, crew, self._low)
            self.truck.look()

    def _low(self, metres: float) -> int:
        """Reels in use with no more than this left."""
        x = self.webs.motion.x
        has_asked = [] if self.paired or self.shared else self._changing
        return sum(
            stand.end_m - x <= metres + CLOSE_M for stand in self.stands if stand not in has_asked
        )

    def _take(self, stand: Stand) -> tuple[float, list[float]]:
        """The next reel of the store; from now on its web breaks as often as that reel does."""
        length, joints, bad = stand.luck["reel"]()
        self.webs.breaks.on_reel(stand.web, bad=bad)
        return length, joints

    def _luck(self, luck: Luck, web: int) -> dict[str, Any]:
        name, u = f"web {web + 1}", self.table
        found: dict[str, Any] = {
            what: luck.times(getattr(u, what), 60.0, "unwind", name, what)
            for what in ("change_min", "splice_min", "prepare_min")
        }
        if self.s.reel_truck is not None and self.s.reel_truck.places is not None:
            law = self.s.reel_truck.chuck_min
            found["prepare_min"] = luck.times(law, 60.0, "unwind", name, "chuck_min")
        found["fails"] = luck.coin(u.splice_fail_chance, "unwind", name, "splice fails")
        found["reel"] = luck.reels(self.s, web)
        return found

    # -- where something is due ----------------------------------------------------------------

    def _change_at(self, stand: Stand) -> float:
        return stand.end_m - self.table.butt_length_m

    def _can_fly(self, stand: Stand) -> bool:
        return self.flying and self._has_next(stand)

    def _has_next(self, stand: Stand) -> bool:
        """A prepared stand is there for it: its own, or one of the spares, nearest end first.

        While the webs stand for reels, those that they stand for come before.
        """
        if not self.shared:
            return stand.ready

        def turn(other: Stand) -> tuple[bool, bool, float]:
            needed = self._stood and other in self._changing
            return not other.at_work, not needed, round(other.end_m, 6)

        return stand in sorted(self.stands, key=turn)[: self.spares]

    @property
    def wants_splice_speed(self) -> bool:
        """A flying splice is near, or has just been made."""
        x = self.webs.motion.x
        return x < self._spliced_until - CLOSE_M or any(
            self._can_fly(stand) and x >= self._change_at(stand) - self._slow_m - CLOSE_M
            for stand in self.stands
        )

    def next_places(self) -> list[float]:
        """Where something is due next."""
        x = self.webs.motion.x
        places = [self._spliced_until]
        for stand in self.stands:
            at = self._change_at(stand)
            if stand in self._changing:
                continue
            if self.truck is not None and self.truck.table.places is not None:
                places.append(stand.end_m - self.truck.table.order_below_m)
            places += [at - self._slow_m, at] if self._can_fly(stand) else [at - self._stop_m]
        return [at for at in places if at > x + CLOSE_M]

    def attend(self) -> None:
        """See to every reel that is due here."""
        motion = self.webs.motion
        if self.truck is not None:
            self.truck.look()
        for stand in self.stands:
            at = self._change_at(stand)
            if stand in self._changing:
                continue
            if not self._can_fly(stand):
                if motion.x >= at - self._stop_m - CLOSE_M:
                    self.must_change(stand)
            elif motion.x >= at - CLOSE_M:
                if motion.standing:
                    self.must_change(stand)
                elif 0 < motion.v <= self.splice_speed + 1e-9:
                    self._spliced_until = motion.x + self.table.splice_length_m
                    self._replace(stand)

    def torn(self) -> None:
        """A web has broken: what is threaded is lost on all webs, and threaded anew."""
        path, x = self.s.web_path.path_length_m, self.webs.motion.x
        self._spliced_until = -1.0
        for stand in self.stands:
            if not stand.threaded:
                continue
            if stand.end_m - x >= path:
                stand.use_up(path)
            else:
                stand.threaded = False
                self.must_change(stand)

    # -- a stop for reels ----------------------------------------------------------------------

    def must_change(self, stand: Stand) -> None:
        """The line has to stop for this reel."""
        if stand in self._changing:
            return
        self._changing.append(stand)
        if self._hold is None:
            self._hold = self.webs.hold()
            self.env.process(self._stop(self._hold))
        elif self._stood:
            self.env.process(self._change(stand))

    def _stop(self, hold: Hold) -> Steps:
        yield hold.stood
        self._stood = True
        x, below = self.webs.motion.x, self._together_m()
        for stand in self.stands:
            # Nobody waits for a stand that need not be changed yet.
            ready = self._has_next(stand) or not (self.paired or self.shared)
            if stand not in self._changing and ready and stand.end_m - x < below:
                self._changing.append(stand)
        for stand in list(self._changing):
            self.env.process(self._change(stand))

    def _together_m(self) -> float:
        """A reel with less left is changed with the one that the line stands for.

        On single stands, if nothing is said, all that have been put on together are: none can have
        more left than the thickest reel holds more than the thinnest, besides what a web breaks
        off, needs to stop and leaves on the core.
        """
        u, r = self.table, self.s.reels
        if u.change_together_below_m is not None:
            return float(u.change_together_below_m)
        if u.change != "standing_change":
            return 0.0
        thick, thin = (
            max(r.diameter_mm + side * r.diameter_sd_mm, 1.05 * r.core_diameter_mm) / 1000
            for side in (3, -3)
        )
        differ = math.pi / 4 * (thick**2 - thin**2) / (self.s.product.thickness_um / 1e6)
        at_rest = self.webs.motion.run_down_m(self.s.cutter.web_speed_m_per_min / 60)
        return math.ceil(differ + u.butt_length_m + self.s.web_path.path_length_m + at_rest)

    def _change(self, stand: Stand) -> Steps:
        u, first = self.table, self.s.crew.priority_standing_line
        stand.waits = True
        if self.shared and not self._has_next(stand):
            self._hurry_one(first)
            while not self._has_next(stand):
                yield self._one_more
        if self.truck is not None and not (self.paired or self.shared):
            yield from self.truck.reel(lambda: True)
        if self.paired:
            while not stand.ready:
                assert stand.preparing is not None
                assert stand.prepared is not None
                self.crew.hurry(stand.preparing, first)
                if self.truck is not None:
                    self.truck.look()
                yield stand.prepared
        stand.waits, stand.at_work = False, True
        if self.paired or self.shared:
            people, seconds = u.splice_people, stand.luck["splice_min"]()
        else:
            people, seconds = u.change_people, stand.luck["change_min"]()
        goes_by = frozenset(("reels", "unwind"))
        job = Job(people, first, seconds, where="unwind", goes_by=goes_by)
        yield from self.crew.do(job)
        stand.at_work = False
        self._replace(stand)
        self._changing.remove(stand)
        self.attend()
        if not self._changing:
            hold, self._hold, self._stood = self._hold, None, False
            assert hold is not None
            self.webs.release(hold)

    def _replace(self, stand: Stand) -> None:
        """The web runs from its new reel."""
        x = self.webs.motion.x
        length, joints = self._take(stand)
        stand.end_m = x + length
        stand.joints_m = [x + at for at in joints]
        if self.paired:
            stand.ready, stand.prepared = False, self.env.event()
            stand.preparing = self._to_prepare(stand)
            self.env.process(self._prepare(stand, stand.preparing))
        if self.shared:
            self.spares -= 1
            spare = self._to_prepare(stand)
            self._emptied.append(spare)
            self.env.process(self._prepare_spare(spare))
        if stand.threaded:
            spliced = self.paired or self.shared
            self.webs.joined(stand.web, fails=spliced and stand.luck["fails"]())
        else:  # drawn in from the stand: no splice
            stand.threaded = True
            stand.use_up(self.s.web_path.path_length_m)

    def _to_prepare(self, stand: Stand) -> Job:
        """What there is to do at an emptied stand, when nothing stands for it yet."""
        return Job(
            self.table.prepare_people,
            self.s.crew.priority_prepare,
            stand.luck["prepare_min"](),
            stands=False,
            where="unwind",
            goes_by=_PREPARE,
        )

    def _hurry_one(self, priority: int) -> None:
        """A web waits for a spare stand: the one emptied first that nobody hurries yet."""
        for job in self._emptied:
            if not job.stands:
                self.crew.hurry(job, priority)
                if self.truck is not None:
                    self.truck.look()
                return

    def _prepare_spare(self, job: Job) -> Steps:
        if self.truck is not None:
            yield from self.truck.reel(lambda: job.stands)
        yield from self.crew.do(job)
        self._emptied.remove(job)
        self.spares += 1
        told, self._one_more = self._one_more, self.env.event()
        told.succeed()
        self.webs.look_again()

    def _prepare(self, stand: Stand, job: Job) -> Steps:
        if self.truck is not None:
            yield from self.truck.reel(lambda: stand.waits)
        yield from self.crew.do(job)
        assert stand.prepared is not None
        stand.ready = True
        stand.prepared.succeed()
        self.webs.look_again()
