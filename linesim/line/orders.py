"""Orders in sequence: what is made now, and the change-over to what comes next."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.clock import MINUTE, NEVER, SECOND, Alarm, Rank
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

    def __init__(self, orders: Orders, cause: int) -> None:
        super().__init__(0, cause, State.CHANGEOVER)
        self._orders = orders
        self._alarm = Alarm(orders.floor.env, Rank.JOB, self.stood)

    def stood(self) -> None:
        """The webs stand; the change waits until the order is done and the line has run empty."""
        orders = self._orders
        if orders.reels_being_changed or not orders.done_and_out:
            self._alarm.set(orders.floor.now + _LOOKS_EVERY)
            return
        orders.floor.ledger.count_stop(0, self.cause)
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

    def call_off(self) -> None:
        """More reams of the order are wanted."""
        self._alarm.set(NEVER)

    def _enter(self, state: State) -> None:
        floor = self._orders.floor
        floor.settle()
        self.state = state
        floor.show()


class Orders:
    """The sequence. Without orders the scenario's own product is made for ever.

    An order is done when its good reams are. So many sets are cut that enough reams are good or on
    their way; for one that is spoiled or set aside another is cut, even when the webs already stand
    for what comes next. A ream that is wrapped again counts when it is. Orders of one product
    follow each other without a stop, and what one has too much is the next one's.
    """

    def __init__(self, floor: Floor, webs: Webs, transfer: Transfer, packing: Packing) -> None:
        self.floor = floor
        self._webs, self._transfer, self._packing = webs, transfer, packing
        self._orders = floor.scenario.order
        self._goods = [goods_of(floor.scenario, order) for order in self._orders]
        self._now = 0
        self._target = 0
        """Good reams asked for by the orders of this product up to the one in the making."""
        self._made = self._good = self._lost = 0
        """Reams of this product; one that is wrapped again is not lost any more."""
        self._undone: list[tuple[int, int]] = []
        """Orders not yet done, and the good reams of this product with which they are."""
        self._cut_ns: list[int | None] = [None] * len(self._orders)
        self._begun_ns: list[int | None] = [None] * len(self._orders)
        self._wrapped_ns: list[int | None] = [None] * len(self._orders)
        self._cut_more = Alarm(floor.env, Rank.WEB, self._make_again)
        table = floor.scenario.changeover
        self._grade = floor.chance.stream(table.grade_min, MINUTE, "orders", "grade")
        self._size = floor.chance.stream(table.size_min, MINUTE, "orders", "size")
        # Without a time of its own a change of lanes takes its turn among those of size.
        self._lanes = self._size
        if table.lanes_min is not None:
            self._lanes = floor.chance.stream(table.lanes_min, MINUTE, "orders", "lanes")
        self._afterwards = table.grade_with_size == "afterwards"
        self._of_size = False
        self._hold: PlainHold | None = None
        """For what comes after the order in the making."""
        if self._orders:
            self._begin()

    @property
    def reels_being_changed(self) -> bool:
        """True while a reel change goes on that began before."""
        return self._webs.unwind.stop is not None

    @property
    def done_and_out(self) -> bool:
        """True where no ream is between pockets and wrappers, and no more are wanted."""
        return self._transfer.empty and self._packing.empty and self._enough

    def set_full(self, reams: int) -> None:
        """A set is made."""
        if not self._orders:
            return
        self._made += reams
        while self._hold is None and self._enough:
            self._cut_ns[self._now] = self.floor.now
            self._next()

    def out(self, at: int, *, good: bool) -> None:
        """A ream has left a wrapper."""
        if good:
            self._good += 1
            while self._undone and self._good >= self._undone[0][1]:
                self._wrapped_ns[self._undone.pop(0)[0]] = at
        else:
            self.lose(1)

    def lose(self, reams: int) -> None:
        """Reams are spoiled or set aside now."""
        self._lost += reams
        self._cut_more.set(self.floor.now)

    def rewrapped(self, product: int) -> None:
        """A spoiled ream has been wrapped again, of the product that was the so-manieth made."""
        if product == self._packing.steps.rework.product:
            self._lost -= 1
            self.out(self.floor.now, good=True)

    @property
    def _enough(self) -> bool:
        return self._made - self._lost >= self._target

    def _make_again(self) -> None:
        hold = self._hold
        if hold is None or self._enough:
            return
        if isinstance(hold, ChangeoverHold):
            hold.call_off()
        self._hold = self._cut_ns[self._now] = None
        self._webs.release(hold)

    def _next(self) -> None:
        ledger = self.floor.ledger
        if self._now + 1 == len(self._orders):
            none = ledger.cause("no order", Kind.CALENDAR)
            self._hold = PlainHold(-1, none, State.PLANNED)
        else:
            old, new = self._goods[self._now], self._goods[self._now + 1]
            if new == old:
                self._now += 1
                self._begin()
                return
            self._of_size = _size(new) != _size(old)
            what = "change of size" if self._of_size else "change of grade"
            self._hold = ChangeoverHold(self, ledger.cause(what, Kind.SET_UP))
        self._webs.add(self._hold)

    def _begin(self) -> None:
        self._begun_ns[self._now] = self.floor.now
        self._target += self._orders[self._now].reams
        self._undone.append((self._now, self._target))

    def length(self) -> int:
        """Time of the change-over under way, ns."""
        old, new = self._goods[self._now], self._goods[self._now + 1]
        if not self._of_size:
            return self._grade.draw()
        size = (self._lanes if new.cut_um == old.cut_um else self._size).draw()
        grade = self._afterwards and _grade(new) != _grade(old)
        return size + (self._grade.draw() if grade else 0)

    def changed(self, hold: ChangeoverHold) -> None:
        """The change-over is done: the next order runs."""
        self.floor.settle()
        old, new = self._goods[self._now], self._goods[self._now + 1]
        other_reels = _paper(new) != _paper(old)
        self._webs.new_goods(new, other_reels=other_reels)
        for wrapper in self._packing.wrappers:
            wrapper.new_goods(new)
        self._now += 1
        self.product_made(self._now)
        self._target = self._made = self._good = self._lost = 0
        self._packing.steps.rework.product += 1
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
