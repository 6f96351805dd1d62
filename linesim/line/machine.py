"""A station that stands and moves by itself: its stops, one beside the other if need be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.accounts import NO_ROOT, PLANNED, count_stop, enter, root_at
from linesim.line.causes import (
    REAMS,
    RUNNING_H,
    Cause,
    cause_begins_to_count,
    cause_falls,
    cause_mended,
)
from linesim.line.clock import NEVER
from linesim.line.stoppage import Stoppage, begin_job, begin_stoppage, let_go
from linesim.line.typed import Ref, Row, add

if TYPE_CHECKING:
    from linesim.line.line import Line


@dataclass(slots=True)
class Machine:
    """Transfer, bridge, a wrapper, the outfeed: what they have in common.

    ``events.paused`` and ``events.resumed`` are called when the first stop begins and when the
    last one ends. A stop that is due is begun by the station itself, which knows its meters.
    """

    number: int
    """Its place among the machines of the line."""
    what: int
    """Which of the four: see ``events``."""
    station: int
    causes: Row[Cause]
    stops: Row[Ref[Stoppage]]
    """What it stands for now."""
    running_due_ns: int
    """Running time at which the first stop on that meter falls due; NEVER: there is none."""
    reams_due: int
    """The same in reams of this station."""
    stands: bool
    """It is kept from moving."""


def first_due(causes: list[Cause], meter: int) -> int:
    """Where the first of these causes falls due on a meter; NEVER: there is none."""
    return min((cause.due for cause in causes if cause.meter == meter), default=NEVER)


# -- rules ---------------------------------------------------------------------------------------


def own_root(machine: Machine) -> int:
    """Station and cause of the stop it stands for."""
    return root_at(machine.station, machine.stops[0].cause)


def show_stop(line: Line, machine: Machine) -> bool:
    """Enter the state of a standing station; False where it does not stand."""
    if not machine.stands:
        return False
    shown = machine.stops[0]
    for stop in machine.stops:
        if stop.state == PLANNED:
            shown = stop
            break
    enter(line, machine.station, line.now_ns, shown.state, shown.cause, NO_ROOT)
    return True


def fall(line: Line, machine: Machine, meter: int, reading: int) -> int:
    """Begin every stop that is due at this reading of a meter; how many."""
    fallen = 0
    for cause in machine.causes:
        if cause.meter == meter and reading >= cause.due:
            fallen += 1
            machine_stops(line, machine, cause, reading)
    return fallen


def machine_stops(line: Line, machine: Machine, cause: Cause, reading: int) -> None:
    """A cause falls due now; its meter, where it is not the clock, reads so much."""
    restore_ns = cause_falls(line, cause, reading)
    look_for_dues(line, machine)
    count_stop(line, machine.station, cause.number)
    stop = begin_stoppage(
        line, machine.number, machine.station, cause.number, cause.working, restore_ns
    )
    stop.people = cause.people
    stop.priority = cause.priority
    stop.of = cause.of
    begin_stop(line, machine, stop)


def hold(line: Line, machine: Machine, cause: int, state: int, length_ns: int) -> Stoppage:
    """Stand for a break or a forced stop: no people are asked for."""
    if state != PLANNED:
        count_stop(line, machine.station, cause)
    stop = begin_stoppage(line, machine.number, machine.station, cause, state, length_ns)
    begin_stop(line, machine, stop)
    return stop


def begin_stop(line: Line, machine: Machine, stop: Stoppage) -> None:
    """It stands for this from now on."""
    told.settle(line)
    machine.stands = True
    add(line, machine.stops, stop)
    if len(machine.stops) == 1:
        told.paused(line, machine)
    begin_job(line, stop)
    told.show(line)


def end_stop(line: Line, machine: Machine, stop: Stoppage) -> None:
    """This stop is over."""
    told.settle(line)
    let_go(machine.stops, stop)
    machine.stands = len(machine.stops) > 0
    if not machine.stands:
        told.resumed(line, machine)
    told.show(line)


def machine_mended(line: Line, machine: Machine, cause: Cause, stop: Stoppage) -> None:
    """A stop that fell due is over."""
    cause_mended(line, cause)
    look_for_dues(line, machine)
    end_stop(line, machine, stop)


def look_for_dues(line: Line, machine: Machine) -> None:
    """Find what falls due first on each meter."""
    running = reams = NEVER
    for cause in machine.causes:
        if cause.meter == RUNNING_H:
            running = min(running, cause.due)
        elif cause.meter == REAMS:
            reams = min(reams, cause.due)
    machine.running_due_ns = running
    machine.reams_due = reams
    told.dues_found(line, machine)


def machine_begins_to_count(line: Line, machine: Machine) -> None:
    """Counting begins, and it stands: causes whose age the scenario says are that old now."""
    for cause in machine.causes:
        reading = line.now_ns
        if cause.meter == RUNNING_H:
            reading = told.running_so_far(line, machine)
        elif cause.meter == REAMS:
            reading = told.reams_so_far(line, machine)
        cause_begins_to_count(line, cause, reading)
    look_for_dues(line, machine)
