"""The packing end: bridge, wrappers, rework table and what follows, moved on together.

Between two events nothing here depends on anything else, so reams are not events: whoever needs to
know calls ``move_on``, and what happened since is worked out ream by ream. Only what others must
hear of at its very moment (a stop, a level) is set as an alarm; the alarm never comes too late,
and where it comes too early it is set again. This module knows when what is due, and whose the
next ream is; ``wrapper`` does it, ``states`` says what the accounts are told.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import end_of_line, told
from linesim.line.bridge import NOBODY_WAITS, head_ready_ns
from linesim.line.clock import NEVER, PACKING, RANK_WRAPPING, Alarm, set_alarm, times
from linesim.line.end_station import EndStation
from linesim.line.line import Line, Site
from linesim.line.machine import Worker, go_on, interrupt, is_idle
from linesim.line.wrapper import Wrapper, next_due, start_ream, wrapper_moves

RULES = ("nearest_free", "in_turn", "second_above_level", "hot_standby")
NEAREST_FREE, IN_TURN, SECOND_ABOVE_LEVEL, HOT_STANDBY = range(4)


_FINISH, _START, _END = range(3)
"""What can happen next of itself."""


@dataclass(slots=True)
class Packing:
    """How far the packing end is worked out, and what comes next."""

    alarm: Alarm
    rule: int
    """The divert's: which wrapper gets the next ream. It is asked anew for every ream."""
    second_at: int
    """Level from which on others than the first wrapper take reams."""
    needs_level: bool
    """Every ream needs to know the level at its own moment."""
    last: int = -1
    """The wrapper that took the last ream."""
    settled_at_ns: int = 0
    """Everything up to this moment is worked out."""
    settling: bool = False
    was_idle: bool = True
    """A wrapper had no ream when the alarm was last set."""
    next_at_ns: int = NEVER
    """What happens next of itself: when, ..."""
    next_what: int = _FINISH
    """... what, ..."""
    next_who: int = 0
    """... and to which wrapper or station behind them."""


def new_packing(site: Site, wrappers: list[Wrapper]) -> Packing:
    table = site.scenario.divert
    rule = RULES.index(table.rule)
    catches_up = any(wrapper.catch_up_at != NEVER for wrapper in wrappers)
    return Packing(
        alarm=Alarm(RANK_WRAPPING, PACKING),
        rule=rule,
        second_at=table.second_at_reams or 0,
        needs_level=rule == SECOND_ABOVE_LEVEL or catches_up,
    )


def may_take(line: Line, wrapper: Wrapper) -> bool:
    """Whether the rule gives the next ream to this wrapper."""
    if not is_idle(wrapper):
        return False
    rule = line.packing.rule
    if rule == NEAREST_FREE:
        return True
    if rule == IN_TURN:
        return wrapper.which == _whose_turn(line)
    if wrapper.which == 0 or line.wrappers[0].stands:
        return True
    return rule == SECOND_ABOVE_LEVEL and line.bridge.level >= line.packing.second_at


def keeps_from(line: Line, wrapper: Wrapper) -> bool:
    """Whether the rule gives this wrapper no ream though there may be one."""
    if wrapper.which == 0 or line.wrappers[0].stands:
        return False
    if line.packing.rule == SECOND_ABOVE_LEVEL:
        return 0 < line.bridge.level < line.packing.second_at
    return line.packing.rule == HOT_STANDBY


def _whose_turn(line: Line) -> int:
    """The next in turn that does not stand; -1 where all do."""
    wrappers = len(line.wrappers)
    best, nearest = -1, wrappers
    for wrapper in line.wrappers:
        distance = (wrapper.which - line.packing.last - 1) % wrappers
        if not wrapper.stands and distance < nearest:
            best, nearest = wrapper.which, distance
    return best


def settle_packing(line: Line) -> None:
    """Work out everything up to now, and note who has run out of work."""
    if not line.packing.settling:
        move_on(line)
        told.note_idle(line, line.now_ns)


def move_on(line: Line) -> None:
    """Work out everything up to now."""
    packing, now = line.packing, line.now_ns
    if packing.settling:
        return
    packing.settling = True
    while line.given_up == 0 and line.fault == 0:
        _look(line)
        at = packing.next_at_ns
        if at > now:
            break
        packing.settled_at_ns = at
        if packing.next_what == _FINISH:
            wrapper_moves(line, line.wrappers[packing.next_who])
        elif packing.next_what == _START:
            start_ream(line, line.wrappers[packing.next_who], at)
        else:
            end_of_line.end_moves(line, line.end_of_line[packing.next_who])
    packing.settling = False
    packing.settled_at_ns = now


