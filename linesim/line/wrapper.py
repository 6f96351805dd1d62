"""A wrapper: takes one ream after another, has its stops, its roll, and spoils one now and then."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from linesim.line.clock import MINUTE, NEVER, SECOND, Rank
from linesim.line.goods import Goods, wrap_reams_per_roll
from linesim.line.machine import Machine
from linesim.line.stoppage import Stoppage
from linesim.record.states import Kind, State
from linesim.record.supplies import RollPutOn

if TYPE_CHECKING:
    from linesim.line.floor import Floor


class Wrapper(Machine):
    """One wrapper. The packing end moves it on; this class knows what it does with a ream."""

    def __init__(self, floor: Floor, station: int, number: int, goods: Goods) -> None:
        self.roll_due = self.spoil_due = self.next_due = NEVER
        super().__init__(floor, station, Rank.WRAPPING, "wrapper")
        table = floor.scenario.wrapper[number]
        self.number = number
        self.table = table
        self.busy = False
        self.holding = False
        """A wrapped ream finds no place on the outfeed."""
        self.began = 0
        """When it took the ream, or went on with it after a stop."""
        self.first_began = 0
        self.ends = 0
        self.stops_at = NEVER
        """Moment in this ream at which a stop falls due."""
        self.idle_since = 0
        self.done = 0
        """Reams it is done with: wrapped, or thrown away by a stop."""
        self.thrown_away = 0
        """Of these, those that a stop spoiled before they were wrapped."""
        self.run_ns = 0
        self._cycle = 0
        self._rest = 0
        self._stop_rest = NEVER
        name, stream = floor.ledger.stations[station], floor.chance.stream
        self.times = (
            stream(table.wrap_s, SECOND, name, "wrap") if table.wrap_s is not None else None
        )
        steady = round(MINUTE / table.rate_reams_per_min)
        if self.times is not None and self.times.constant is not None:
            steady = self.times.constant
            self.times = None
        self.steady = steady
        """Time for a ream where it does not vary, ns."""
        bridge = floor.scenario.bridge
        self.catch_up_at = bridge.catch_up_at_reams if bridge.catch_up_factor > 1 else None
        self.fast = round(steady / bridge.catch_up_factor)
        """The same while catching up."""
        self.shortest = 0 if self.times else (self.fast if self.catch_up_at else steady)
        self.longest = steady
        """Time for a ream at rated speed."""
        self.even = self.times is None and self.catch_up_at is None
        """True where every ream takes the same time."""
        self.goods = goods
        self.rolls: list[RollPutOn] = []
        """Wrapping rolls put on; kept where there are orders."""
        self._set_up_roll(goods)
        self.spoils = floor.chance.gaps(table.spoiled_per_10000 / 10_000, name, "spoiled")
        """Reams from one spoiled wrap to the next."""
        self.spoil_due = NEVER if self.spoils is None else max(1, self.spoils.draw())
        self.look_for_dues()

    def _set_up_roll(self, goods: Goods) -> None:
        floor, table = self.floor, self.table
        name = floor.ledger.stations[self.station]
        self.roll_reams = wrap_reams_per_roll(floor.scenario, self.number, goods)
        self.roll_due = self.roll_reams or NEVER
        if self.roll_reams and floor.scenario.start.state != "new":
            # A roll is met with anything from one ream to all of them left.
            used = floor.chance.bits(name, "roll", "at start").random()
            self.roll_due = max(1, math.ceil(used * self.roll_reams))
        self._note_roll()
        self.roll_cause = floor.ledger.cause("wrapping roll", Kind.SET_UP)
        self.roll_times = floor.chance.stream(table.roll_change_min, MINUTE, name, "roll")
        self.roll_fails = floor.chance.coin(table.roll_splice_fail_chance, name, "roll splice")

    def _note_roll(self) -> None:
        if self.floor.scenario.order and self.roll_reams is not None:
            goods = self.goods
            self.rolls.append(
                RollPutOn(self.floor.now, self.number, goods.sheet_width_um, goods.cut_um)
            )

    def new_goods(self, goods: Goods) -> None:
        """Another order; the roll in use lasts as before, the next by the new ream."""
        self.goods = goods
        self.roll_reams = wrap_reams_per_roll(self.floor.scenario, self.number, goods)

    def length(self, level: int) -> int:
        """Time for the next ream when so many lie on the bridge."""
        if self.times is not None:
            return self.times.draw()
        if self.catch_up_at is not None and level >= self.catch_up_at:
            return self.fast
        return self.steady

    def start(self, at: int, level: int) -> None:
        """Take a ream."""
        self._cycle = cycle = self.length(level)
        self.busy = True
        self.began = self.first_began = at
        self.ends = at + cycle
        into = max(0, self.running_due - self.run_ns)
        self.stops_at = at + into if into < cycle else NEVER

    def finish(self) -> None:
        """The ream is wrapped."""
        self.busy = False
        self.run_ns += self._cycle
        self.idle_since = self.ends
        self.done += 1

    def go_through(self, count: int, cycle: int) -> None:
        """``count`` reams are finished without a pause, and one more is begun."""
        self.done += count
        self.run_ns += self._cycle + (count - 1) * cycle
        self._cycle = cycle
        self.began = self.first_began = self.ends + (count - 1) * cycle
        self.ends = self.began + cycle

    def do_set(self, at: int, reams: int, cycle: int) -> None:
        """``reams`` are begun at ``at`` and finished without a pause; then there are no more."""
        self.done += reams
        self.run_ns += reams * cycle
        self._cycle = cycle
        self.ends = self.idle_since = at + reams * cycle
        self.began = self.first_began = self.ends - cycle
        self.stops_at = NEVER

    def run_so_far(self) -> int:
        """What the meter of running time reads while it stands, ns."""
        return self.run_ns

    def reams_so_far(self) -> int:
        """What the meter of reams reads."""
        return self.done

    def run_until_stop(self) -> int:
        """Running time from the end of this ream (or now) to the first stop on that meter."""
        return max(0, self.running_due - self.run_ns - (self._cycle if self.busy else 0))

    def spoils_beyond_this(self) -> int:
        """Reams that stops due by now spoil besides the one just finished."""
        due = [c for c in self.causes if c.meter == "every_reams" and self.done >= c.due]
        return sum(max(0, c.stop.spoils_reams - 1) for c in due)

    def look_for_dues(self) -> None:
        """Find also the count of reams at which something happens: a stop, roll, spoiled wrap."""
        super().look_for_dues()
        self.next_due = min(self.roll_due, self.spoil_due, self.reams_due)

    def spoilt(self) -> bool:
        """Whether the ream just finished is spoiled, by chance or by a stop that falls due."""
        spoiled = False
        if self.done >= self.spoil_due:
            assert self.spoils is not None
            self.spoil_due = self.done + max(1, self.spoils.draw())
            self.look_for_dues()
            spoiled = True
        return spoiled or any(
            c.stop.spoils_reams > 0 and self.done >= c.due
            for c in self.causes
            if c.meter == "every_reams"
        )

    def fall_by_reams(self) -> None:
        """Begin the stops that are due after this ream, the roll change among them."""
        self.fall("every_reams", self.done)
        if self.done >= self.roll_due:
            assert self.roll_reams is not None
            self.roll_due = self.done + self.roll_reams
            self._note_roll()
            self.look_for_dues()
            restore = self.roll_times.draw()
            if self.table.roll_change == "stop" or self.roll_fails.falls():
                self.floor.ledger.count_stop(self.station, self.roll_cause)
                self._begin(
                    Stoppage(
                        self.floor,
                        self.station,
                        self.roll_cause,
                        working=State.CHANGEOVER,
                        people=self.table.roll_change_people,
                        priority=self.floor.scenario.crew.priority_standing_wrapper,
                        restore_ns=restore,
                        ended=self.end,
                    )
                )

    @property
    def wrapped(self) -> int:
        """Reams it has finished, good or spoiled."""
        return self.done - self.thrown_away

    def drop(self) -> None:
        """The ream in hand is lost to a stop."""
        self.busy = False
        self.idle_since = self.floor.now
        self.throw_away()

    def throw_away(self) -> None:
        """A ream is lost to a stop before it is wrapped."""
        self.done += 1
        self.thrown_away += 1

    def pause(self) -> None:
        """It stands: what is left of the ream in hand waits."""
        now = self.floor.now
        if self.busy:
            self._rest = self.ends - now
            into = now - self.began
            self.run_ns += into
            self._cycle -= into

    def go_on(self) -> None:
        """It may move again: the ream in hand is finished, not begun anew."""
        now = self.floor.now
        if self.busy:
            self.began = now
            self.ends = now + self._rest
            into = max(0, self.running_due - self.run_ns)
            self.stops_at = now + into if into < self._rest else NEVER
        else:
            self.idle_since = now
