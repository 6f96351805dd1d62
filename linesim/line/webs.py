"""The webs: everything from the stands to the pockets moves as one.

One alarm rings whenever something is due on the way: a set full, a reel run out, a break, a
stop cause, the end of a ramp. In between, where the webs are is arithmetic.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.floor import Floor
from linesim.line.gate import Gate
from linesim.line.goods import Goods
from linesim.line.holds import FULL_HOLD, Hold, PlainHold, WebStop
from linesim.line.meters import Cause, causes_of
from linesim.line.motion import (
    UM_PER_NS,
    run_down_length,
    time_to_run,
    time_to_wear,
    travelled,
    wear,
)
from linesim.line.pockets import Pockets
from linesim.line.unwind import Stand, Unwind
from linesim.line.web_breaks import WebBreaks
from linesim.record.states import Kind, State
from linesim.scenario import WEB_STATIONS
from linesim.scenario.stops import METERS

WEB_PATH = WEB_STATIONS.index("web_path")
CUTTER = WEB_STATIONS.index("cutter")
POCKETS = WEB_STATIONS.index("pockets")
_SOON_UM = 1_000_000
_SAME_UM = 2


class Webs:
    """Unwinds, web path, slitter, cutter, gate, overlap belt and pockets of one run."""

    def __init__(self, floor: Floor, goods: Goods, set_full: Callable[[], None]) -> None:
        scenario, chance = floor.scenario, floor.chance
        self.floor = floor
        self.goods = goods
        self._set_full = set_full
        cutter = scenario.cutter
        self._gain = cutter.run_up_m_per_min_per_s * UM_PER_NS / 1e9
        self._loss = cutter.run_down_m_per_min_per_s * UM_PER_NS / 1e9

        self.x = 0
        self.cuts = 0
        self.speed = 0.0
        self._run_ns = 0
        self._worn = 0.0
        self._sets = 0
        self.seen_at = 0
        self._at, self._from_x, self._from_worn = 0, 0, 0.0
        self._from_speed, self._change, self._until, self._target = 0.0, 0.0, NEVER, 0.0
        self._cut_x, self._cut_number = 0, 0

        self.holds: list[Hold] = []
        self._asked: list[Hold] = []
        self._slow = False
        self._splice_until_x = -1
        self._spoiled_cuts = 0
        self._after_stand = False
        self.full_hold: PlainHold | None = None

        cause = floor.ledger.cause
        self._run_up = cause("run-up", Kind.RATE)
        self._by_level = cause("bridge level", Kind.RATE)
        self._by_splice = cause("splice", Kind.SET_UP)
        self._pockets_full = cause("pockets full", Kind.RATE)

        sheets_per_cut = scenario.unwind.webs * goods.lanes
        self.gate = Gate(
            chance.gaps(
                min(1.0, scenario.gate.defects_per_million_sheets * sheets_per_cut / 1e6),
                "gate",
                "defect",
            ),
            scenario.gate.cuts_per_defect,
        )
        self.pockets = Pockets(scenario.overlap_belt.hold_cuts, scenario.pockets.interim_fingers)
        self.unwind = Unwind(
            floor,
            goods,
            begin_stop=self.add,
            end_stop=self.release,
            spliced=self._spliced,
            position=lambda: self.x,
        )
        self.unwind.on_prepared(self._reconsider)
        self._causes = [
            c for station in range(len(WEB_STATIONS)) for c in causes_of(floor, station)
        ]
        self._clocks = [
            Alarm(floor.env, Rank.WEB, lambda c=c: self._clock_stop(c))  # type: ignore[misc]
            for c in self._causes
            if c.meter == "every_clock_h"
        ]
        for alarm, c in zip(
            self._clocks, [c for c in self._causes if c.meter == "every_clock_h"], strict=True
        ):
            alarm.set(c.due)
        self._clock_of = dict(
            zip(
                [id(c) for c in self._causes if c.meter == "every_clock_h"],
                self._clocks,
                strict=True,
            )
        )
        self._dues: dict[str, int] = {}
        self._look_for_dues()
        self._breaks = WebBreaks(floor)
        self._alarm = Alarm(floor.env, Rank.WEB, self._rung)
        self._other_x, self._goal_x, self._goal_at = NEVER, NEVER, NEVER
        self._other_at, self._reams_due = NEVER, NEVER
        self._fine_cuts, self._bad_cuts = 0, 0
        self._attending = False
        self._sets_to_book = 0
        self._root = (CUTTER, 0)
        self.speed_rows: list[tuple[int, int, float, float]] = []
        self.reel_rows: list[tuple[int, int, int]] = []
        self._reel_ends = [-1] * len(self.unwind.stands)
        floor.join(self.settle, self.show)

    # -- what others say to the webs -------------------------------------------------------

    def start(self) -> None:
        """The run begins: the webs are threaded and gain speed, unless something holds them."""
        self._after_stand = False
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
        if slow != self._slow:
            self.floor.settle()
            self._slow = slow
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
            self._plan_pockets()

    def stop(self, cause: Cause, restore_ns: int) -> None:
        """A stop cause of one of the stations falls due."""
        self.floor.ledger.count_stop(cause.station, cause.number)
        stop = WebStop(
            self.floor,
            cause.station,
            cause.number,
            working=cause.working,
            people=cause.stop.people,
            priority=cause.priority,
            restore_ns=restore_ns,
            ended=self.release,  # type: ignore[arg-type]
        )
        stop.spoils = lambda: self._spoil(cause)
        self.add(stop)

    def forced(self, station: int, cause: int, length_ns: int) -> None:
        """Somebody stops a station for so long."""
        self.floor.ledger.count_stop(station, cause)
        self.add(
            WebStop(
                self.floor,
                station,
                cause,
                working=State.DOWN,
                people=0,
                priority=1,
                restore_ns=length_ns,
                ended=self.release,  # type: ignore[arg-type]
            )
        )

    @property
    def standing(self) -> bool:
        """True where the webs do not move and are not about to."""
        return self.speed == 0.0 and self._change == 0.0

    def new_goods(self, goods: Goods, *, other_reels: bool) -> None:
        """Another order begins; the webs stand. Paper in the machine is lost with old reels."""
        book, m = self.floor.books, len(self.unwind.stands)
        self.book_cuts()
        self._drop_partial_cut("spoiled")
        lost = self.pockets.clear()
        book.sheets.spoiled += lost * m * self.goods.lanes
        if other_reels:
            threaded = sum(self.unwind.path_um for s in self.unwind.stands if s.threaded)
            book.paper.spoiled += threaded
            self._use("spoiled", threaded)
            self.gate.forget(self.cuts, ("splice", "joint"))
        self.goods = goods
        self.unwind.new_goods(goods)
        if other_reels:
            self.unwind.returned_to_store(self.x)
        for stand in self.unwind.stands:
            stand.aim()

    # -- motion --------------------------------------------------------------------------

    def _wanted(self) -> float:
        if self.holds:
            return 0.0
        speed = self.goods.speed
        if self._slow:
            speed = min(speed, self.goods.speed * self.floor.scenario.bridge.slow_to_fraction)
        if self._splicing:
            splice = self.floor.scenario.unwind.splice_speed_m_per_min * UM_PER_NS
            speed = min(speed, splice)
        return speed

    @property
    def _splicing(self) -> bool:
        wanted = any(stand.splice_wanted for stand in self.unwind.stands)
        return wanted or self.x < self._splice_until_x

    def _aim(self) -> None:
        """Head for the wanted speed from the speed of this moment."""
        self.settle()
        target = self._wanted()
        if target == self._target and self._change != 0.0:
            self._plan()
            return
        if target > 0 and self.standing and self._after_stand:
            self._restart()
        self._target = target
        rate = self._gain if target > self.speed else self._loss
        if target != self.speed and rate > 0:
            self._move(self.speed, rate if target > self.speed else -rate)
            self._until = self.floor.now + max(1, round(abs(target - self.speed) / rate))
        else:
            self._move(target, 0.0)
        if self.standing:
            self._stand()
        elif self._change == 0.0:
            self._splice_at_speed()
        self._plan()

    def _wear(self) -> None:
        """Bring the meter of worn length up to this moment."""
        path = self._breaks
        if path.due:
            dt = self.floor.now - self._at
            self._worn = self._from_worn + wear(
                self._from_speed, self._change, dt, path.reference, path.power
            )

    def _move(self, speed: float, change: float) -> None:
        self._wear()
        self.speed = speed
        self._at, self._from_x, self._from_worn = self.floor.now, self.x, self._worn
        self._from_speed, self._change, self._until = speed, change, NEVER
        if self.floor.keep:
            self.speed_rows.append((self._at, self.x, speed, change))

    def _stand(self) -> None:
        self._after_stand = True
        asked, self._asked = self._asked, []
        for hold in asked:
            hold.stood()

    def _restart(self) -> None:
        gate = self.floor.scenario.gate
        count = gate.cuts_after_stop
        self.gate.reject(self.cuts, count, "after_stop")
        if self._spoiled_cuts:
            self.gate.reject(self.cuts + count, self._spoiled_cuts, "spoiled")
        self._spoiled_cuts = 0
        self._after_stand = False
        for web in self._breaks.at_restart():
            self._breaks.expect(web, self.x + _SOON_UM)

    def settle(self) -> None:
        """Work out where the webs are now, and let the cuts made meanwhile pass the gate."""
        now = self.floor.now
        if now == self.seen_at:
            return
        moving = self._change != 0.0 or self._from_speed > 0.0
        if not moving:
            self.seen_at = now
            return
        dt = now - self._at
        x = max(self.x, self._from_x + travelled(self._from_speed, self._change, dt))
        if now >= self._goal_at and x + _SAME_UM >= self._goal_x:
            x = max(x, self._goal_x)
        if now >= self._until:
            self.speed = self._target
        elif self._change != 0.0:
            self.speed = self._from_speed + self._change * dt
        self._run_ns += now - self.seen_at
        self.seen_at = now
        self.x = x
        cuts = self._cut_number + (x - self._cut_x) // self.goods.cut_um
        if cuts > self.cuts:
            self._pass(cuts)

    def _pass(self, cuts: int) -> None:
        made, self.cuts = self.cuts, cuts
        good = self.gate.pass_cuts(made, cuts)
        no_room = self.pockets.take(good)
        if no_room:
            self.gate.rejected["no_room"] = self.gate.rejected.get("no_room", 0) + no_room
        fine = good - no_room
        self._fine_cuts += fine
        self._bad_cuts += cuts - made - fine

    def book_cuts(self) -> None:
        """Enter the cuts and sets made since the last time into the books."""
        goods, book, m = self.goods, self.floor.books, len(self.unwind.stands)
        length, grammage = goods.cut_um * m, goods.grammage_mg_per_m2
        fine, bad = self._fine_cuts, self._bad_cuts
        sets, self._sets_to_book = self._sets_to_book, 0
        book.sheets.in_reams += sets * goods.cuts_per_ream * m * goods.lanes
        book.sheets.given_away += sets * goods.extra_sheets * goods.lanes
        book.reams.made += sets * goods.lanes
        self._fine_cuts = self._bad_cuts = 0
        book.cuts += fine + bad
        book.paper.to_pockets += fine * length
        book.sheets.to_pockets += fine * m * goods.lanes
        width = goods.lanes * goods.sheet_width_um
        book.use("to_pockets", fine * length, width, grammage)
        book.use("rejected", bad * length, width, grammage)
        book.use("edge_trim", (fine + bad) * length, goods.trim_um, grammage)
        for reason, count in sorted(self.gate.rejected.items()):
            book.paper.rejected[reason] = book.paper.rejected.get(reason, 0) + count * length
        self.gate.rejected.clear()

    # -- what the cruise needs ---------------------------------------------------------------

    cruise: Callable[[], bool]
    """Set by the line: deals with this set and the next ones where nothing else can happen."""

    @property
    def steady(self) -> bool:
        """True at constant speed, with nothing before or in the pockets but a set in the making."""
        return self._change == 0.0 and not self.holds and self.pockets.on_belt == 0

    def _only_set_full(self) -> bool:
        full = self.pockets.cuts >= self.goods.cuts_per_ream and not self.pockets.full
        return full and self._change == 0.0 and self.floor.now < self._other_at

    def sets_before_stop(self) -> int:
        """Full sets that can be made before a stop that counts reams falls due."""
        return (self._reams_due - self._sets - 1) // self.goods.lanes

    def lift_set(self) -> None:
        """A full set is lifted out at once; fingers catch the next sheets."""
        self._sets += self.goods.lanes
        self._sets_to_book += 1
        self.pockets.cuts = 0

    def run_to_full_set(self, horizon: int) -> bool:
        """Run on until the pockets are full again; False where something else comes first."""
        number = self.gate.cut_with_good(self.cuts, self.goods.cuts_per_ream)
        x = self._cut_x + (number - self._cut_number) * self.goods.cut_um
        at = self._at + math.ceil((x - self._from_x) / self._from_speed)
        if at >= horizon or at >= self._other_at or x >= self._other_x:
            self._plan()
            return False
        self._run_ns += at - self.seen_at
        self.seen_at = at
        self.x = x
        self._pass(number)
        return True

    def wait_for_full_set(self) -> None:
        """The pockets are full, or will be: the usual way goes on from there."""
        self._alarm.set(self.seen_at)

    # -- what is due next ------------------------------------------------------------------

    def _rung(self) -> None:
        self.settle()
        if self.floor.now >= self._until:
            self.floor.settle()
            self._move(self._target, 0.0)
            if self.standing:
                self._stand()
            else:
                self._splice_at_speed()
            self.floor.show()
        if self._only_set_full() and self.cruise():
            return
        self._attend_pockets()
        if self.standing:
            return
        if self.floor.now >= self._other_at or self._sets >= self._reams_due:
            self._attend_others()
            self._plan()
        else:
            self._plan_pockets()

    def _attend_pockets(self) -> None:
        pockets, goods = self.pockets, self.goods
        while not pockets.full and pockets.cuts >= goods.cuts_per_ream:
            pockets.full = True
            self._sets += goods.lanes
            self._sets_to_book += 1
            outer, self._attending = self._attending, True
            self._set_full()  # the transfer may take it at once, and empty the pockets
            self._attending = outer
        if not pockets.full or self.full_hold is not None:
            return
        if pockets.cuts_to_attention(goods.cuts_per_ream, self._run_down_cuts()) <= 0:
            self.full_hold = PlainHold(FULL_HOLD, self._pockets_full, State.BLOCKED)
            self.add(self.full_hold)

    def _attend_others(self) -> None:
        x = self.x
        self.floor.settle()
        self._joints(x)
        self.unwind.reached(x)
        if 0 <= self._splice_until_x <= x:
            self._splice_until_x = -1
        if self._wanted() != self._target:
            self._aim()
            self.floor.show()
        elif self._change == 0.0 and not self.standing:
            self._splice_at_speed()
        for cause in self._causes:
            reading = self._reading(cause)
            if reading is not None and reading >= cause.due:
                restore = cause.fall(reading)
                self._look_for_dues()
                self.stop(cause, restore)
        # A break takes the paper in which others would have happened: it clears the list.
        for web, due in list(self._breaks.soon.items()):
            if x >= due and self._breaks.soon.pop(web, None) is not None:
                self._break(web)
        self._wear()
        for web, worn in enumerate(self._breaks.due):
            if self._worn + _SAME_UM >= worn:
                self._breaks.due[web] = self._worn + self._breaks.gap(web)
                self._break(web)

    def _reading(self, cause: Cause) -> int | None:
        match cause.meter:
            case "every_running_h":
                return self._run_ns
            case "every_web_km":
                return self.x
            case "every_cuts":
                return self.cuts
            case "every_reams":
                return self._sets
            case _:
                return None

    def _joints(self, x: int) -> None:
        table = self.floor.scenario.gate
        for stand in self.unwind.stands:
            while stand.joints_x and stand.joints_x[0] <= x:
                joint = stand.joints_x.pop(0)
                self._reject_around(joint, table.cuts_per_joint, "joint")
                if self._breaks.at_joint(stand.web):
                    self._breaks.expect(stand.web, self.x + 1)

    def _reject_around(self, x: int, count: int, reason: str) -> None:
        """Paper that left the stand at ``x`` reaches the knives a path length later."""
        there = x + self.unwind.path_um
        number = self._cut_number + (there - self._cut_x) // self.goods.cut_um
        first = max(self.cuts, number - count // 2)
        self.gate.reject(first, count, reason)

    def _reconsider(self) -> None:
        """A stand has been prepared: a flying splice may be possible after all."""
        self.settle()
        self._plan()

    def _look_for_dues(self) -> None:
        """Where the first stop falls due on each meter."""
        for meter in METERS:
            dues = (cause.due for cause in self._causes if cause.meter == meter)
            self._dues[meter] = min(dues, default=NEVER)

    def _plan(self) -> None:
        """Set the alarm to whatever is due first."""
        if self.standing:
            self._alarm.set(NEVER)
            return
        now, goods = self.floor.now, self.goods
        other = self.unwind.next_x(self.x)
        for due in self._breaks.soon.values():
            other = min(other, due)
        if self._splice_until_x >= 0:
            other = min(other, self._splice_until_x)
        at = self._until
        dues = self._dues
        self._reams_due = dues["every_reams"]
        at = min(at, now + max(0, dues["every_running_h"] - self._run_ns))
        ahead = dues["every_cuts"] - self._cut_number
        other = min(other, dues["every_web_km"], self._cut_x + ahead * goods.cut_um)
        path = self._breaks
        if path.due:
            at = min(
                at,
                self._at
                + time_to_wear(
                    self._from_speed,
                    self._change,
                    min(path.due) - self._from_worn,
                    path.reference,
                    path.power,
                ),
            )
        self._other_x = other
        at = min(at, self._time_at(other))
        self._other_at = max(now, at)
        self._plan_pockets()

    def _time_at(self, x: int) -> int:
        return self._at + time_to_run(self._from_speed, self._change, x - self._from_x)

    def _plan_pockets(self) -> None:
        """The same where only the pockets have changed: nothing else moved its due time."""
        now = self.floor.now
        goal = min(self._other_x, self._pockets_x())
        self._goal_x, self._goal_at = goal, self._time_at(goal)
        self._alarm.set(max(now, min(self._other_at, self._goal_at)))

    def _pockets_x(self) -> int:
        """Where the pockets are full, or the webs must begin to stop because they were."""
        if self.full_hold is not None:
            return NEVER
        goods = self.goods
        need = self.pockets.cuts_to_attention(goods.cuts_per_ream, self._run_down_cuts())
        number = self.gate.cut_with_good(self.cuts, need)
        return self._cut_x + (number - self._cut_number) * goods.cut_um

    def _run_down_cuts(self) -> int:
        """Cuts made while the webs come to a stand from this speed; they matter only to full
        pockets."""
        if self._loss == 0.0 or not self.pockets.full:
            return 0
        return run_down_length(self.speed, 0.0, self._loss) // self.goods.cut_um + 1

    # -- splices and breaks ------------------------------------------------------------------

    def _splice_at_speed(self) -> None:
        """The webs are down at splice speed: make the flying splices that wait for it."""
        table = self.floor.scenario.unwind
        for stand in self.unwind.stands:
            if not stand.splice_wanted or stand.partner is None:
                continue
            if self.unwind.stop is not None and stand in self.unwind.stop.stands:
                continue  # too late for it: the webs stop for this reel
            if self.speed > table.splice_speed_m_per_min * UM_PER_NS * (1 + 1e-9):
                continue
            self.unwind.replaced(stand)
            self._splice_until_x = self.x + round(table.splice_length_m * 1e6)
            self.floor.ledger.count_stop(0, self.unwind.cause)

    def _spliced(self, stand: Stand) -> None:
        self._reject_around(self.x, self.floor.scenario.gate.cuts_per_splice, "splice")
        fails = self.unwind.paired and stand.splice_fails()
        breaks = self._breaks.at_splice(stand.web)
        if fails or breaks:
            self._breaks.expect(stand.web, self.x + (1 if self.speed > 0 else _SOON_UM))

    def _break(self, web: int) -> None:
        """A web breaks: the webs stand at once, the paper in the machine is lost on all."""
        floor, book = self.floor, self.floor.books
        floor.settle()
        coast = round(self.speed / self._loss) if self._loss > 0 else 0
        rethread = self._breaks.rethread_ns(web)
        self._drop_partial_cut("broken")
        self.gate.forget(self.cuts, ("splice", "joint"))
        self._breaks.soon.clear()
        self._splice_until_x = -1
        short = []
        for stand in self.unwind.stands:
            if not stand.threaded:
                continue
            book.paper.broken += self.unwind.path_um
            self._use("broken", self.unwind.path_um)
            if stand.left(self.x) >= self.unwind.path_um:
                stand.lose(self.unwind.path_um)
            else:
                stand.threaded = False
                short.append(stand)
        floor.ledger.count_stop(WEB_PATH, self._breaks.cause)
        stop = WebStop(
            floor,
            WEB_PATH,
            self._breaks.cause,
            working=State.DOWN,
            people=floor.scenario.web_path.rethread_people,
            priority=floor.scenario.crew.priority_standing_line,
            restore_ns=coast + rethread,
            ended=self.release,  # type: ignore[arg-type]
        )
        self._target = 0.0
        self._move(0.0, 0.0)
        self.add(stop)
        for stand in short:
            self.unwind.must_change(stand)
        self.unwind.reached(self.x)

    def _drop_partial_cut(self, what: str) -> None:
        """The cut begun is lost; the next one starts from here."""
        partial = (self.x - self._cut_x) - (self.cuts - self._cut_number) * self.goods.cut_um
        lost = partial * len(self.unwind.stands)
        book = self.floor.books.paper
        if what == "broken":
            book.broken += lost
        else:
            book.spoiled += lost
        self._use(what, lost)
        self._cut_x, self._cut_number = self.x, self.cuts

    def _use(self, what: str, length: int) -> None:
        goods = self.goods
        self.floor.books.use(what, length, goods.web_width_um, goods.grammage_mg_per_m2)

    def _spoil(self, cause: Cause) -> None:
        stop, book, m = cause.stop, self.floor.books, len(self.unwind.stands)
        self._spoiled_cuts += stop.spoils_cuts
        if stop.spoils_pockets:
            book.sheets.spoiled += self.pockets.clear() * m * self.goods.lanes
        if stop.spoils_web_m:
            for stand in self.unwind.stands:
                length = min(stand.left(self.x), round(stop.spoils_web_m * 1e6))
                book.paper.spoiled += length
                self._use("spoiled", length)
                stand.lose(length)
            self.unwind.reached(self.x)

    def _clock_stop(self, cause: Cause) -> None:
        now = self.floor.now
        restore = cause.fall(now)
        self._clock_of[id(cause)].set(cause.due)
        self.stop(cause, restore)

    # -- accounts --------------------------------------------------------------------------

    def root(self) -> tuple[int, int]:
        """Station and cause that whoever waits for the webs is really waiting for.

        As it was last shown: until then nothing has changed for anybody who waits.
        """
        return self._root

    def _find_root(self) -> tuple[int, int]:
        if not self.standing:
            return (CUTTER, self._slow_cause())
        if not self.holds:
            return (CUTTER, 0)
        first = self.holds[0]
        if first.state == State.BLOCKED:
            return self.root_beyond()
        return (max(first.station, 0), first.cause)

    root_beyond: Callable[[], tuple[int, int]]
    """Set by the line: what holds up the end of the webs."""

    def _slow_cause(self) -> int:
        if self.holds:
            return self.holds[0].cause
        if self._change > 0:
            return self._run_up
        if self._splicing:
            return self._by_splice
        if self._slow or self._change < 0:
            return self._by_level
        return 0

    def show(self) -> None:
        """Enter the states of all stations on the webs."""
        self._root = self._find_root()
        enter, now = self.floor.ledger.enter, self.floor.now
        if not self.standing:
            cause = self._slow_cause()
            full = self._change == 0.0 and self.speed >= self.goods.speed
            state = State.RUNNING if full else State.SLOWED
            for station in range(len(WEB_STATIONS)):
                enter(station, now, state, 0 if full else cause)
        elif self.holds:
            self._show_standing(now)
        if self.floor.keep:
            self._keep_reels(now)

    def _show_standing(self, now: int) -> None:
        enter = self.floor.ledger.enter
        for hold in self.holds:
            if hold.state == State.PLANNED:
                for station in range(len(WEB_STATIONS)):
                    enter(station, now, State.PLANNED, hold.cause)
                return
        first, root = self.holds[0], self.root()
        own = {hold.station: hold for hold in reversed(self.holds)}
        for station in range(len(WEB_STATIONS)):
            if station in own:
                enter(station, now, own[station].state, own[station].cause)
            elif first.state == State.BLOCKED or station < first.station:
                enter(station, now, State.BLOCKED, root[1], root)
            else:
                enter(station, now, State.STARVED, root[1], root)

    def _keep_reels(self, now: int) -> None:
        for stand in self.unwind.stands:
            if stand.end_x != self._reel_ends[stand.web]:
                self._reel_ends[stand.web] = stand.end_x
                self.reel_rows.append((now, stand.web, stand.left(self.x)))

    def in_machine_um(self) -> int:
        """Paper on the stands, threaded, and in the cut that has begun; all webs."""
        partial = (self.x - self._cut_x) - (self.cuts - self._cut_number) * self.goods.cut_um
        return self.unwind.on_stands(self.x) + partial * len(self.unwind.stands)
