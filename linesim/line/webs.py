"""The webs: everything from the stands to the pockets moves as one.

One alarm rings whenever something is due on the way: a set full, a reel run out, a break, a
stop cause, the end of a ramp. In between, where the webs are is arithmetic. This module decides;
``web_motion`` knows where they are, ``cutting`` what was cut, ``web_plan`` what is due next,
``web_stops`` which stops there are, ``web_joins`` what becomes of splices and breaks,
``web_states`` what the accounts are told.
"""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.cutting import Cutting
from linesim.line.floor import Floor
from linesim.line.goods import Goods
from linesim.line.holds import FULL_HOLD, Hold, PlainHold
from linesim.line.motion import UM_PER_NS
from linesim.line.unwind import Unwind
from linesim.line.web_breaks import SOON_UM, WebBreaks
from linesim.line.web_joins import WebJoins
from linesim.line.web_motion import SAME_UM, WebMotion
from linesim.line.web_plan import WebPlan
from linesim.line.web_states import WebStates
from linesim.line.web_stops import WebStops
from linesim.record.states import Kind, State


class Webs:
    """Unwinds, web path, slitter, cutter, gate, overlap belt and pockets of one run."""

    def __init__(self, floor: Floor, goods: Goods, set_full: Callable[[], None]) -> None:
        self.floor = floor
        self.goods = goods
        self._set_full = set_full
        self.holds: list[Hold] = []
        self._asked: list[Hold] = []
        self.slow = False
        """The bridge asks for less speed."""
        self.after_stand = False
        """They stand, or have stood, and have not started since."""
        self._attending = False
        self.full_hold: PlainHold | None = None

        self.states = WebStates(floor, self)
        self.cause_pockets_full = floor.ledger.cause("pockets full", Kind.RATE)
        self.cutting = Cutting(floor, goods)
        self.pockets = self.cutting.pockets
        self.unwind = Unwind(
            floor,
            goods,
            begin_stop=self.add,
            end_stop=self.release,
            spliced=lambda stand: self.joins.spliced(stand),
            position=self._position,
            standing=lambda: self.motion.standing,
        )
        self.unwind.on_prepared(self._reconsider)
        self.stops = WebStops(
            floor,
            self.cutting,
            self.unwind,
            begin=self.add,
            end=self.release,
            position=self._position,
            reading=self._reading,
        )
        self.breaks = WebBreaks(floor)
        self.motion = WebMotion(floor, self.breaks)
        self.joins = WebJoins(floor, self)
        self.plan = WebPlan(floor, self, self._rung)
        floor.join(self.settle, self.states.show)

    # -- what others say to the webs -------------------------------------------------------

    def start(self) -> None:
        """The run begins: the webs are threaded and gain speed, unless something holds them."""
        self.after_stand = False
        self._aim()

    def begin_to_count(self) -> None:
        """Counting begins: reels and stop causes become what the scenario says of them."""
        self.unwind.begin_to_count(self.motion.x)
        self.stops.begin_to_count()
        self._aim()

    def add(self, hold: Hold) -> None:
        """The webs are to stand for this."""
        self.floor.settle()
        self.holds.append(hold)
        self._asked.append(hold)
        self._aim()
        self.floor.show()

    def release(self, hold: Hold) -> None:
        """This no longer holds the webs."""
        self.floor.settle()
        self.holds.remove(hold)
        if hold in self._asked:
            self._asked.remove(hold)
        self._attend_pockets()
        self._aim()
        self.floor.show()

    def set_slow(self, slow: bool) -> None:
        """The bridge asks for less speed, or no longer."""
        if slow != self.slow:
            self.floor.settle()
            self.slow = slow
            self._aim()
            self.floor.show()

    def set_taken(self) -> None:
        """The full set has been lifted out of the pockets."""
        self.settle()
        self.pockets.emptied(self.goods.cuts_per_ream)
        if self.full_hold is not None:
            hold, self.full_hold = self.full_hold, None
            self.release(hold)
        self._attend_pockets()
        if not self.standing and not self._attending:
            self.plan.plan_pockets()

    def new_goods(self, goods: Goods, *, other_reels: bool) -> None:
        """Another order begins; the webs stand. Paper in the machine is lost with old reels."""
        cutting, x = self.cutting, self.motion.x
        cutting.book()
        cutting.drop_partial(x, "spoiled")
        cutting.clear_pockets()
        if other_reels:
            threaded = sum(self.unwind.path_um for s in self.unwind.stands if s.threaded)
            self.floor.books.paper.spoiled += threaded
            cutting.use("spoiled", threaded)
            cutting.gate.forget(cutting.cuts, ("splice", "joint"))
        self.goods = cutting.goods = goods
        self.unwind.new_goods(goods)
        if other_reels:
            self.unwind.returned_to_store(x)
        for stand in self.unwind.stands:
            stand.aim()

    # -- what others ask -------------------------------------------------------------------

    @property
    def standing(self) -> bool:
        """True where the webs do not move and are not about to."""
        return self.motion.standing

    @property
    def splicing(self) -> bool:
        """True while the webs keep to splice speed, or come down to it."""
        wanted = any(stand.splice_wanted for stand in self.unwind.stands)
        return wanted or self.motion.x < self.joins.splice_until_x

    def root(self) -> tuple[int, int]:
        """Station and cause that whoever waits for the webs is really waiting for."""
        return self.states.root

    def in_machine_um(self) -> int:
        """Paper on the stands, threaded, and in the cut that has begun; all webs."""
        x = self.motion.x
        return self.unwind.on_stands(x) + self.cutting.partial_um(x) * len(self.unwind.stands)

    def settle(self) -> None:
        """Work out where the webs are now, and let the cuts made meanwhile pass the gate."""
        now, motion = self.floor.now, self.motion
        if now != motion.seen_at and motion.run_on(now):
            self.cutting.run_to(motion.x)

    def _position(self) -> int:
        return self.motion.x

    # -- motion --------------------------------------------------------------------------

    def _wanted(self) -> float:
        if self.holds:
            return 0.0
        speed = self.goods.pace
        if self.slow:
            speed = min(speed, self.level_speed)
        if self.splicing:
            splice = self.floor.scenario.unwind.splice_speed_m_per_min * UM_PER_NS
            speed = min(speed, splice)
        return speed

    @property
    def level_speed(self) -> float:
        """Speed at a bridge level that slows them, um/ns."""
        return self.goods.speed * self.floor.scenario.bridge.slow_to_fraction

    def _aim(self) -> None:
        """Head for the wanted speed from the speed of this moment."""
        self.settle()
        motion, target = self.motion, self._wanted()
        if target == motion.target and motion.change != 0.0:
            self.plan.plan()
            return
        if target > 0 and motion.standing and self.after_stand:
            self._restart()
        motion.head_for(target)
        if self.motion.standing:
            self._stand()
        elif motion.change == 0.0:
            self.joins.splice_at_speed()
        self.plan.plan()

    def _stand(self) -> None:
        self.after_stand = True
        asked, self._asked = self._asked, []
        for hold in asked:
            hold.stood()

    def _restart(self) -> None:
        cutting, stops = self.cutting, self.stops
        count = self.floor.scenario.gate.cuts_after_stop
        cutting.gate.reject(cutting.cuts, count, "after_stop")
        if stops.spoiled_cuts:
            cutting.gate.reject(cutting.cuts + count, stops.spoiled_cuts, "spoiled")
        stops.spoiled_cuts = 0
        self.after_stand = False
        for web in self.breaks.at_restart():
            self.breaks.expect(web, self.motion.x + SOON_UM)

    # -- what the cruise needs ---------------------------------------------------------------

    cruise: Callable[[], bool]
    """Set by the line: deals with this set and the next ones where nothing else can happen."""

    @property
    def steady(self) -> bool:
        """True at constant speed, with nothing before or in the pockets but a set in the making."""
        return self.motion.change == 0.0 and not self.holds and self.pockets.on_belt == 0

    def sets_before_stop(self) -> int:
        """Full sets that can be made before a stop that counts reams falls due."""
        return (self.plan.reams_due - self.cutting.reams - 1) // self.goods.lanes

    def run_to_full_set(self, horizon: int) -> bool:
        """Run on until the pockets are full again; False where something else comes first."""
        cutting, plan = self.cutting, self.plan
        number, x = cutting.next_full_set()
        before = horizon if horizon < plan.other_at else plan.other_at
        if x >= plan.other_x or not self.motion.reach(x, before):
            plan.plan()
            return False
        cutting.cut_to(number)
        return True

    def wait_for_full_set(self) -> None:
        """The pockets are full, or will be: the usual way goes on from there."""
        self.plan.go_on_from(self.motion.seen_at)

    # -- what is due -----------------------------------------------------------------------

    def _rung(self) -> None:
        self.settle()
        motion = self.motion
        if self.floor.now >= motion.until:
            self.floor.settle()
            motion.have_arrived()
            if self.motion.standing:
                self._stand()
            else:
                self.joins.splice_at_speed()
            self.floor.show()
        if self._only_set_full() and self.cruise():
            return
        self._attend_pockets()
        if self.motion.standing:
            return
        if self.floor.now >= self.plan.other_at or self.cutting.reams >= self.plan.reams_due:
            self._attend_others()
            self.plan.plan()
        else:
            self.plan.plan_pockets()

    def _only_set_full(self) -> bool:
        full = self.cutting.set_is_full and self.motion.change == 0.0
        return full and self.floor.now < self.plan.other_at

    def _attend_pockets(self) -> None:
        pockets, cutting = self.pockets, self.cutting
        while cutting.set_is_full:
            pockets.full = True
            cutting.count_set()
            outer, self._attending = self._attending, True
            self._set_full()  # the transfer may take it at once, and empty the pockets
            self._attending = outer
        if not pockets.full or self.full_hold is not None:
            return
        if self.plan.stop_x() <= self.motion.x:
            self.full_hold = PlainHold(FULL_HOLD, self.cause_pockets_full, State.BLOCKED)
            self.add(self.full_hold)

    def _attend_others(self) -> None:
        motion, breaks = self.motion, self.breaks
        x = motion.x
        self.floor.settle()
        self.joins.joints_reached(x)
        self.unwind.reached(x)
        self.joins.splice_reached(x)
        if self._wanted() != motion.target:
            self._aim()
            self.floor.show()
        self.joins.splice_at_speed()
        self.stops.fall()
        # A break takes the paper in which others would have happened: it clears the list.
        for web, due in list(breaks.soon.items()):
            if x >= due and breaks.soon.pop(web, None) is not None:
                self.joins.break_web(web)
        motion.wear()
        for web, worn in enumerate(breaks.due):
            if motion.worn + SAME_UM >= worn:
                breaks.due[web] = motion.worn + breaks.gap(web)
                self.joins.break_web(web)

    def _reading(self, meter: str) -> int:
        match meter:
            case "every_running_h":
                return self.motion.run_ns
            case "every_web_km":
                return self.motion.x
            case "every_cuts":
                return self.cutting.cuts
            case "every_reams":
                return self.cutting.reams
            case _:
                return self.floor.now

    def _reconsider(self) -> None:
        """A stand has been prepared: a flying splice may be possible after all."""
        self.settle()
        self.plan.plan()
