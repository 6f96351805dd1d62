"""Compiled: states and roots behind the bridge, as in ``line.packing_states``."""

from __future__ import annotations

from linesim.fast.layout import HOT_STANDBY, SECOND_ABOVE_LEVEL
from linesim.fast.parts import part
from linesim.fast.rules.ledger import enter, gap, wait_at_pace
from linesim.fast.rules.machine import own_root, show_stop, stands
from linesim.fast.rules.states import BLOCKED, RATE, RUNNING, SLOWED, STARVED
from linesim.fast.rules.stations import (
    BRIDGE,
    TRANSFER,
    WEBS_N,
    WRAPPER,
    cause_of,
    outfeed_machine,
    root_at,
    station_of,
)


@part
def root_of_blocked(s):
    """Follows ``PackingStates._root_of_blocked``."""
    o = outfeed_machine(s)
    if stands(s, o):
        return own_root(s, o)
    return root_at(WEBS_N + o, 0)


@part
def root_of_packing(s):
    """Follows ``PackingStates.root``."""
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            return own_root(s, WRAPPER + w)
    for w in range(s.k_n):
        if s.k_holding[w]:
            return root_of_blocked(s)
    return root_at(WEBS_N + WRAPPER, 0)


@part
def _root_before_bridge(s):
    """Follows ``Line._before_bridge``."""
    if stands(s, TRANSFER):
        return own_root(s, TRANSFER)
    return root_at(s.w_root_s, s.w_root_c)


@part
def root_of_starved(s, w):
    """Follows ``PackingStates._root_of_starved`` and ``Divert.keeps_from``."""
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    if w > 0 and not stands(s, WRAPPER):
        below = s.k_rule == SECOND_ABOVE_LEVEL and 0 < s.b_level < s.k_second_at
        kept = below or s.k_rule == HOT_STANDBY
    else:
        kept = False
    if kept:
        return root_at(WEBS_N + WRAPPER, 0)
    if s.b_level > 0:
        station = WEBS_N + WRAPPER + w
        if s.l_state[station] == STARVED and s.l_kind[s.l_rc[station]] != RATE:
            return root_at(s.l_rs[station], s.l_rc[station])
    return _root_before_bridge(s)


@part
def _root_of_idle_outfeed(s):
    """Follows ``PackingStates._root_of_idle_outfeed``."""
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            return own_root(s, WRAPPER + w)
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    return _root_before_bridge(s)


@part
def wrapper_runs(s, w, at):
    """Follows ``PackingStates.wrapper_runs``."""
    station = WEBS_N + WRAPPER + w
    if s.l_state[station] != RUNNING:
        enter(s, station, at, RUNNING, 0, -1, -1)
    elif at > s.k_idle_since[w]:
        root = root_of_starved(s, w)
        gap(s, station, s.k_idle_since[w], at, STARVED, station_of(root), cause_of(root))


@part
def _outfeed_starves(s, at):
    """Follows ``PackingStates._outfeed_starves``."""
    station = WEBS_N + outfeed_machine(s)
    root = _root_of_idle_outfeed(s)
    enter(s, station, at, STARVED, cause_of(root), station_of(root), cause_of(root))


@part
def _outfeed_waits(s, start, waited):
    """Follows ``PackingStates._outfeed_waits``."""
    if waited > 0:
        wait_at_pace(s, WEBS_N + outfeed_machine(s), start, waited, WEBS_N + WRAPPER, 0)


@part
def outfeed_runs(s, at):
    """Follows ``PackingStates.outfeed_runs``."""
    station = WEBS_N + outfeed_machine(s)
    if s.l_state[station] > SLOWED:
        enter(s, station, at, RUNNING, 0, -1, -1)
    elif at > s.o_idle_since + s.k_pace:
        _outfeed_starves(s, s.o_idle_since)
        enter(s, station, at, RUNNING, 0, -1, -1)
    else:
        _outfeed_waits(s, s.o_idle_since, at - s.o_idle_since)


@part
def outfeed_runs_through(s, first, count, cycle):
    """Follows ``PackingStates.outfeed_runs_through``."""
    if s.o_busy:
        _outfeed_waits(s, s.o_ends, first - s.o_ends)
    else:
        outfeed_runs(s, first)
    _outfeed_waits(s, first + s.o_cycle, (count - 1) * (cycle - s.o_cycle))


@part
def outfeed_pauses(s):
    """Follows ``PackingStates.outfeed_pauses``."""
    if s.o_busy == 0 and s.l_state[WEBS_N + outfeed_machine(s)] <= SLOWED:
        _outfeed_waits(s, s.o_idle_since, s.moment - s.o_idle_since)


@part
def note_idle(s, now):
    """Follows ``PackingStates.note_idle``."""
    for w in range(s.k_n):
        if s.k_busy[w] or stands(s, WRAPPER + w) or s.k_holding[w] or s.k_idle_since[w] >= now:
            continue
        station = WEBS_N + WRAPPER + w
        if s.l_state[station] == RUNNING:
            root = root_of_starved(s, w)
            enter(
                s,
                station,
                s.k_idle_since[w],
                STARVED,
                cause_of(root),
                station_of(root),
                cause_of(root),
            )
    if s.o_there == 0 or s.o_busy or stands(s, outfeed_machine(s)):
        return
    if s.o_idle_since + s.k_pace >= now:
        return
    station = WEBS_N + outfeed_machine(s)
    if s.l_state[station] <= SLOWED:
        _outfeed_starves(s, s.o_idle_since)


@part
def show_packing(s):
    """Follows ``PackingStates.show``."""
    now = s.moment
    note_idle(s, now)
    for w in range(s.k_n):
        if show_stop(s, WRAPPER + w):
            continue
        station = WEBS_N + WRAPPER + w
        if s.k_holding[w]:
            root = root_of_blocked(s)
            enter(s, station, now, BLOCKED, cause_of(root), station_of(root), cause_of(root))
        elif s.k_busy[w]:
            enter(s, station, now, RUNNING, 0, -1, -1)
        elif s.l_state[station] != RUNNING:
            root = root_of_starved(s, w)
            enter(s, station, now, STARVED, cause_of(root), station_of(root), cause_of(root))
    if s.o_there == 0 or show_stop(s, outfeed_machine(s)):
        return
    station = WEBS_N + outfeed_machine(s)
    if s.l_state[station] <= SLOWED:
        return
    if s.o_busy:
        enter(s, station, now, RUNNING, 0, -1, -1)
    else:
        _outfeed_starves(s, now)