def _look(line: Line) -> None:
    """What happens next of itself.

    At one moment the end of the line moves first, its last place before the others and the first
    station there, then reams are finished, then reams are begun.
    """
    packing = line.packing
    best, what, who, first = NEVER, _FINISH, 0, -1
    for end in line.end_of_line:
        sooner = end.next_ns < best or (end.next_ns == best and end.first != first)
        if end.busy and not end.stands and sooner:
            best, what, who, first = end.next_ns, _END, end.which, end.first
    idle = False
    for wrapper in line.wrappers:
        if wrapper.busy:
            if wrapper.next_ns < best and not wrapper.stands:
                best, what, who = wrapper.next_ns, _FINISH, wrapper.which
        else:
            idle = True
    if idle:
        ready = head_ready_ns(line)
        if ready < best:
            ready = max(ready, packing.settled_at_ns)
            for wrapper in line.wrappers:
                if not wrapper.busy and may_take(line, wrapper):
                    at = max(ready, wrapper.idle_since_ns)
                    if at < best:
                        best, what, who = at, _START, wrapper.which
    packing.next_at_ns = best
    packing.next_what = what
    packing.next_who = who


def plan_packing(line: Line) -> None:
    """Set the alarm to the earliest moment at which somebody might have to be told."""
    packing, bridge = line.packing, line.bridge
    now, at = line.now_ns, NEVER
    packing.was_idle = False
    shortest = NEVER
    for wrapper in line.wrappers:
        shortest = min(shortest, wrapper.shortest_ns)
        if not wrapper.busy:
            packing.was_idle = True
    _look(line)
    upcoming = packing.next_at_ns
    # Before something else happens, an idle station stays idle.
    soonest = max(now, upcoming)
    for wrapper in line.wrappers:
        if not wrapper.stands and (wrapper.busy or upcoming < NEVER):
            at = min(at, _stops_ns(wrapper, next_due(wrapper) - wrapper.done, soonest))
    for end in line.end_of_line:
        if not end.stands and (end.busy or upcoming < NEVER):
            at = min(at, _stops_ns(end, end_of_line.pieces_left(line, end), soonest))
    if bridge.waited_level != NOBODY_WAITS:
        above = bridge.level - bridge.waited_level
        rounds = max(0, above - 1) // len(line.wrappers)
        first = now if above <= 0 else upcoming
        if first < NEVER:
            at = min(at, first + rounds * shortest)
    set_alarm(line, packing.alarm, max(at, now) if at < NEVER else NEVER)


def _stops_ns(worker: Worker, left: int, soonest_ns: int) -> int:
    """Nothing falls due on it before this, however fast those come that are ``left`` until then."""
    base, run = soonest_ns, worker.run_ns
    if worker.busy:
        if worker.next_ns < worker.ends_ns:
            return worker.next_ns
        base = worker.ends_ns
        run += worker.ends_ns - worker.began_ns
        left -= 1
    by_time = base + max(0, worker.running_due_ns - run)
    return min(by_time, base + times(max(0, left), worker.shortest_ns))


def packing_rings(line: Line) -> None:
    """Somebody might have to be told."""
    move_on(line)
    bridge = line.bridge
    if bridge.waited_level != NOBODY_WAITS and bridge.level <= bridge.waited_level:
        bridge.waited_level = NOBODY_WAITS
        told.level_fell(line)
    plan_packing(line)


def arrived(line: Line) -> None:
    """Reams were put down, or the belt moves again.

    Where all wrappers are busy, that changes nothing yet.
    """
    if line.packing.was_idle or line.packing.needs_level:
        move_on(line)
        plan_packing(line)


def packing_is_empty(line: Line) -> bool:
    """No ream is on the bridge or in a wrapper."""
    settle_packing(line)
    for wrapper in line.wrappers:
        if wrapper.busy or wrapper.holding:
            return False
    return line.bridge.level == 0


def wrapper_paused(line: Line, wrapper: Wrapper) -> None:
    """It stands: the rule may give its reams to another."""
    interrupt(line, wrapper)
    if not line.packing.settling:
        plan_packing(line)


def wrapper_resumed(line: Line, wrapper: Wrapper) -> None:
    go_on(line, wrapper)
    plan_packing(line)


def end_paused(line: Line, end: EndStation) -> None:
    told.end_pauses(line, end)
    interrupt(line, end)


def end_resumed(line: Line, end: EndStation) -> None:
    go_on(line, end)
    end_of_line.end_takes(line, end, line.now_ns)
    end_of_line.room_before(line, end.first, line.now_ns)
    plan_packing(line)
