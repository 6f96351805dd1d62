"""The end of the line: stations behind the wrappers, one after another, each with a small buffer.

A ream goes on as soon as the next station has room for it; until then whoever holds it waits.
Behind a carton packer what goes on is a carton. What only packer and palletiser have is in
``cartons`` and ``pallets``. Several packers stand at one place, with one buffer before them: what
the next piece needs goes to the first of them that is free.
Fed by something slower than itself a station waits a moment before every ream. That is work at
the other's pace, one span; the accounts tell its work and its waits apart. ``packing`` knows when
what is due.
"""

from __future__ import annotations

from linesim.line import told
from linesim.line.cartons import blanks_left, carton_closed, use_blank
from linesim.line.causes import REAMS, RUNNING_H, new_causes
from linesim.line.clock import END_OF_LINE, RANK_WRAPPING
from linesim.line.end_station import CARTONS, PALLETS, REAMS_ON, EndStation
from linesim.line.line import Line, Site
from linesim.line.machine import Worker, fall, finish, is_idle, stops_of, work_on
from linesim.line.pallets import carton_laid, cartons_left
from linesim.line.typed import Row
from linesim.line.wrapper import at_this_moment, reading_at_stop, suit_wrapper
from linesim.scenario.goods import Goods
from linesim.scenario.units import MINUTE, SECOND


def new_end_station(site: Site, name: str) -> EndStation:
    stations = site.scenario.end_of_line
    pieces, names = stations[name], list(stations)
    here = site.scenario.end_places[pieces.place]
    station = len(site.stations) - len(names) + names.index(name)
    causes = new_causes(site, station, RANK_WRAPPING, pieces.place)
    rated_ns = round(MINUTE / pieces.rate_per_min)
    cycles_ns = [rated_ns + round(extra * SECOND) for extra in pieces.extra_s]
    end = EndStation(
        what=END_OF_LINE,
        station=station,
        causes=causes,
        stops=stops_of(site, station, causes),
        which=names.index(name),
        makes={"carton_packer": CARTONS, "palletiser": PALLETS}.get(pieces.place, REAMS_ON),
        first=names.index(here[0]),
        behind=names.index(here[-1]) + 1,
        room=pieces.room,
        takes=pieces.takes,
        reams=pieces.reams,
        rated_ns=rated_ns,
        cycles_ns=Row(f"times of {name}", len(cycles_ns), cycles_ns),
        shortest_ns=min(cycles_ns),
    )
    _suit(end, site.goods[0])
    return end


def _suit(end: EndStation, goods: Goods) -> None:
    """A carton packer packs as fast as it is rated for, or as these goods allow."""
    if end.makes == CARTONS:
        end.cycles_ns[0] = max(end.rated_ns, goods.carton_ns)
        end.shortest_ns = end.cycles_ns[0]


def suit_packing(line: Line) -> None:
    """Other goods come: wrappers and packers take the speed that is theirs."""
    for wrapper in line.wrappers:
        suit_wrapper(wrapper, line.goods)
    for end in line.end_of_line:
        _suit(end, line.goods)
    feed(line)
    told.plan_packing(line)


def feed(line: Line) -> None:
    """Each station finds the pace of those before it."""
    slowest, slowest_reams, slowest_station = 0, 1, line.wrappers[0].station
    for wrapper in line.wrappers:
        slowest = max(slowest, wrapper.steady_ns)
    pace, reams, station = slowest, slowest_reams, slowest_station
    for end in line.end_of_line:
        if end.which == end.first:
            pace, reams, station = slowest, slowest_reams, slowest_station
        end.pace_ns = pace * end.reams // reams
        end.paced_by = station
        longest = 0
        for cycle_ns in end.cycles_ns:
            longest = max(longest, cycle_ns)
        if longest > slowest * end.reams // slowest_reams:
            slowest, slowest_reams, slowest_station = longest, end.reams, end.station


def hand_on(line: Line, worker: Worker, to: int, at_ns: int) -> None:
    """Its piece is done: it goes to a place, if that has room. Behind the last the line ends.

    A place goes by its first station.
    """
    if to == len(line.end_of_line):
        return
    if _has_room(line, to):
        _bring_on(line, to, at_ns)
    else:
        worker.holding = True
        worker.held_since_ns = at_ns
        told.is_blocked(line, worker, to, at_ns)


