"""A station that stands and moves by itself, and a standstill under way.

A standstill lasts from the moment it falls due until the station may move again. A machine may
have several, one beside the other.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import accounts, told
from linesim.line.causes import (
    REAMS,
    RUNNING_H,
    Cause,
    cause_begins_to_count,
    cause_falls,
    cause_mended,
    first_due,
)
from linesim.line.clock import BRIDGE, NEVER, RESTORED, TRANSFER
from linesim.line.crew import Job, ask, new_job
from linesim.line.line import Line, Site
from linesim.line.typed import Ref, Row, add, shorten
from linesim.scenario import WEB_STATIONS
from linesim.scenario.people import ANYONE

UNWIND, WEB_PATH, CUTTER = map(WEB_STATIONS.index, ("unwind", "web_path", "cutter"))
WHOLE_LINE = -1
"""In place of a station."""
ON_WEBS = len(WEB_STATIONS)
"""Stations on the webs; those behind them are machines, in the same order."""
FIRST_WRAPPER = ON_WEBS + 2
"""Station of the first wrapper: transfer and bridge come before it."""

STOPPED, REELS, POCKETS_FULL, BY_LEVEL, PAUSED, CHANGING_OVER, NO_ORDER, NOT_RELEASED = range(8)
"""What it is for: a stop of a station (forced ones too), reels to be replaced, ..."""


@dataclass(slots=True)
class Stoppage:
    """One standstill of one station, or of the webs.

    Where it has a job, that is asked for when people may go in; from then on the station waits for
    people, then is worked on, then may move.
    """

    number: int
    job: Job
    what: int = STOPPED
    station: int = WHOLE_LINE
    cause: int = accounts.NO_CAUSE
    state: int = 0
    working: int = 0
    """State while people work on it."""
    people: int = 0
    who: int = ANYONE
    priority: int = 0
    restore_ns: int = 0
    of: int = -1
    """Number of the stop cause; -1: of none."""
    holds: bool = False
    """It holds the webs, ..."""
    stood: bool = False
    """... they stand, and people could go in."""


@dataclass(slots=True)
class Stoppages:
    """All that can be under way at once."""

    all: Row[Stoppage]
    free: Row[int]
    """Numbers of those that are not."""


def new_stoppage(number: int, what: int = STOPPED, station: int = WHOLE_LINE) -> Stoppage:
    """One that is not under way."""
    return Stoppage(number, new_job(RESTORED, number), what, station)


def new_stoppages(most: int) -> Stoppages:
    """Room for so many at once."""
    every = Row("stops at once", most, [new_stoppage(i) for i in range(most)])
    return Stoppages(every, Row("stops at once", most, range(most)))


def begin_stoppage(line: Line, station: int, cause: int, working: int, restore_ns: int) -> Stoppage:
    """A standstill begins for which nobody is needed, unless somebody says so."""
    free = line.stoppages.free
    last = len(free) - 1
    if last < 0:
        line.given_up = free.code
        last = 0
    stoppage = line.stoppages.all[free[last]]
    shorten(free, last)
    stoppage.station = station
    stoppage.cause = cause
    stoppage.state = working
    stoppage.working = working
    stoppage.people = 0
    stoppage.who = ANYONE
    stoppage.priority = 1
    stoppage.restore_ns = restore_ns
    stoppage.of = -1
    return stoppage


def stop_of_cause(line: Line, cause: Cause, reading: int) -> Stoppage:
    """A cause falls due now; its meter, where it is not the clock, reads so much."""
    restore_ns = cause_falls(line, cause, reading)
    number = cause.change_number if cause.changing else cause.number
    working = accounts.CHANGEOVER if cause.changing else cause.working
    accounts.count_stop(line, cause.station, number)
    stop = begin_stoppage(line, cause.station, number, working, restore_ns)
    stop.people = cause.change_people if cause.changing else cause.people
    stop.who = cause.who
    stop.priority = cause.priority
    stop.of = cause.of
    return stop


def begin_job(line: Line, stoppage: Stoppage) -> None:
    """People may go in now."""
    if stoppage.people > 0:
        stoppage.state = accounts.WAITING_PEOPLE
    stoppage.job.who = stoppage.who
    # A change-over of the whole line is done where the knives are.
    station = stoppage.station if stoppage.station != WHOLE_LINE else CUTTER
    stoppage.job.place_ns = line.crew.places_ns[station]
    ask(line, stoppage.job, stoppage.people, stoppage.priority, stoppage.restore_ns, True)


def show_stoppage(line: Line, stoppage: Stoppage, waits: bool) -> None:
    """It waits for people, or is worked on, from now on."""
    told.settle(line)
    stoppage.state = accounts.WAITING_PEOPLE if waits else stoppage.working
    told.show(line)


def let_go(row: Row[Ref[Stoppage]], stoppage: Stoppage) -> None:
    for i in range(len(row)):
        if row[i] is stoppage:
            del row[i]
            return


@dataclass(slots=True, kw_only=True)
class Machine:
    """Transfer, bridge, a wrapper, a station behind it: what they have in common.

    ``events.paused`` and ``events.resumed`` are called when the first stop begins and when the
    last one ends. A stop that is due is begun by the station itself, which knows its meters.
    """

    what: int
    """Which of the four: see ``events``."""
    station: int
    causes: Row[Cause]
    stops: Row[Ref[Stoppage]]
    """What it stands for now."""
    stands: bool = False
    """It is kept from moving."""
    run_ns: int = 0
    """Its running time so far ..."""
    running_due_ns: int = NEVER
    """... and where on it the first stop falls due; NEVER: there is none."""
    done: int = 0
    """Reams it is done with ..."""
    reams_due: int = NEVER
    """... and how many when the first stop that counts them falls due."""


def stops_of(site: Site, station: int, causes: Row[Cause]) -> Row[Ref[Stoppage]]:
    """Room for all that a machine can stand for at once."""
    return Row(f"stops of {site.stations[station]} at once", len(causes) + site.more_stops)


def own_root(machine: Machine) -> int:
    """Station and cause of the stop it stands for."""
    return accounts.root_at(machine.station, machine.stops[0].cause)


def show_stop(line: Line, machine: Machine) -> bool:
    """Enter the state of a standing station; False where it does not stand."""
    if not machine.stands:
        return False
    shown = machine.stops[0]
    for stop in machine.stops:
        if stop.state == accounts.PLANNED:
            shown = stop
            break
    accounts.enter(line, machine.station, line.now_ns, shown.state, shown.cause, accounts.NO_ROOT)
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
    stop = stop_of_cause(line, cause, reading)
    look_for_dues(line, machine)
    begin_stop(line, machine, stop)


def hold(line: Line, machine: Machine, cause: int, state: int, length_ns: int) -> Stoppage:
    """Stand for a break or a forced stop: no people are asked for."""
    if state != accounts.PLANNED:
        accounts.count_stop(line, machine.station, cause)
    stop = begin_stoppage(line, machine.station, cause, state, length_ns)
    begin_stop(line, machine, stop)
    return stop


def begin_stop(line: Line, machine: Machine, stop: Stoppage) -> None:
    stand_for(line, machine, stop)
    begin_job(line, stop)
    told.show(line)


def stand_for(line: Line, machine: Machine, stop: Stoppage) -> None:
    """It stands from now on."""
    told.settle(line)
    machine.stands = True
    add(line, machine.stops, stop)
    if len(machine.stops) == 1:
        told.paused(line, machine)


def end_stop(line: Line, machine: Machine, stop: Stoppage) -> None:
    told.settle(line)
    _ends(machine, stop)
    if not machine.stands:
        told.resumed(line, machine)
    told.show(line)


def _ends(machine: Machine, stop: Stoppage) -> None:
    let_go(machine.stops, stop)
    machine.stands = len(machine.stops) > 0


def end_stops(line: Line, stops: Row[Ref[Stoppage]]) -> None:
    """These, one of each machine, are over together: no wrapper has a ream because another stands.

    Transfer and bridge go first: what they bring is there for all.
    """
    first = 0
    while line.machines[first].what == TRANSFER or line.machines[first].what == BRIDGE:
        end_stop(line, line.machines[first], stops[first])
        first += 1
    told.settle(line)
    for i in range(first, len(stops)):
        _ends(line.machines[i], stops[i])
    for i in range(first, len(stops)):
        if not line.machines[i].stands:
            told.resumed(line, line.machines[i])
    told.show(line)


def machine_mended(line: Line, machine: Machine, cause: Cause, stop: Stoppage) -> None:
    """A stop that fell due is over."""
    cause_mended(line, cause)
    look_for_dues(line, machine)
    end_stop(line, machine, stop)


def look_for_dues(line: Line, machine: Machine) -> None:
    """Find what falls due first on each meter."""
    machine.running_due_ns = first_due(machine.causes, RUNNING_H)
    machine.reams_due = first_due(machine.causes, REAMS)


def machine_begins_to_count(line: Line, machine: Machine) -> None:
    """Counting begins, and it stands: causes whose age the scenario says are that old now."""
    for cause in machine.causes:
        reading = line.now_ns
        if cause.meter == RUNNING_H:
            reading = machine.run_ns
        elif cause.meter == REAMS:
            reading = machine.done
        cause_begins_to_count(line, cause, reading)
    look_for_dues(line, machine)


@dataclass(slots=True, kw_only=True)
class Worker(Machine):
    """A machine that takes one ream after another: a wrapper, a station behind it."""

    which: int
    """0 for the first of its kind."""
    shortest_ns: int
    """It needs no less for a ream."""
    holding: bool = False
    """A ream that is done finds no place behind it, ..."""
    held_since_ns: int = 0
    """... since then."""
    busy: bool = False
    began_ns: int = 0
    """When it took the ream in hand, or went on with it after a stop."""
    ends_ns: int = 0
    next_ns: int = 0
    """When the ream in hand is done, or a stop falls due before that."""
    rest_ns: int = 0
    """What was left of it when it came to a stand; -1: it had none."""
    idle_since_ns: int = 0


def is_idle(worker: Worker) -> bool:
    """Nothing keeps it from the next ream."""
    return not (worker.busy or worker.stands or worker.holding)


def work_on(worker: Worker, at_ns: int, length_ns: int) -> None:
    """It works on a ream for so long, unless it stands meanwhile."""
    worker.busy = True
    worker.began_ns = at_ns
    worker.ends_ns = at_ns + length_ns
    worker.next_ns = min(worker.ends_ns, at_ns + max(0, worker.running_due_ns - worker.run_ns))


def finish(worker: Worker, reams: int) -> None:
    """What it had in hand is done: so many reams."""
    worker.busy = False
    worker.run_ns += worker.ends_ns - worker.began_ns
    worker.idle_since_ns = worker.ends_ns
    worker.done += reams


def interrupt(line: Line, worker: Worker) -> None:
    """It stands: what is left of the ream in hand waits."""
    worker.rest_ns = -1
    if worker.busy:
        worker.run_ns += line.now_ns - worker.began_ns
        worker.rest_ns = worker.ends_ns - line.now_ns


def go_on(line: Line, worker: Worker) -> None:
    """It may move again: the ream in hand is finished, not begun anew.

    Where all move again at once, one beside it may have let it take another by now.
    """
    if not worker.busy:
        worker.idle_since_ns = line.now_ns
    elif worker.rest_ns >= 0:
        work_on(worker, line.now_ns, worker.rest_ns)
