"""The whole line, put together in the order in which the paper moves."""

from __future__ import annotations

from linesim.line.bridge import Bridge
from linesim.line.calendar import Calendar
from linesim.line.chance import Chance
from linesim.line.clock import HOUR, MINUTE, Alarm, Clock, Rank
from linesim.line.cruise import Cruise
from linesim.line.floor import Floor
from linesim.line.goods import goods_of
from linesim.line.holds import LEVEL_HOLD
from linesim.line.levels import Levels
from linesim.line.machine import Machine
from linesim.line.orders import Orders
from linesim.line.outfeed import Outfeed
from linesim.line.packing import Packing
from linesim.line.products import Products
from linesim.line.transfer import Transfer
from linesim.line.webs import Webs
from linesim.line.wrapper import Wrapper
from linesim.record import Books, Ledger
from linesim.record.states import Kind, State
from linesim.record.supplies import Supplies
from linesim.scenario import WEB_STATIONS, ForcedStop, Scenario


def station_names(scenario: Scenario) -> tuple[str, ...]:
    """All stations in the order in which the paper moves."""
    wrappers = tuple(wrapper.name for wrapper in scenario.wrapper)
    last = ("outfeed",) if scenario.outfeed is not None else ()
    return (*WEB_STATIONS, "transfer", "bridge", *wrappers, *last)