def is_ready(line: Line, end: EndStation) -> bool:
    """All that the next piece needs is there."""
    return end.again or line.end_of_line[end.first].waiting >= end.takes


def _has_room(line: Line, first: int) -> bool:
    """One more may wait, or be taken at once."""
    if line.end_of_line[first].waiting < line.end_of_line[first].room:
        return True
    for which in range(first, line.end_of_line[first].behind):
        if is_idle(line.end_of_line[which]):
            return True
    return False


def _bring_on(line: Line, first: int, at_ns: int) -> None:
    line.end_of_line[first].waiting += 1
    for which in range(first, line.end_of_line[first].behind):
        end = line.end_of_line[which]
        if is_idle(end) and is_ready(line, end):
            told.end_runs(line, end, at_ns)
            end_takes(line, end, at_ns)


def end_takes(line: Line, end: EndStation, at_ns: int) -> None:
    """Begin the next piece, if what it needs is there and nothing keeps it."""
    if is_idle(end) and is_ready(line, end):
        if end.again:
            end.again = False
        else:
            line.end_of_line[end.first].waiting -= end.takes
        work_on(end, at_ns, end.cycles_ns[end.cycle])
        end.cycle += 1
        if end.cycle == len(end.cycles_ns):
            end.cycle = 0


def pieces_left(line: Line, end: EndStation) -> int:
    """Pieces until something happens of which others must hear at its very moment."""
    left = -((end.done - end.reams_due) // end.reams)
    if end.makes == CARTONS:
        return min(left, blanks_left(line.cartons[end.which - end.first]))
    if end.makes == PALLETS:
        return min(left, cartons_left(line))
    return left


def end_moves(line: Line, end: EndStation) -> None:
    """A piece goes on, or a stop falls due before that."""
    if end.next_ns < end.ends_ns:
        fall(line, end, RUNNING_H, reading_at_stop(line, end))
        return
    at = end.ends_ns
    end.again = end.makes == CARTONS and carton_closed(line, line.cartons[end.which - end.first])
    finish(end, 0 if end.again else end.reams)
    if end.makes == PALLETS:
        carton_laid(line, end, at)
    elif not end.again:
        hand_on(line, end, end.behind, at)
    if end.done >= end.reams_due:
        at_this_moment(line, at)
        fall(line, end, REAMS, end.done)
    if end.makes == CARTONS:
        use_blank(line, line.cartons[end.which - end.first], end, at)
    end_takes(line, end, at)
    room_before(line, end.first, at)


def go_on_behind(line: Line, end: EndStation, at_ns: int) -> None:
    """It is rid of what it held: it takes the next, or waits for it."""
    end.holding = False
    end.idle_since_ns = at_ns
    if not end.stands:
        told.end_goes_on(line, end, at_ns)


def room_before(line: Line, first: int, at_ns: int) -> None:
    """Whoever held a piece for a place lets go of it if it has room, and so on back the line."""
    while first > 0:
        moved = False
        while _has_room(line, first):
            longest = _who_holds(line, first)
            if longest < 0:
                break
            before = line.end_of_line[longest]
            go_on_behind(line, before, at_ns)
            _bring_on(line, first, at_ns)
            end_takes(line, before, at_ns)
            moved = True
        if not moved:
            return
        first = line.end_of_line[first - 1].first
    for wrapper in line.wrappers:
        if wrapper.holding and _has_room(line, 0):
            wrapper.holding = False
            wrapper.idle_since_ns = at_ns
            if not wrapper.stands:
                told.wrapper_starves(line, wrapper, at_ns)
            _bring_on(line, 0, at_ns)


def _who_holds(line: Line, first: int) -> int:
    """Who has held a piece for this place for the longest time; -1: nobody does."""
    longest = -1
    for which in range(line.end_of_line[first - 1].first, first):
        end = line.end_of_line[which]
        if end.holding and (
            longest < 0 or end.held_since_ns < line.end_of_line[longest].held_since_ns
        ):
            longest = which
    return longest


def reams_behind(line: Line) -> int:
    """Wrapped reams that have not left the line: they wait, or are held, packed or laid."""
    reams = line.pallets.on_it * line.pallets.reams
    for wrapper in line.wrappers:
        if wrapper.holding:
            reams += 1
    for end in line.end_of_line:
        reams += end.waiting * (end.reams // end.takes)
        if end.busy or end.again or (end.holding and end.makes != PALLETS):
            reams += end.reams
    return reams
