"""What the accounts are told: each station's state, and whom it waits for."""

from __future__ import annotations

from linesim.line import machine
from linesim.line.accounts import (
    BLOCKED,
    NO_CAUSE,
    NO_ROOT,
    PLANNED,
    RATE,
    RUNNING,
    SLOWED,
    STARVED,
    cause_of,
    enter,
    root_at,
    run,
    wait,
    wait_at_pace,
    wait_between,
)
from linesim.line.end_of_line import is_ready
from linesim.line.end_station import EndStation
from linesim.line.hand_ramp import keeps_to_ramp
from linesim.line.history import note
from linesim.line.line import Line
from linesim.line.packing import keeps_from
from linesim.line.stand import left_um
from linesim.line.transfer import AT_BRIDGE
from linesim.line.unwind import splicing
from linesim.line.web_motion import standing
from linesim.line.webs import level_speed
from linesim.line.wrapper import Wrapper


def show_webs(line: Line) -> None:
    """Enter the states of all stations on the webs."""
    root = _find_root(line)
    line.webs.root = root
    motion, now = line.webs.motion, line.now_ns
    if not standing(line):
        full = motion.change == 0.0 and motion.speed >= line.goods.speed
        state = RUNNING if full else SLOWED
        cause = NO_CAUSE if full else _slow_cause(line)
        for station in range(machine.ON_WEBS):
            enter(line, station, now, state, cause, NO_ROOT)
    elif len(line.webs.holds) > 0:
        _show_standing(line, root)
    note_reels(line)


def _show_standing(line: Line, root: int) -> None:
    holds, now = line.webs.holds, line.now_ns
    for hold in holds:
        if hold.state == PLANNED:
            for station in range(machine.ON_WEBS):
                enter(line, station, now, PLANNED, hold.cause, NO_ROOT)
            return
    first = holds[0]
    for station in range(machine.ON_WEBS):
        own = first
        for hold in holds:
            if hold.station == station:
                own = hold
                break
        if own.station == station:
            enter(line, station, now, own.state, own.cause, NO_ROOT)
        elif first.state == BLOCKED or station < first.station:
            wait(line, station, now, BLOCKED, root)
        else:
            wait(line, station, now, STARVED, root)


def _find_root(line: Line) -> int:
    """Station and cause that whoever waits for the webs is really waiting for."""
    if not standing(line):
        return root_at(machine.CUTTER, _slow_cause(line))
    if len(line.webs.holds) == 0:
        return root_at(machine.CUTTER, NO_CAUSE)
    first = line.webs.holds[0]
    if first.state == BLOCKED:
        return _root_beyond(line)
    return root_at(max(first.station, 0), first.cause)


def _root_beyond(line: Line) -> int:
    """What holds up the end of the webs."""
    transfer = line.transfer
    if transfer.stands:
        return machine.own_root(transfer)
    if len(line.webs.holds) > 0 and line.webs.holds[0].what == machine.BY_LEVEL:
        return root_of_packing(line)
    if transfer.phase == AT_BRIDGE:
        return root_of_packing(line)
    return root_at(transfer.station, transfer.cannot)


def _slow_cause(line: Line) -> int:
    all_webs, causes, goods = line.webs, line.webs.why, line.goods
    if len(all_webs.holds) > 0:
        return all_webs.holds[0].cause
    if keeps_to_ramp(line):
        return all_webs.ramp.cause
    if all_webs.motion.change > 0 and not all_webs.follows:
        return causes.run_up
    if splicing(line):
        return causes.splice
    by_level = all_webs.slow and level_speed(line) < goods.pace
    if all_webs.motion.change != 0 or by_level:
        return causes.level
    return causes.pace if goods.pace < goods.speed else NO_CAUSE


def note_reels(line: Line) -> None:
    """Note which reels came into use or lost paper."""
    if not line.keeps:
        return
    for stand in line.webs.unwind.stands:
        if stand.end_um != stand.shown_end_um:
            stand.shown_end_um = stand.end_um
            note(line, line.history.reels, line.now_ns, stand.web, left_um(line, stand))