class Line:
    """One line in one run: parts, and who tells whom."""

    def __init__(
        self,
        scenario: Scenario,
        chance: Chance,
        *,
        end_ns: int,
        keep: bool,
        forced: tuple[ForcedStop, ...],
    ) -> None:
        names = station_names(scenario)
        minor = round(scenario.line.minor_stop_minutes * MINUTE)
        self.ledger = Ledger(names, minor_ns=minor, keep=keep)
        self.env = Clock()
        self.floor = floor = Floor(scenario, self.env, chance, self.ledger, keep=keep)
        goods = goods_of(scenario, scenario.order[0] if scenario.order else None)

        self.webs = Webs(floor, goods, self._set_full)
        self.bridge = Bridge(floor, names.index("bridge"))
        self.transfer = Transfer(floor, names.index("transfer"), self.webs, self.bridge)
        first = names.index("bridge") + 1
        self.wrappers = [Wrapper(floor, first + i, i, goods) for i in range(len(scenario.wrapper))]
        has_outfeed = scenario.outfeed is not None
        self.outfeed = Outfeed(floor, len(names) - 1) if has_outfeed else None
        self.packing = Packing(floor, self.bridge, self.wrappers, self.outfeed)
        self.levels = Levels(floor, self.webs, self.transfer, self.bridge)
        self.orders = Orders(floor, self.webs, self.transfer, self.packing)

        self.webs.states.root_beyond = self._beyond_webs
        self.transfer.root_beyond = self.packing.states.root
        self.packing.states.root_before = self._before_bridge
        self.packing.level_fell = self.levels.fell
        self.bridge.belt_moves = self.transfer.room
        self.x_before = 0
        """Place of the webs (um) when counting began."""
        self.done_before = [0] * len(self.wrappers)
        """Reams finished by each wrapper when counting began."""
        self.taken_out_before = 0
        """The same of the outfeed."""
        self.products = Products(self)
        self.orders.product_made = self.products.made
        self.buckets: list[int] = []
        self.bucket_from = 0
        """Moment (ns) at which the first of the buckets begins."""
        self.bucket_ns = 1
        """Length of each bucket, ns."""
        if scenario.order:
            self.packing.steps.on_out = lambda at, good: self.orders.out(at, good=good)
            self.packing.steps.rework.good = self.orders.rewrapped
            self.bridge.put_aside = self.orders.lose

        self.machines: list[Machine] = [self.transfer, self.bridge, *self.wrappers]
        if self.outfeed is not None:
            self.machines.append(self.outfeed)
        self.cruise = Cruise(self)
        self.webs.cruise = self.cruise.run
        self.calendar = Calendar(floor, self.webs, self.machines, end_ns + floor.run_in_ns)
        for stop in forced:
            self._force(stop)
        self.webs.start()
        floor.show()

    def _set_full(self) -> None:
        self.transfer.set_full()
        self.orders.set_full(self.webs.goods.lanes)

    def _beyond_webs(self) -> tuple[int, int]:
        first = self.webs.holds[0] if self.webs.holds else None
        if self.transfer.stops:
            return self.transfer.own_root()
        if first is not None and first.station == LEVEL_HOLD:
            return self.packing.states.root()
        return self.transfer.root() or self.packing.states.root()

    def _before_bridge(self) -> tuple[int, int]:
        if self.transfer.stops:
            return self.transfer.own_root()
        return self.webs.root()

    def _force(self, stop: ForcedStop) -> None:
        names = self.ledger.stations
        cause = self.ledger.cause(stop.cause, Kind.STOP)
        length = round(stop.minutes * MINUTE)
        targets = [i for i, name in enumerate(names) if name == stop.station]
        if not targets and stop.station == "wrapper":
            targets = [wrapper.station for wrapper in self.wrappers]
        if not targets:
            raise ValueError(f"no station called {stop.station!r}; there are {', '.join(names)}")

        def begin() -> None:
            for target in targets:
                if target < len(WEB_STATIONS):
                    self.webs.stops.force(target, cause, length)
                else:
                    machine = self.machines[target - len(WEB_STATIONS)]
                    machine.hold(cause, State.DOWN, length)

        Alarm(self.env, Rank.FORCED, begin).set(self.floor.run_in_ns + round(stop.at_h * HOUR))

    def count_buckets(self, count: int, start_ns: int, end_ns: int) -> None:
        """Count good reams in ``count`` equal parts of the time from start to end."""
        self.buckets = [0] * count
        self.bucket_from = start_ns
        self.bucket_ns = max(1, -(-(end_ns - start_ns) // count))
        orders = bool(self.floor.scenario.order)

        def out(at: int, good: bool) -> None:
            if good:
                self._count(at)
            if orders:
                self.orders.out(at, good=good)

        def rewrapped(product: int) -> None:
            self._count(self.floor.now)
            if orders:
                self.orders.rewrapped(product)

        self.packing.steps.on_out = out
        self.packing.steps.rework.good = rewrapped

    def _count(self, at: int) -> None:
        if at >= self.bucket_from:
            bucket = (at - self.bucket_from) // self.bucket_ns
            self.buckets[min(bucket, len(self.buckets) - 1)] += 1

    def reams_on_line(self) -> int:
        """Reams made that have neither left nor been lost."""
        waiting = self.webs.goods.lanes if self.transfer.set_waits else 0
        return waiting + self.transfer.carried + self.packing.reams_here()

    def sheets_in_pockets(self) -> int:
        """Sheets in unfinished reams and on the overlap belt."""
        pockets, m = self.webs.pockets, len(self.webs.unwind.stands)
        cuts = pockets.on_belt + (0 if pockets.full else pockets.cuts)
        return cuts * m * self.webs.goods.lanes

    def forget_warm_up(self) -> None:
        """Counting begins now: accounts and books start afresh from what is on the line."""
        self._close_accounts()
        self.ledger.forget()
        self.count_from_here()
        if self.outfeed is not None:
            # A wait that began before is counted from here.
            self.outfeed.idle_since = max(self.outfeed.idle_since, self.floor.now)

    def _close_accounts(self) -> None:
        self.floor.settle()
        if self.outfeed is not None:
            self.packing.states.outfeed_pauses(self.outfeed)
        self.ledger.close(self.floor.now)

    def count_from_here(self) -> None:
        """The books start afresh from what is on the line."""
        self.webs.cutting.book()
        books = self.floor.books = Books()
        books.paper.at_start = self.webs.in_machine_um()
        books.sheets.at_start = self.sheets_in_pockets()
        books.reams.at_start = self.reams_on_line()
        self.x_before = self.webs.motion.x
        self.done_before = [wrapper.wrapped for wrapper in self.wrappers]
        self.taken_out_before = 0 if self.outfeed is None else self.outfeed.done
        self.products.begin()

    def wrapped_by(self) -> tuple[int, ...]:
        """Reams finished by each wrapper since counting began."""
        return tuple(
            wrapper.wrapped - before
            for wrapper, before in zip(self.wrappers, self.done_before, strict=True)
        )

    def taken_out(self) -> int:
        """Reams finished by the outfeed since counting began."""
        return 0 if self.outfeed is None else self.outfeed.done - self.taken_out_before

    def supplies(self) -> Supplies:
        """Reels and wrapping rolls taken so far; none are noted where there are no orders."""
        rolls = [roll for wrapper in self.wrappers for roll in wrapper.rolls]
        rolls.sort(key=lambda roll: (roll.at_ns, roll.wrapper))
        return Supplies(tuple(self.webs.unwind.moves), tuple(rolls))

    def close(self) -> None:
        """The run is over."""
        self._close_accounts()
        self.take_stock()
        self.products.end()

    def take_stock(self) -> Books:
        """Bring the books up to this moment, with what is on the line now."""
        self.webs.cutting.book()
        books = self.floor.books
        books.web_um = self.webs.motion.x - self.x_before
        books.paper.at_end = self.webs.in_machine_um()
        books.sheets.at_end = self.sheets_in_pockets()
        books.reams.at_end = self.reams_on_line()
        return books
