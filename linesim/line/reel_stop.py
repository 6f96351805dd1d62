"""The standstill in which reels are replaced: one job for each, people and reels waited for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told

# CONST unwind ['UNWIND']
from linesim.line.accounts import CHANGEOVER, WAITING_PEOPLE, WAITING_REEL
from linesim.line.chance import draw
from linesim.line.crew import ask
from linesim.line.stand import Stand, left_um
from linesim.line.stoppage import REELS, Stoppage, new_stoppage
from linesim.line.typed import Row, add, shorten

if TYPE_CHECKING:
    from linesim.line.line import Line


_UNWIND = 0
"""Number of the station."""


@dataclass(slots=True)
class ReelStop:
    """One; ends when every reel in it is replaced. Sets of stands are a bit for each web."""

    number: int
    hold: Stoppage
    order: Row[int]
    """Webs whose reels are replaced in it, in turn."""
    begun: bool = False
    left: int = 0
    """Those not yet replaced."""
    waiting_people: int = 0
    waiting_reel: int = 0


def new_reel_stop(number: int, cause: int, webs: int) -> ReelStop:
    """One that is not under way."""
    hold = new_stoppage(number, REELS, _UNWIND)
    hold.cause = cause
    hold.state = CHANGEOVER
    return ReelStop(number, hold, Row("reels in one stop", webs))


# -- rules ---------------------------------------------------------------------------------------


def begin_reel_stop(stop: ReelStop) -> None:
    """A reel has run out: nothing of the last time is left."""
    shorten(stop.order, 0)
    stop.begun = False
    stop.left = stop.waiting_people = stop.waiting_reel = 0
    _show_state(stop)


def in_reel_stop(stop: ReelStop, stand: Stand) -> bool:
    """Whether its reel is replaced in it."""
    for web in stop.order:  # noqa: SIM110 - compiled code has no generators
        if web == stand.web:
            return True
    return False


def add_reel(line: Line, stop: ReelStop, stand: Stand) -> None:
    """One more reel to replace in this stop."""
    if in_reel_stop(stop, stand):
        return
    add(line, stop.order, stand.web)
    if stop.begun:
        _begin(line, stop, stand)


def reel_stop_stood(line: Line, stop: ReelStop) -> None:
    """The webs stand: people may go in.

    Other reels with little left are replaced in the same stop, where their partners are ready.
    """
    stop.begun = True
    table = line.webs.unwind
    for stand in table.stands:
        ready = stand.partner_there or not table.paired
        if ready and not in_reel_stop(stop, stand) and left_um(line, stand) < table.together_um:
            add(line, stop.order, stand.web)
    for i in range(len(stop.order)):
        _begin(line, stop, table.stands[stop.order[i]])


def partner_ready(line: Line, stop: ReelStop, stand: Stand) -> None:
    """A stand that this stop may be waiting for has been prepared."""
    if (stop.waiting_reel >> stand.web) & 1:
        stop.waiting_reel &= ~(1 << stand.web)
        _ask(line, stop, stand)


def _begin(line: Line, stop: ReelStop, stand: Stand) -> None:
    stop.left |= 1 << stand.web
    if line.webs.unwind.paired and not stand.partner_there:
        stop.waiting_reel |= 1 << stand.web
        _show_state(stop)
        told.hurry_stand(line, stand)
    else:
        _ask(line, stop, stand)


def _ask(line: Line, stop: ReelStop, stand: Stand) -> None:
    if line.webs.unwind.paired:
        length_ns = draw(line, stand.splice_times)
    else:
        length_ns = draw(line, stand.change_times)
    stand.replaced_in = stop.number
    stop.waiting_people |= 1 << stand.web
    _show_state(stop)
    people, priority = line.webs.unwind.replace_people, line.crew.priority_standing_line
    ask(line, stand.replace_job, people, priority, length_ns, True)


def reel_begun(line: Line, stand: Stand) -> None:
    """People have come to replace this reel."""
    told.settle(line)
    stop = line.webs.unwind.stops[stand.replaced_in]
    stop.waiting_people &= ~(1 << stand.web)
    _show_state(stop)
    told.show(line)


def reel_waits(line: Line, stand: Stand) -> None:
    """They have gone before it was."""
    told.settle(line)
    stop = line.webs.unwind.stops[stand.replaced_in]
    stop.waiting_people |= 1 << stand.web
    _show_state(stop)
    told.show(line)


def reel_replaced(line: Line, stand: Stand) -> None:
    """It is replaced."""
    told.settle(line)
    stop = line.webs.unwind.stops[stand.replaced_in]
    stop.left &= ~(1 << stand.web)
    _show_state(stop)
    told.replaced(line, stand)
    if stop.left == 0:
        told.reel_stop_over(line, stop)
    told.show(line)


def _show_state(stop: ReelStop) -> None:
    """Worked on, or else waiting: for people, or for a reel to be prepared."""
    waiting = stop.waiting_people | stop.waiting_reel
    if not stop.begun or _members(stop.left) > _members(waiting):
        stop.hold.state = CHANGEOVER
    elif stop.waiting_people != 0:
        stop.hold.state = WAITING_PEOPLE
    else:
        stop.hold.state = WAITING_REEL


def _members(webs: int) -> int:
    count = 0
    while webs != 0:
        webs &= webs - 1
        count += 1
    return count
