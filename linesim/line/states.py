"""What the accounts are told: each station's state, and whom it waits for."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
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
from linesim.line.history import note3
from linesim.line.line import Line, Site
from linesim.line.machine import BY_LEVEL, ON_WEBS, own_root, show_stop
from linesim.line.packing import keeps_from
from linesim.line.stand import left_um
from linesim.line.transfer import AT_BRIDGE
from linesim.line.web_motion import standing
from linesim.line.wrapper import Wrapper
from linesim.record.states import TRANSFER_PACE, Kind
from linesim.scenario import WEB_STATIONS

CUTTER = WEB_STATIONS.index("cutter")


@dataclass(slots=True)
class WebCauses:
    """Numbers of the causes for which webs are slower than rated, or wait."""

    run_up: int
    level: int
    splice: int
    pace: int
    pockets_full: int


def new_web_causes(site: Site) -> WebCauses:
    """The first causes of all."""
    number = site.causes.number
    return WebCauses(
        run_up=number("run-up", Kind.RATE),
        level=number("bridge level", Kind.RATE),
        splice=number("splice", Kind.SET_UP),
        pace=number(TRANSFER_PACE, Kind.RATE),
        pockets_full=number("pockets full", Kind.RATE),
    )


def show_webs(line: Line) -> None:
    """Enter the states of all stations on the webs."""
    root = _find_root(line)
    line.webs.root = root
    motion, now = line.webs.motion, line.now_ns
    if not standing(line):
        full = motion.change == 0.0 and motion.speed >= line.goods.speed
        state = RUNNING if full else SLOWED
        cause = NO_CAUSE if full else _slow_cause(line)
        for station in range(ON_WEBS):
            enter(line, station, now, state, cause, NO_ROOT)
    elif len(line.webs.holds) > 0:
        _show_standing(line, root)
    note_reels(line)


def _show_standing(line: Line, root: int) -> None:
    holds, now = line.webs.holds, line.now_ns
    for hold in holds:
        if hold.state == PLANNED:
            for station in range(ON_WEBS):
                enter(line, station, now, PLANNED, hold.cause, NO_ROOT)
            return
    first = holds[0]
    for station in range(ON_WEBS):
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
        return root_at(CUTTER, _slow_cause(line))
    if len(line.webs.holds) == 0:
        return root_at(CUTTER, NO_CAUSE)
    first = line.webs.holds[0]
    if first.state == BLOCKED:
        return _root_beyond(line)
    return root_at(max(first.station, 0), first.cause)


def _root_beyond(line: Line) -> int:
    """What holds up the end of the webs."""
    transfer = line.transfer
    if transfer.stands:
        return own_root(transfer)
    if len(line.webs.holds) > 0 and line.webs.holds[0].what == BY_LEVEL:
        return root_of_packing(line)
    if transfer.phase == AT_BRIDGE:
        return root_of_packing(line)
    return root_at(transfer.station, transfer.cannot)


def _slow_cause(line: Line) -> int:
    all_webs, causes, goods = line.webs, line.webs.why, line.goods
    if len(all_webs.holds) > 0:
        return all_webs.holds[0].cause
    if all_webs.motion.change > 0:
        return causes.run_up
    if told.splicing(line):
        return causes.splice
    by_level = all_webs.slow and told.level_speed(line) < goods.pace
    if all_webs.motion.change < 0 or by_level:
        return causes.level
    return causes.pace if goods.pace < goods.speed else NO_CAUSE


def note_reels(line: Line) -> None:
    """Note which reels came into use or lost paper."""
    if not line.keeps:
        return
    for stand in line.webs.unwind.stands:
        if stand.end_um != stand.shown_end_um:
            stand.shown_end_um = stand.end_um
            note3(line, line.history.reels, line.now_ns, stand.web, left_um(line, stand))


def wrapper_runs(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """It takes a ream; until now it may have waited."""
    if line.accounts.of[wrapper.station].state != RUNNING:
        run(line, wrapper.station, at_ns)
    elif at_ns > wrapper.idle_since_ns:
        root = _root_of_starved(line, wrapper)
        wait_between(line, wrapper.station, wrapper.idle_since_ns, at_ns, root)


def wrapper_starves(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """It has nothing to wrap."""
    root = _root_of_starved(line, wrapper)
    wait(line, wrapper.station, at_ns, STARVED, root)


def wrapper_is_blocked(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """Its wrapped ream finds no place on the outfeed."""
    root = _root_of_blocked(line)
    wait(line, wrapper.station, at_ns, BLOCKED, root)


def outfeed_runs(line: Line, at_ns: int) -> None:
    """It takes a ream; until now it has waited."""
    outfeed = line.outfeed
    if line.accounts.of[outfeed.station].state > SLOWED:
        run(line, outfeed.station, at_ns)
    elif at_ns > outfeed.idle_since_ns + line.packing.pace_ns:
        _outfeed_starves(line, outfeed.idle_since_ns)
        run(line, outfeed.station, at_ns)
    else:
        _outfeed_waits(line, outfeed.idle_since_ns, at_ns - outfeed.idle_since_ns)


def outfeed_pauses(line: Line) -> None:
    """It stands, or its account is closed: a wait for a ream is over."""
    outfeed = line.outfeed
    if not outfeed.busy and line.accounts.of[outfeed.station].state <= SLOWED:
        _outfeed_waits(line, outfeed.idle_since_ns, line.now_ns - outfeed.idle_since_ns)


def note_idle(line: Line, now_ns: int) -> None:
    """Note who has run out of work."""
    for wrapper in line.wrappers:
        if wrapper.busy or wrapper.stands or wrapper.holding:
            continue
        ran = line.accounts.of[wrapper.station].state == RUNNING
        if ran and wrapper.idle_since_ns < now_ns:
            wrapper_starves(line, wrapper, wrapper.idle_since_ns)
    outfeed = line.outfeed
    if not line.has_outfeed or outfeed.busy or outfeed.stands:
        return
    ran = line.accounts.of[outfeed.station].state <= SLOWED
    if ran and outfeed.idle_since_ns + line.packing.pace_ns < now_ns:
        _outfeed_starves(line, outfeed.idle_since_ns)


def show_packing(line: Line) -> None:
    """Enter the states of all stations behind the bridge."""
    now = line.now_ns
    note_idle(line, now)
    for wrapper in line.wrappers:
        if show_stop(line, wrapper):
            continue
        if wrapper.holding:
            wrapper_is_blocked(line, wrapper, now)
        elif wrapper.busy:
            run(line, wrapper.station, now)
        elif line.accounts.of[wrapper.station].state != RUNNING:
            wrapper_starves(line, wrapper, now)
    outfeed = line.outfeed
    if not line.has_outfeed or show_stop(line, outfeed):
        return
    if line.accounts.of[outfeed.station].state > SLOWED:
        if outfeed.busy:
            run(line, outfeed.station, now)
        else:
            _outfeed_starves(line, now)


def root_of_packing(line: Line) -> int:
    """Whom the transfer waits for when the bridge has no room."""
    if line.bridge.stands:
        return own_root(line.bridge)
    for wrapper in line.wrappers:
        if wrapper.stands:
            return own_root(wrapper)
    for wrapper in line.wrappers:
        if wrapper.holding:
            return _root_of_blocked(line)
    return root_at(line.wrappers[0].station, NO_CAUSE)


def _root_of_blocked(line: Line) -> int:
    if line.outfeed.stands:
        return own_root(line.outfeed)
    return root_at(line.outfeed.station, NO_CAUSE)


def _root_of_starved(line: Line, wrapper: Wrapper) -> int:
    if line.bridge.stands:
        return own_root(line.bridge)
    if keeps_from(line, wrapper):
        return root_at(line.wrappers[0].station, NO_CAUSE)
    if line.bridge.level > 0:
        account = line.accounts.of[wrapper.station]
        if account.state == STARVED and line.accounts.kinds[cause_of(account.root)] != RATE:
            return account.root
    return _root_before_bridge(line)


def _root_of_idle_outfeed(line: Line) -> int:
    for wrapper in line.wrappers:
        if wrapper.stands:
            return own_root(wrapper)
    if line.bridge.stands:
        return own_root(line.bridge)
    return _root_before_bridge(line)


def _root_before_bridge(line: Line) -> int:
    if line.transfer.stands:
        return own_root(line.transfer)
    return line.webs.root


def _outfeed_starves(line: Line, at_ns: int) -> None:
    root = _root_of_idle_outfeed(line)
    wait(line, line.outfeed.station, at_ns, STARVED, root)


def _outfeed_waits(line: Line, start_ns: int, waited_ns: int) -> None:
    if waited_ns > 0:
        root = root_at(line.wrappers[0].station, NO_CAUSE)
        wait_at_pace(line, line.outfeed.station, start_ns, waited_ns, root)
