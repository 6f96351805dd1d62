"""A standstill under way: from the moment it falls due until the station may move again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.accounts import NO_CAUSE, WAITING_PEOPLE
from linesim.line.crew import Job, ask, new_job
from linesim.line.rings import RESTORED
from linesim.line.typed import Ref, Row, shorten

if TYPE_CHECKING:
    from linesim.line.line import Line

WHOLE_LINE = -1
"""In place of a station."""

STOPPED, REELS, POCKETS_FULL, BY_LEVEL, PAUSED, CHANGING_OVER, NO_ORDER = range(7)
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
    cause: int = NO_CAUSE
    state: int = 0
    working: int = 0
    """State while people work on it."""
    people: int = 0
    priority: int = 0
    restore_ns: int = 0
    machine: int = -1
    """Number of the machine that stands; -1: the webs do."""
    of: int = -1
    """Number of the stop cause; -1: of none."""


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


# -- rules ---------------------------------------------------------------------------------------


def begin_stoppage(
    line: Line, machine: int, station: int, cause: int, working: int, restore_ns: int
) -> Stoppage:
    """A standstill begins for which nobody is needed, unless somebody says so."""
    free = line.stoppages.free
    last = len(free) - 1
    if last < 0:
        line.given_up = free.code
        last = 0
    stoppage = line.stoppages.all[free[last]]
    shorten(free, last)
    stoppage.machine = machine
    stoppage.station = station
    stoppage.cause = cause
    stoppage.state = working
    stoppage.working = working
    stoppage.people = 0
    stoppage.priority = 1
    stoppage.restore_ns = restore_ns
    stoppage.of = -1
    return stoppage


def begin_job(line: Line, stoppage: Stoppage) -> None:
    """People may go in now."""
    if stoppage.people > 0:
        stoppage.state = WAITING_PEOPLE
    ask(line, stoppage.job, stoppage.people, stoppage.priority, stoppage.restore_ns, True)


def enter_stoppage(line: Line, stoppage: Stoppage, state: int) -> None:
    """It is worked on, or waits for people, from now on."""
    told.settle(line)
    stoppage.state = state
    told.show(line)


def let_go(row: Row[Ref[Stoppage]], stoppage: Stoppage) -> None:
    """It is no longer one of these."""
    kept = 0
    for i in range(len(row)):
        if row[i] is not stoppage:
            row[kept] = row[i]
            kept += 1
    shorten(row, kept)