def wrapper_runs(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """It takes a ream; until now it may have waited."""
    if line.accounts.of[wrapper.station].state != RUNNING:
        run(line, wrapper.station, at_ns)
    elif at_ns > wrapper.idle_since_ns:
        root = _root_of_starved(line, wrapper)
        wait_between(line, wrapper.station, wrapper.idle_since_ns, at_ns, root)


def wrapper_starves(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    wait(line, wrapper.station, at_ns, STARVED, _root_of_starved(line, wrapper))


def is_blocked(line: Line, worker: machine.Worker, behind: int, at_ns: int) -> None:
    """What it has finds no place on the so-manieth station behind the wrappers, or beyond all.

    Of several at a place, that is the first.
    """
    wait(line, worker.station, at_ns, BLOCKED, _root_of_blocked(line, behind))


def end_runs(line: Line, end: EndStation, at_ns: int) -> None:
    """It takes a ream; until now it has waited."""
    if line.accounts.of[end.station].state > SLOWED:
        run(line, end.station, at_ns)
    elif at_ns > end.idle_since_ns + end.pace_ns:
        _end_starves(line, end, end.idle_since_ns)
        run(line, end.station, at_ns)
    else:
        _end_waits(line, end, end.idle_since_ns, at_ns - end.idle_since_ns)


def end_pauses(line: Line, end: EndStation) -> None:
    """It stands, or its account is closed: a wait for a ream is over."""
    if not end.busy and line.accounts.of[end.station].state <= SLOWED:
        _end_waits(line, end, end.idle_since_ns, line.now_ns - end.idle_since_ns)


def end_goes_on(line: Line, end: EndStation, at_ns: int) -> None:
    """Its ream has found a place: it takes the next, or waits for one."""
    if is_ready(line, end):
        run(line, end.station, at_ns)
    else:
        _end_starves(line, end, at_ns)


def note_idle(line: Line, now_ns: int) -> None:
    """Note who has run out of work."""
    for wrapper in line.wrappers:
        ran = line.accounts.of[wrapper.station].state == RUNNING
        if ran and machine.is_idle(wrapper) and wrapper.idle_since_ns < now_ns:
            wrapper_starves(line, wrapper, wrapper.idle_since_ns)
    for end in line.end_of_line:
        ran = line.accounts.of[end.station].state <= SLOWED
        if ran and machine.is_idle(end) and end.idle_since_ns + end.pace_ns < now_ns:
            _end_starves(line, end, end.idle_since_ns)


def show_packing(line: Line) -> None:
    """Enter the states of all stations behind the bridge."""
    now = line.now_ns
    note_idle(line, now)
    for wrapper in line.wrappers:
        if machine.show_stop(line, wrapper):
            continue
        if wrapper.holding:
            is_blocked(line, wrapper, 0, now)
        elif wrapper.busy:
            run(line, wrapper.station, now)
        elif line.accounts.of[wrapper.station].state != RUNNING:
            wrapper_starves(line, wrapper, now)
    for end in line.end_of_line:
        if machine.show_stop(line, end):
            continue
        if end.holding:
            is_blocked(line, end, end.behind, now)
        elif line.accounts.of[end.station].state > SLOWED:
            if end.busy:
                run(line, end.station, now)
            else:
                _end_starves(line, end, now)


def root_of_packing(line: Line) -> int:
    """Whom the transfer waits for when the bridge has no room."""
    if line.bridge.stands:
        return machine.own_root(line.bridge)
    for wrapper in line.wrappers:
        if wrapper.stands:
            return machine.own_root(wrapper)
    for wrapper in line.wrappers:
        if wrapper.holding:
            return _root_of_blocked(line, 0)
    return root_at(line.wrappers[0].station, NO_CAUSE)


def _root_of_blocked(line: Line, first: int) -> int:
    """What keeps the stations at a place behind the wrappers from taking reams, or beyond it."""
    last = len(line.end_of_line)
    while first < last:
        held = False
        for which in range(first, line.end_of_line[first].behind):
            if line.end_of_line[which].stands:
                return machine.own_root(line.end_of_line[which])
            held = held or line.end_of_line[which].holding
        if not held:
            return root_at(line.end_of_line[first].station, NO_CAUSE)
        first = line.end_of_line[first].behind
    return root_at(line.end_of_line[last - 1].station, line.pallets.waits_cause)


def _root_of_starved(line: Line, wrapper: Wrapper) -> int:
    if line.bridge.stands:
        return machine.own_root(line.bridge)
    if keeps_from(line, wrapper):
        return root_at(line.wrappers[0].station, NO_CAUSE)
    if line.bridge.level > 0:
        account = line.accounts.of[wrapper.station]
        if account.state == STARVED and line.accounts.kinds[cause_of(account.root)] != RATE:
            return account.root
    return _root_before_bridge(line)


def _root_of_idle_end(line: Line, end: EndStation) -> int:
    for i in range(end.first - 1, -1, -1):
        if line.end_of_line[i].stands:
            return machine.own_root(line.end_of_line[i])
    for wrapper in line.wrappers:
        if wrapper.stands:
            return machine.own_root(wrapper)
    if line.bridge.stands:
        return machine.own_root(line.bridge)
    return _root_before_bridge(line)


def _root_before_bridge(line: Line) -> int:
    if line.transfer.stands:
        return machine.own_root(line.transfer)
    return line.webs.root


def _end_starves(line: Line, end: EndStation, at_ns: int) -> None:
    wait(line, end.station, at_ns, STARVED, _root_of_idle_end(line, end))


def _end_waits(line: Line, end: EndStation, start_ns: int, waited_ns: int) -> None:
    if waited_ns > 0:
        wait_at_pace(line, end.station, start_ns, waited_ns, root_at(end.paced_by, NO_CAUSE))
