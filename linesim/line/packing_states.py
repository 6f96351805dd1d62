"""What the accounts are told of wrappers and outfeed: their states, and whom they wait for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.accounts import (
    BLOCKED,
    NO_CAUSE,
    NO_ROOT,
    RATE,
    RUNNING,
    SLOWED,
    STARVED,
    cause_of,
    enter,
    root_at,
    wait_at_pace,
    wait_between,
)
from linesim.line.divert import keeps_from
from linesim.line.machine import own_root, show_stop
from linesim.line.wrapper import Wrapper

if TYPE_CHECKING:
    from linesim.line.line import Line


def wrapper_runs(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """It takes a ream; until now it may have waited."""
    if line.accounts.of[wrapper.station].state != RUNNING:
        enter(line, wrapper.station, at_ns, RUNNING, NO_CAUSE, NO_ROOT)
    elif at_ns > wrapper.idle_since_ns:
        root = _root_of_starved(line, wrapper)
        wait_between(line, wrapper.station, wrapper.idle_since_ns, at_ns, root)


def wrapper_starves(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """It has nothing to wrap."""
    root = _root_of_starved(line, wrapper)
    enter(line, wrapper.station, at_ns, STARVED, cause_of(root), root)


def wrapper_is_blocked(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """Its wrapped ream finds no place on the outfeed."""
    root = _root_of_blocked(line)
    enter(line, wrapper.station, at_ns, BLOCKED, cause_of(root), root)


def outfeed_runs(line: Line, at_ns: int) -> None:
    """It takes a ream; until now it has waited."""
    outfeed = line.outfeed
    if line.accounts.of[outfeed.station].state > SLOWED:
        enter(line, outfeed.station, at_ns, RUNNING, NO_CAUSE, NO_ROOT)
    elif at_ns > outfeed.idle_since_ns + line.packing.pace_ns:
        _outfeed_starves(line, outfeed.idle_since_ns)
        enter(line, outfeed.station, at_ns, RUNNING, NO_CAUSE, NO_ROOT)
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
            enter(line, wrapper.station, now, RUNNING, NO_CAUSE, NO_ROOT)
        elif line.accounts.of[wrapper.station].state != RUNNING:
            wrapper_starves(line, wrapper, now)
    outfeed = line.outfeed
    if not line.has_outfeed or show_stop(line, outfeed):
        return
    if line.accounts.of[outfeed.station].state > SLOWED:
        if outfeed.busy:
            enter(line, outfeed.station, now, RUNNING, NO_CAUSE, NO_ROOT)
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
    enter(line, line.outfeed.station, at_ns, STARVED, cause_of(root), root)


def _outfeed_waits(line: Line, start_ns: int, waited_ns: int) -> None:
    if waited_ns > 0:
        root = root_at(line.wrappers[0].station, NO_CAUSE)
        wait_at_pace(line, line.outfeed.station, start_ns, waited_ns, root)
