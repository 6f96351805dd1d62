"""Trucks or cranes that bring reels, for all stands, and the places beside the line.

A reel on its way is for whoever waits first when it comes: of those for whom the webs stand the
one that has waited longest, else of all. Who nobody waits for is put down on a place.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import NO_CAUSE, RUNNING, WAITING_REEL, count_stop
from linesim.line.chance import Stream, draw, falls
from linesim.line.clock import REEL_BROUGHT
from linesim.line.crew import Job, ask, hurry, new_job
from linesim.line.line import Line, Site
from linesim.line.machine import UNWIND
from linesim.line.stand import left_um
from linesim.line.typed import Row, add, shorten
from linesim.record.states import Kind
from linesim.record.web_stops import REEL_TRUCK
from linesim.scenario.people import way_to, who_can
from linesim.scenario.units import MINUTE


@dataclass(slots=True)
class Truck:
    """One of them, and the reel that it brings."""

    job: Job
    under_way: bool = False


@dataclass(slots=True)
class ReelTrucks:
    """All of them. Who waits is a number: of a web, behind the webs of a spare stand, or one more.

    That is a change of grade, which waits for a reel of every web.
    """

    all: Row[Truck]
    """None: reels are always at hand."""
    reel_times: Stream
    fails: Stream
    stop_times: Stream
    people: int
    places: int
    order_um: int
    cause: int
    wanted: Row[int]
    """Who waits for a reel, in the order in which they asked."""
    beside: int = 0
    """Reels on the places."""
    ordered: int = 0
    """Those that are to be brought, ..."""
    driven: int = 0
    """... and of these the ones that a truck has begun with."""
    for_change: int = 0
    """Reels that a change of grade waits for."""
    change_done: bool = False
    """It waits for nothing else."""


def new_reel_trucks(site: Site) -> ReelTrucks:
    scenario, chance = site.scenario, site.chance
    table, unwind, none = scenario.reel_truck, scenario.unwind, chance.none()
    trucks = ReelTrucks(
        all=Row("trucks", 0),
        reel_times=none,
        fails=none,
        stop_times=none,
        people=0,
        places=0,
        order_um=0,
        cause=NO_CAUSE,
        wanted=Row("reels wanted", 0),
    )
    if table is None:
        return trucks
    who = who_can(site.scenario, "truck")
    place_ns = way_to(site.scenario, "unwind")
    every = [Truck(new_job(REEL_BROUGHT, i, who, place_ns)) for i in range(table.trucks)]
    trucks.all = Row("trucks", table.trucks, every)
    name = "reel_truck"
    trucks.reel_times = chance.stream(table.reel_min, MINUTE, name, "reel")
    trucks.fails = chance.coin(table.stops_per_100_reels / 100, name, "stops")
    trucks.stop_times = chance.stream(table.stop_min, MINUTE, name, "stop_min")
    trucks.people = table.people
    if table.places is not None:
        trucks.places = table.places
        trucks.order_um = round(table.order_below_m * 1e6)
    trucks.cause = site.causes.number(REEL_TRUCK, Kind.SET_UP)
    trucks.wanted = Row("reels wanted", 2 * unwind.webs + (unwind.spare_stands or 0))
    return trucks


def want_reel(line: Line, who: int) -> None:
    """It is to have the next reel that is there for it."""
    trucks = line.webs.unwind.trucks
    if len(trucks.all) == 0:
        told.reel_there(line, who)
    elif trucks.beside > 0:
        trucks.beside -= 1
        told.reel_there(line, who)
        order_reels(line)
    else:
        add(line, trucks.wanted, who)
        order_reels(line)


def order_reels(line: Line) -> None:
    """One for everybody who waits, and for each reel that is low, as far as there are places."""
    unwind = line.webs.unwind
    trucks, low = unwind.trucks, 0
    if len(trucks.all) == 0:
        return
    if trucks.places > 0:
        for stand in unwind.stands:
            # Of a single stand the next reel is wanted before the one in use is gone.
            counts = unwind.prepares or stand.replacing == RUNNING
            low += counts and left_um(line, stand) <= trucks.order_um
    ahead = min(low, trucks.places)
    while trucks.beside + trucks.ordered - len(trucks.wanted) < ahead:
        trucks.ordered += 1
    for truck in trucks.all:
        if not truck.under_way and trucks.driven < trucks.ordered:
            _drive(line, truck)


def next_order_um(line: Line, nearest_um: int) -> int:
    """The nearest place from here on at which a reel is to be ordered, if it is nearer than so."""
    trucks, place = line.webs.unwind.trucks, line.webs.motion.place_um
    if trucks.places > 0:
        for stand in line.webs.unwind.stands:
            at = stand.end_um - trucks.order_um
            if at > place:
                nearest_um = min(nearest_um, at)
    return nearest_um


def _drive(line: Line, truck: Truck) -> None:
    """A truck brings the next reel."""
    trucks, crew = line.webs.unwind.trucks, line.crew
    truck.under_way = True
    trucks.driven += 1
    length_ns = draw(line, trucks.reel_times)
    stop_ns = draw(line, trucks.stop_times)
    if falls(line, trucks.fails):
        length_ns += stop_ns
    truck.job.stands = False
    stands = _hurried(line) < _urgent(line)
    priority = crew.priority_standing_line if stands else crew.priority_prepare
    ask(line, truck.job, trucks.people, priority, length_ns, stands)


def hurry_trucks(line: Line) -> None:
    """The webs stand for one more reel that is to be brought."""
    for truck in line.webs.unwind.trucks.all:
        if truck.under_way and not truck.job.stands and _hurried(line) < _urgent(line):
            hurry(line, truck.job, line.crew.priority_standing_line)


def _hurried(line: Line) -> int:
    """Reels under way for which the webs stand."""
    count = 0
    for truck in line.webs.unwind.trucks.all:
        count += truck.under_way and truck.job.stands
    return count


def _urgent(line: Line) -> int:
    """How many wait for whom the webs stand."""
    count = 0
    for who in line.webs.unwind.trucks.wanted:
        count += _is_urgent(line, who)
    return count


def _is_urgent(line: Line, who: int) -> bool:
    unwind = line.webs.unwind
    if who < unwind.webs:
        return unwind.stands[who].replacing == WAITING_REEL
    spare = who - unwind.webs
    return spare >= len(unwind.spares) or unwind.spares[spare].hurried


def is_wanted(line: Line, who: int) -> bool:
    """It waits for a reel to be brought."""
    waits = False
    for other in line.webs.unwind.trucks.wanted:
        waits = waits or other == who
    return waits


def reel_brought(line: Line, truck: Truck) -> None:
    """A truck has come with a reel."""
    told.settle(line)
    trucks = line.webs.unwind.trucks
    truck.under_way = False
    trucks.driven -= 1
    trucks.ordered -= 1
    if len(trucks.wanted) == 0:
        trucks.beside += 1
    else:
        told.reel_there(line, _first_wanted(line))
    order_reels(line)
    told.show(line)


def _first_wanted(line: Line) -> int:
    """Who has the reel that has come; from now on it does not wait for one."""
    wanted, first = line.webs.unwind.trucks.wanted, 0
    for i in range(len(wanted)):
        if _is_urgent(line, wanted[i]):
            first = i
            break
    who = wanted[first]
    for i in range(first, len(wanted) - 1):
        wanted[i] = wanted[i + 1]
    shorten(wanted, len(wanted) - 1)
    return who


# Another grade


def reels_for_change(line: Line) -> None:
    """Reels of another grade are wanted on all stands; those beside the line go back."""
    unwind = line.webs.unwind
    trucks = unwind.trucks
    trucks.change_done = False
    if len(trucks.all) == 0:
        return
    trucks.beside = 0
    for _ in range(unwind.webs):
        trucks.for_change += 1
        add(line, trucks.wanted, unwind.webs + len(unwind.spares))
    order_reels(line)
    hurry_trucks(line)


def reel_for_change(line: Line) -> None:
    """One of them has come."""
    trucks = line.webs.unwind.trucks
    trucks.for_change -= 1
    if trucks.for_change == 0 and trucks.change_done:
        told.changed_over(line)


def change_done(line: Line) -> None:
    """People are done with a change-over: it is over when all its reels are there."""
    trucks, hold = line.webs.unwind.trucks, line.orders.hold
    trucks.change_done = True
    if trucks.for_change == 0:
        told.changed_over(line)
        return
    told.settle(line)
    hold.state = WAITING_REEL
    hold.cause = trucks.cause
    count_stop(line, UNWIND, hold.cause)
    told.show(line)
