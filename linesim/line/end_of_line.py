"""The end of the line: stations behind the wrappers, one after another, each with a small buffer.

A ream goes on as soon as the next station has room for it; until then whoever holds it waits.
Fed by something slower than itself a station waits a moment before every ream. That is work at
the other's pace, one span; the accounts tell its work and its waits apart. ``packing`` knows when
what is due.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.line import told
from linesim.line.causes import REAMS, RUNNING_H, new_causes
from linesim.line.clock import END_OF_LINE, RANK_WRAPPING
from linesim.line.line import Line, Site
from linesim.line.machine import Worker, fall, finish, is_idle, stops_of, work_on
from linesim.line.typed import Row
from linesim.line.wrapper import Wrapper, at_this_moment, reading_at_stop
from linesim.scenario.units import MINUTE, SECOND


@dataclass(slots=True, kw_only=True)
class EndStation(Worker):
    """One station with reams waiting before it."""

    room: int
    """Reams that can wait."""
    cycles_ns: Row[int]
    """Times for one ream after another, over and over, ..."""
    cycle: int = 0
    """... and which is the next."""
    pace_ns: int = 0
    """One that waits no longer than this for a ream works at the pace of those before it, ..."""
    paced_by: int = 0
    """... of which this station is the slowest."""
    waiting: int = 0


def new_end_station(site: Site, name: str) -> EndStation:
    table, names = site.scenario.end_of_line[name], list(site.scenario.end_of_line)
    station = len(site.stations) - len(names) + names.index(name)
    causes = new_causes(site, station, RANK_WRAPPING)
    rated_ns = round(MINUTE / table.rate_reams_per_min)
    cycles_ns = [rated_ns + round(extra * SECOND) for extra in table.extra_s]
    return EndStation(
        what=END_OF_LINE,
        station=station,
        causes=causes,
        stops=stops_of(site, station, causes),
        which=names.index(name),
        room=table.buffer_reams,
        cycles_ns=Row(f"times of {name}", len(cycles_ns), cycles_ns),
        shortest_ns=min(cycles_ns),
    )


def feed(ends: Sequence[EndStation], wrappers: Sequence[Wrapper]) -> None:
    """Each finds the pace of those before it."""
    pace, station = max(wrapper.steady_ns for wrapper in wrappers), wrappers[0].station
    for end in ends:
        end.pace_ns, end.paced_by = pace, station
        if max(end.cycles_ns) > pace:
            pace, station = max(end.cycles_ns), end.station


def hand_on(line: Line, worker: Worker, to: int, at_ns: int) -> None:
    """Its ream is done: it goes to a station, if that has room. Behind the last the line ends."""
    if to == len(line.end_of_line):
        return
    if _has_room(line.end_of_line[to]):
        _bring_on(line, line.end_of_line[to], at_ns)
    else:
        worker.holding = True
        told.is_blocked(line, worker, to, at_ns)


def _has_room(end: EndStation) -> bool:
    """One more ream may wait, or be taken at once."""
    return end.waiting < end.room or is_idle(end)


def _bring_on(line: Line, end: EndStation, at_ns: int) -> None:
    end.waiting += 1
    if is_idle(end):
        told.end_runs(line, end, at_ns)
        end_takes(end, at_ns)


def end_takes(end: EndStation, at_ns: int) -> None:
    """Begin the next ream, if one waits and nothing keeps it."""
    if end.waiting > 0 and is_idle(end):
        end.waiting -= 1
        work_on(end, at_ns, end.cycles_ns[end.cycle])
        end.cycle += 1
        if end.cycle == len(end.cycles_ns):
            end.cycle = 0


def end_moves(line: Line, end: EndStation) -> None:
    """A ream goes on, or a stop falls due before that."""
    if end.next_ns < end.ends_ns:
        fall(line, end, RUNNING_H, reading_at_stop(line, end))
        return
    at = end.ends_ns
    finish(end)
    hand_on(line, end, end.which + 1, at)
    if end.done >= end.reams_due:
        at_this_moment(line, at)
        fall(line, end, REAMS, end.done)
    end_takes(end, at)
    room_before(line, end.which, at)


def room_before(line: Line, which: int, at_ns: int) -> None:
    """Whoever held a ream for a station lets go of it if it has room, and so on back the line."""
    while which > 0:
        before, end = line.end_of_line[which - 1], line.end_of_line[which]
        if not before.holding or not _has_room(end):
            return
        before.holding = False
        before.idle_since_ns = at_ns
        if not before.stands:
            told.end_goes_on(line, before, at_ns)
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
