"""The end of the line: stations behind the wrappers, one after another, each with a small buffer.

A ream goes on as soon as the next station has room for it; until then whoever holds it waits.
Behind a carton packer what goes on is a carton. What only packer and palletiser have is in
``cartons`` and ``pallets``.
Fed by something slower than itself a station waits a moment before every ream. That is work at
the other's pace, one span; the accounts tell its work and its waits apart. ``packing`` knows when
what is due.
"""

from __future__ import annotations

from collections.abc import Sequence

from linesim.line import told
from linesim.line.cartons import blanks_left, carton_closed, use_blank
from linesim.line.causes import REAMS, RUNNING_H, new_causes
from linesim.line.clock import END_OF_LINE, RANK_WRAPPING
from linesim.line.end_station import CARTONS, PALLETS, REAMS_ON, EndStation
from linesim.line.line import Line, Site
from linesim.line.machine import Worker, fall, finish, is_idle, stops_of, work_on
from linesim.line.pallets import carton_laid, cartons_left
from linesim.line.typed import Row
from linesim.line.wrapper import Wrapper, at_this_moment, reading_at_stop
from linesim.scenario.units import MINUTE, SECOND


def new_end_station(site: Site, name: str) -> EndStation:
    pieces, names = site.scenario.end_of_line[name], list(site.scenario.end_of_line)
    station = len(site.stations) - len(names) + names.index(name)
    causes = new_causes(site, station, RANK_WRAPPING)
    rated_ns = round(MINUTE / pieces.rate_per_min)
    cycles_ns = [rated_ns + round(extra * SECOND) for extra in pieces.extra_s]
    return EndStation(
        what=END_OF_LINE,
        station=station,
        causes=causes,
        stops=stops_of(site, station, causes),
        which=names.index(name),
        makes={"carton_packer": CARTONS, "palletiser": PALLETS}.get(name, REAMS_ON),
        room=pieces.room,
        takes=pieces.takes,
        reams=pieces.reams,
        cycles_ns=Row(f"times of {name}", len(cycles_ns), cycles_ns),
        shortest_ns=min(cycles_ns),
    )


def feed(ends: Sequence[EndStation], wrappers: Sequence[Wrapper]) -> None:
    """Each finds the pace of those before it."""
    pace, station = max(wrapper.steady_ns for wrapper in wrappers), wrappers[0].station
    reams = 1
    for end in ends:
        end.pace_ns, end.paced_by = pace * end.reams // reams, station
        if max(end.cycles_ns) > end.pace_ns:
            pace, reams, station = max(end.cycles_ns), end.reams, end.station


def hand_on(line: Line, worker: Worker, to: int, at_ns: int) -> None:
    """Its piece is done: it goes to a station, if that has room. Behind the last the line ends."""
    if to == len(line.end_of_line):
        return
    if _has_room(line.end_of_line[to]):
        _bring_on(line, line.end_of_line[to], at_ns)
    else:
        worker.holding = True
        told.is_blocked(line, worker, to, at_ns)


def is_ready(end: EndStation) -> bool:
    """All that the next piece needs is there."""
    return end.again or end.waiting >= end.takes


def _has_room(end: EndStation) -> bool:
    """One more may wait, or be taken at once."""
    return end.waiting < end.room or is_idle(end)


def _bring_on(line: Line, end: EndStation, at_ns: int) -> None:
    end.waiting += 1
    if is_idle(end) and is_ready(end):
        told.end_runs(line, end, at_ns)
        end_takes(end, at_ns)


def end_takes(end: EndStation, at_ns: int) -> None:
    """Begin the next piece, if what it needs is there and nothing keeps it."""
    if is_idle(end) and is_ready(end):
        if end.again:
            end.again = False
        else:
            end.waiting -= end.takes
        work_on(end, at_ns, end.cycles_ns[end.cycle])
        end.cycle += 1
        if end.cycle == len(end.cycles_ns):
            end.cycle = 0


def pieces_left(line: Line, end: EndStation) -> int:
    """Pieces until something happens of which others must hear at its very moment."""
    left = -((end.done - end.reams_due) // end.reams)
    if end.makes == CARTONS:
        return min(left, blanks_left(line))
    if end.makes == PALLETS:
        return min(left, cartons_left(line))
    return left


def end_moves(line: Line, end: EndStation) -> None:
    """A piece goes on, or a stop falls due before that."""
    if end.next_ns < end.ends_ns:
        fall(line, end, RUNNING_H, reading_at_stop(line, end))
        return
    at = end.ends_ns
    end.again = end.makes == CARTONS and carton_closed(line)
    finish(end, 0 if end.again else end.reams)
    if end.makes == PALLETS:
        carton_laid(line, end, at)
    elif not end.again:
        hand_on(line, end, end.which + 1, at)
    if end.done >= end.reams_due:
        at_this_moment(line, at)
        fall(line, end, REAMS, end.done)
    if end.makes == CARTONS:
        use_blank(line, end, at)
    end_takes(end, at)
    room_before(line, end.which, at)


def go_on_behind(line: Line, end: EndStation, at_ns: int) -> None:
    """It is rid of what it held: it takes the next, or waits for it."""
    end.holding = False
    end.idle_since_ns = at_ns
    if not end.stands:
        told.end_goes_on(line, end, at_ns)


def room_before(line: Line, which: int, at_ns: int) -> None:
    """Whoever held a piece for a station lets go of it if it has room, and so on back the line."""
    while which > 0:
        before, end = line.end_of_line[which - 1], line.end_of_line[which]
        if not before.holding or not _has_room(end):
            return
        go_on_behind(line, before, at_ns)
        _bring_on(line, end, at_ns)
        end_takes(before, at_ns)
        which -= 1
    for wrapper in line.wrappers:
        if wrapper.holding and _has_room(line.end_of_line[0]):
            wrapper.holding = False
            wrapper.idle_since_ns = at_ns
            if not wrapper.stands:
                told.wrapper_starves(line, wrapper, at_ns)
            _bring_on(line, line.end_of_line[0], at_ns)


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
