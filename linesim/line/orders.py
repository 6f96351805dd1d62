"""Orders in sequence: what is made now, and the change-over to what comes next.

An order is done when its good reams are. So many sets are cut that enough reams are good or on
their way; for one that is spoiled or set aside another is cut, even when the webs already stand for
what comes next. A ream that is wrapped again counts when it is. Orders of one product follow each
other without a stop, and what one has too much is the next one's. Nothing is done for an order
before it is released. Without orders the scenario's own product is made for ever.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import clock, told
from linesim.line.accounts import CHANGEOVER, PLANNED, WAITING_PEOPLE, count_stop, late_cause
from linesim.line.books import turn_page
from linesim.line.chance import Stream, draw
from linesim.line.line import Line, Site
from linesim.line.machine import (
    CHANGING_OVER,
    NO_ORDER,
    NOT_RELEASED,
    UNWIND,
    WHOLE_LINE,
    Stoppage,
    begin_job,
    new_stoppage,
)
from linesim.line.packing import packing_is_empty
from linesim.line.transfer import transfer_is_empty
from linesim.line.typed import Row
from linesim.record.states import Kind
from linesim.scenario.goods import Goods, grade_of, paper_of
from linesim.scenario.laws import AnyLaw
from linesim.scenario.order_tables import Grade, Size
from linesim.scenario.units import HOUR, MINUTE, SECOND

_LOOKS_EVERY = SECOND
"""How often somebody looks whether the line has run empty."""

LATE_CAUSES = (
    ("no order", Kind.CALENDAR),
    ("change of size", Kind.SET_UP),
    ("change of grade", Kind.SET_UP),
    ("change of wrapping", Kind.SET_UP),
    ("order not released", Kind.CALENDAR),
)
"""The first of the causes that get their numbers as they are met."""
_NO_ORDER, _OF_SIZE, _OF_GRADE, _OF_WRAPPING, _NOT_RELEASED = range(5)

NEVER_YET = -1


@dataclass(slots=True)
class Pair:
    """A change-over from one grade or size to another that has a time of its own."""

    times: Stream
    people: int


_SIMPLE = -1
"""In place of such a pair: the times by what changes."""


@dataclass(slots=True)
class OrderState:
    """How far an order has come; ``NEVER_YET`` where it has not."""

    reams: int
    same_as_last: bool
    """It is of the product of the one before."""
    other_size: bool
    """What changes with it: size or lanes, or the wrapping of that sheet, ..."""
    only_lanes: bool
    """... of these the lanes alone, ..."""
    only_wrapping: bool
    """... or the wrapping alone, ..."""
    other_grade: bool
    """... the grade, ..."""
    other_paper: bool
    """... so that other reels come."""
    size_pair: int
    """Which pair of sizes this is, ..."""
    grade_pair: int
    """... and which of grades."""
    released_ns: int
    begun_ns: int = NEVER_YET
    cut_ns: int = NEVER_YET
    wrapped_ns: int = NEVER_YET
    target: int = 0
    """Good reams of this product with which it is done."""


@dataclass(slots=True)
class Orders:
    """The sequence."""

    all: Row[OrderState]
    grade_times: Stream
    size_times: Stream
    lanes_times: Stream
    wrapping_times: Stream
    lanes_apart: bool
    """A change of lanes has a time of its own; else it takes its turn among those of size."""
    wrapping_apart: bool
    """The same of wrapping."""
    pairs: Row[Pair]
    afterwards: bool
    """A grade that changes with the size is changed after it."""
    people: int
    hold: Stoppage
    """For what comes after the order in the making."""
    look_alarm: clock.Alarm
    again_alarm: clock.Alarm
    now: int = 0
    target: int = 0
    """Good reams asked for by the orders of this product up to the one in the making."""
    made: int = 0
    """Reams of this product; one that is wrapped again is not lost any more."""
    good: int = 0
    lost: int = 0
    undone: int = 0
    """The first order not yet done."""


def _sheet(goods: Goods) -> tuple[int, int, int]:
    return (goods.cut_um, goods.sheet_width_um, goods.lanes)


def new_orders(site: Site) -> Orders:
    scenario, goods = site.scenario, site.goods
    table = scenario.changeover

    def time(law: AnyLaw | None, name: str) -> Stream:
        chance = site.chance
        return chance.none() if law is None else chance.stream(law, MINUTE, "orders", name)

    pairs, places = [], {}
    for place, pair in enumerate(scenario.changeover_pair):
        places[pair.before, pair.after] = place
        people = table.people if pair.people is None else pair.people
        pairs.append(Pair(time(pair.time_min, pair.name), people))

    def place_of(named: tuple[Grade, ...] | tuple[Size, ...], before: int, after: int) -> int:
        if -1 in (before, after):
            return _SIMPLE
        return places.get((named[before].name, named[after].name), _SIMPLE)

    states = [
        OrderState(
            reams=order.reams,
            same_as_last=new == old,
            other_size=(_sheet(new), new.size) != (_sheet(old), old.size),
            only_lanes=new.cut_um == old.cut_um and _sheet(new) != _sheet(old),
            only_wrapping=_sheet(new) == _sheet(old),
            other_grade=grade_of(new) != grade_of(old),
            other_paper=paper_of(new) != paper_of(old),
            size_pair=place_of(scenario.size, old.size, new.size),
            grade_pair=place_of(scenario.grade, old.grade, new.grade),
            released_ns=site.zero_ns + round(scenario.released_h(order) * HOUR),
        )
        for order, new, old in zip(scenario.order, goods, [goods[0], *goods], strict=False)
    ]
    hold = new_stoppage(0, CHANGING_OVER, UNWIND)
    hold.job.alarm.what = clock.CHANGED_OVER
    return Orders(
        all=Row("orders", len(states), states),
        grade_times=time(table.grade_min, "grade"),
        size_times=time(table.size_min, "size"),
        lanes_times=time(table.lanes_min, "lanes"),
        wrapping_times=time(table.wrapping_min, "wrapping"),
        lanes_apart=table.lanes_min is not None,
        wrapping_apart=table.wrapping_min is not None,
        pairs=Row("change-overs from one to another", len(pairs), pairs),
        afterwards=table.grade_with_size == "afterwards",
        people=table.people,
        hold=hold,
        look_alarm=clock.Alarm(clock.RANK_JOB, clock.LOOK_WHETHER_EMPTY),
        again_alarm=clock.Alarm(clock.RANK_WEB, clock.CUT_MORE),
    )


def begin_orders(line: Line) -> None:
    """The run begins: the line is set for the first order, or for the one in hand."""
    order = line.orders.all[line.orders.now]
    if order.released_ns > line.now_ns:
        _await_release(line, order)
        told.add_hold(line, line.orders.hold)
    else:
        begin_order(line)


def begin_order(line: Line) -> None:
    """The line is ready for the next order."""
    orders = line.orders
    order = orders.all[orders.now]
    order.begun_ns = line.now_ns
    orders.target += order.reams
    order.target = orders.target


def set_made(line: Line) -> None:
    orders = line.orders
    if not line.has_orders:
        return
    orders.made += line.goods.lanes
    while not orders.hold.holds and _enough(orders):
        orders.all[orders.now].cut_ns = line.now_ns
        _next(line)


def ream_out(line: Line, at_ns: int) -> None:
    """A good ream has left a wrapper."""
    orders = line.orders
    if not line.has_orders:
        return
    orders.good += 1
    while orders.undone <= orders.now and orders.good >= orders.all[orders.undone].target:
        orders.all[orders.undone].wrapped_ns = at_ns
        orders.undone += 1


def lose(line: Line, reams: int) -> None:
    """Reams are spoiled or set aside now."""
    if line.has_orders:
        line.orders.lost += reams
        clock.set_alarm(line, line.orders.again_alarm, line.now_ns)


def ream_saved(line: Line, product: int) -> None:
    """A spoiled ream has been wrapped again, of the product that was the so-manieth made."""
    if line.has_orders and product == line.rework.product:
        line.orders.lost -= 1
        ream_out(line, line.now_ns)


def _enough(orders: Orders) -> bool:
    return orders.made - orders.lost >= orders.target


def cut_more(line: Line) -> None:
    """Reams were lost: where the webs stand for what comes next, more are wanted first."""
    orders = line.orders
    if not orders.hold.holds or _enough(orders):
        return
    if orders.hold.what != NO_ORDER:
        clock.set_alarm(line, orders.look_alarm, clock.NEVER)
    orders.all[orders.now].cut_ns = NEVER_YET
    told.release_hold(line, orders.hold)


def _next(line: Line) -> None:
    """Enough sets of this order are cut."""
    orders = line.orders
    hold = orders.hold
    if orders.now + 1 == len(orders.all):
        hold.what = NO_ORDER
        hold.station = WHOLE_LINE
        hold.cause = late_cause(line, _NO_ORDER)
        hold.state = PLANNED
    else:
        order = orders.all[orders.now + 1]
        if order.released_ns > line.now_ns:
            _await_release(line, order)
        elif order.same_as_last:
            orders.now += 1
            begin_order(line)
            return
        else:
            _change_to(line, order)
    told.add_hold(line, hold)


def _await_release(line: Line, order: OrderState) -> None:
    """The line stands until this order may be begun."""
    hold = line.orders.hold
    hold.what = NOT_RELEASED
    hold.station = WHOLE_LINE
    hold.cause = late_cause(line, _NOT_RELEASED)
    hold.state = PLANNED
    clock.set_alarm(line, line.orders.look_alarm, order.released_ns)


def _change_to(line: Line, order: OrderState) -> None:
    hold = line.orders.hold
    hold.what = CHANGING_OVER
    hold.station = UNWIND
    kind = _OF_WRAPPING if order.only_wrapping and not order.other_grade else _OF_SIZE
    hold.cause = late_cause(line, kind if order.other_size else _OF_GRADE)
    hold.state = CHANGEOVER


def look_at_order(line: Line) -> None:
    """The next order is released, or somebody looks whether the line has run empty."""
    orders = line.orders
    hold = orders.hold
    if hold.what == CHANGING_OVER:
        if _run_empty(line):
            told.settle(line)
            _begin_change(line)
            told.show(line)
        return
    first = orders.all[orders.now].begun_ns == NEVER_YET
    order = orders.all[orders.now if first else orders.now + 1]
    if first or order.same_as_last:
        if not first:
            orders.now += 1
        begin_order(line)
        told.release_hold(line, hold)
        return
    told.settle(line)
    _change_to(line, order)
    if hold.stood:
        stood_for_change(line)
    told.show(line)


def stood_for_change(line: Line) -> None:
    """The webs stand; the change waits until the order is done and the line has run empty."""
    if _run_empty(line):
        _begin_change(line)


def _run_empty(line: Line) -> bool:
    """Whether the change can begin; somebody looks again where it cannot."""
    orders = line.orders
    reels = line.webs.unwind.hold.holds
    if reels or not (transfer_is_empty(line) and packing_is_empty(line) and _enough(orders)):
        clock.set_alarm(line, orders.look_alarm, line.now_ns + _LOOKS_EVERY)
        return False
    return True


def _begin_change(line: Line) -> None:
    """People and reels are asked for."""
    orders = line.orders
    hold = orders.hold
    count_stop(line, UNWIND, hold.cause)
    hold.state = WAITING_PEOPLE
    hold.working = CHANGEOVER
    hold.who = line.crew.who_changes_over
    hold.priority = line.crew.priority_standing_line
    hold.people = 0
    hold.restore_ns = _length_ns(line, hold)
    if orders.all[orders.now + 1].other_paper:
        told.reels_for_change(line)
    begin_job(line, hold)


def _length_ns(line: Line, hold: Stoppage) -> int:
    """How long the change takes, and in ``hold`` the people it takes.

    Reels changed meanwhile count beside a size only where the change of grade is known by its pair,
    or nothing but the wrapping changes with them.
    """
    orders = line.orders
    new = orders.all[orders.now + 1]
    simple = orders.grade_times
    if not new.other_size:
        return _part_ns(line, hold, simple, new.grade_pair)
    length = _part_ns(line, hold, _size_times(orders, new), new.size_pair)
    if new.other_grade and orders.afterwards:
        length += _part_ns(line, hold, simple, new.grade_pair)
    elif new.other_grade and (new.only_wrapping or new.grade_pair != _SIMPLE):
        length = max(length, _part_ns(line, hold, simple, new.grade_pair))
    return length


def _size_times(orders: Orders, new: OrderState) -> Stream:
    if new.only_wrapping and orders.wrapping_apart:
        return orders.wrapping_times
    if new.only_lanes and orders.lanes_apart:
        return orders.lanes_times
    return orders.size_times


def _part_ns(line: Line, hold: Stoppage, simple: Stream, pair: int) -> int:
    """A part of a change-over: by its pair, or else by the simple times."""
    if pair == _SIMPLE:
        hold.people = max(hold.people, line.orders.people)
        return draw(line, simple)
    known = line.orders.pairs[pair]
    hold.people = max(hold.people, known.people)
    return draw(line, known.times)


def changed_over(line: Line) -> None:
    """The change-over is done: the next order runs."""
    told.settle(line)
    orders = line.orders
    told.new_goods(line, orders.now + 1, orders.all[orders.now + 1].other_paper)
    told.suit_packing(line)
    orders.now += 1
    turn_page(line)
    orders.target = orders.made = orders.good = orders.lost = 0
    orders.undone = orders.now
    line.rework.product += 1
    begin_order(line)
    told.release_hold(line, orders.hold)
