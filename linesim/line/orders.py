"""Orders in sequence: what is made now, and the change-over to what comes next."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.clock import MINUTE, SECOND, Alarm, Rank
from linesim.line.crew import Job
from linesim.line.goods import Goods, goods_of
from linesim.line.holds import PlainHold
from linesim.record import OrderDone
from linesim.record.states import Kind, State

if TYPE_CHECKING:
    from linesim.line.floor import Floor
    from linesim.line.packing import Packing
    from linesim.line.transfer import Transfer
    from linesim.line.webs import Webs

_LOOKS_EVERY = SECOND
"""How often somebody looks whether the line has run empty."""


class ChangeoverHold(PlainHold):
    """The webs stand for a change of grade or size."""

    def __init__(self, orders: Orders, cause: int, *, run_empty: bool) -> None:
        super().__init__(0, cause, State.CHANGEOVER)
        self._orders = orders
        self._run_empty = run_empty
        self._alarm = Alarm(orders.floor.env, Rank.JOB, self.stood)

    def stood(self) -> None:
        """The webs stand; a change of size waits until the line has run empty."""
        orders = self._orders
        if orders.reels_being_changed or (self._run_empty and not orders.line_empty):
            self._alarm.set(orders.floor.now + _LOOKS_EVERY)
            return
        self.state = State.WAITING_PEOPLE
        scenario = orders.floor.scenario
        orders.floor.crew.ask(
            Job(
                scenario.changeover.people,
                scenario.crew.priority_standing_line,
                orders.length(),
                stands=True,
                begun=lambda: self._enter(State.CHANGEOVER),
                waits=lambda: self._enter(State.WAITING_PEOPLE),
                done=lambda: orders.changed(self),
            )
        )

    def _enter(self, state: State) -> None:
        floor = self._orders.floor
        floor.settle()
        self.state = state
        floor.show()


class Orders:
    """The sequence. Without orders the scenario's own product is made for ever."""

    def __init__(self, floor: Floor, webs: Webs, transfer: Transfer, packing: Packing) -> None:
        self.floor = floor
        self._webs, self._transfer, self._packing = webs, transfer, packing
        self._orders = floor.scenario.order
        self._goods = [goods_of(floor.scenario, order) for order in self._orders]
        self._now = 0
        self._made = 0
        self._cut_ns: list[int | None] = [None] * len(self._orders)
        self._begun_ns: list[int | None] = [None] * len(self._orders)
        self._wrapped_ns: list[int | None] = [None] * len(self._orders)
        self._made_by_order: list[int] = []
        """Reams made when each finished order was complete, all orders so far together."""
        self._out = 0
        self._total = 0
        table = floor.scenario.changeover
        self._grade = floor.chance.stream(table.grade_min, MINUTE, "orders", "grade")
        self._size = floor.chance.stream(table.size_min, MINUTE, "orders", "size")
        # Without a time of its own a change of lanes takes its turn among those of size.
        self._lanes = self._size
        if table.lanes_min is not None:
            self._lanes = floor.chance.stream(table.lanes_min, MINUTE, "orders", "lanes")
        self._afterwards = table.grade_with_size == "afterwards"
        self._of_size = False
        self._hold: ChangeoverHold | None = None
        self._begin()

    @property
    def reels_being_changed(self) -> bool:
        """True while a reel change goes on that began before."""
        return self._webs.unwind.stop is not None

    @property
    def line_empty(self) -> bool:
        """True where no set and no ream is between pockets and wrappers."""
        return self._transfer.empty and self._packing.empty

    def set_full(self, reams: int) -> None:
        """A set is made."""
        self._total += reams
        if not self._orders or self._now >= len(self._orders) or self._hold is not None:
            return
        self._made += reams
        if self._made >= self._orders[self._now].reams:
            self._cut_ns[self._now] = self.floor.now
            self._made_by_order.append(self._total)
            self._next()

    def out(self, at: int) -> None:
        """A ream has left a wrapper, good or not, or was set aside."""
        self._out += 1
        for number, total in enumerate(self._made_by_order):
            if self._wrapped_ns[number] is None and self._out >= total:
                self._wrapped_ns[number] = at

    def _next(self) -> None:
        ledger = self.floor.ledger
        old = self._goods[self._now]
        self._now += 1
        self._made = 0
        if self._now == len(self._orders):
            none = ledger.cause("no order", Kind.CALENDAR)
            self._webs.add(PlainHold(-1, none, State.PLANNED))
            return
        new = self._goods[self._now]
        if new == old:
            self._begin()
            return
        self._of_size = _size(new) != _size(old)
        cause = ledger.cause("change of size" if self._of_size else "change of grade", Kind.SET_UP)
        self.floor.ledger.count_stop(0, cause)
        self._hold = ChangeoverHold(self, cause, run_empty=self._of_size)
        self._webs.add(self._hold)

    def _begin(self) -> None:
        if self._orders:
            self._begun_ns[self._now] = self.floor.now

    def length(self) -> int:
        """Time of the change-over under way, ns."""
        old, new = self._goods[self._now - 1], self._goods[self._now]
        if not self._of_size:
            return self._grade.draw()
        size = (self._lanes if new.cut_um == old.cut_um else self._size).draw()
        grade = self._afterwards and _grade(new) != _grade(old)
        return size + (self._grade.draw() if grade else 0)

    def changed(self, hold: ChangeoverHold) -> None:
        """The change-over is done: the next order runs."""
        self.floor.settle()
        old, new = self._goods[self._now - 1], self._goods[self._now]
        other_reels = _paper(new) != _paper(old)
        self._webs.new_goods(new, other_reels=other_reels)
        for wrapper in self._packing.wrappers:
            wrapper.new_goods(new)
        self.product_made(self._now)
        self._hold = None
        self._begin()
        self._webs.release(hold)

    product_made: Callable[[int], None]
    """Told of the order whose product comes next, when the change-over to it is done."""

    @property
    def first_goods(self) -> Goods | None:
        """What the first order asks for."""
        return self._goods[0] if self._goods else None

    def done(self) -> tuple[OrderDone, ...]:
        """How far each order has come."""
        return tuple(
            OrderDone(order.name, order.reams, cut, wrapped, begun)
            for order, cut, wrapped, begun in zip(
                self._orders, self._cut_ns, self._wrapped_ns, self._begun_ns, strict=True
            )
        )


def _size(goods: Goods) -> tuple[int, int, int]:
    return (goods.cut_um, goods.sheet_width_um, goods.lanes)


def _grade(goods: Goods) -> tuple[float, int]:
    return (goods.thickness_um, goods.grammage_mg_per_m2)


def _paper(goods: Goods) -> tuple[int, float, int]:
    return (goods.web_width_um, goods.thickness_um, goods.grammage_mg_per_m2)
