"""Compiled: states and roots of the webs, as in ``line.web_states``."""

from __future__ import annotations

from linesim.fast.layout import LEVEL
from linesim.fast.parts import part
from linesim.fast.rules.holds import hold_cause, hold_state, hold_station
from linesim.fast.rules.ledger import enter
from linesim.fast.rules.machine import own_root, stands
from linesim.fast.rules.packing_states import root_of_packing
from linesim.fast.rules.states import BLOCKED, PLANNED, RUNNING, SLOWED, STARVED
from linesim.fast.rules.stations import (
    AT_BRIDGE,
    CUTTER,
    TRANSFER,
    WEBS_N,
    cause_of,
    root_at,
    station_of,
)
from linesim.fast.rules.web_motion import standing
from linesim.fast.rules.webs import splicing


@part
def _root_beyond_webs(s):
    """Follows ``Line._beyond_webs``."""
    if stands(s, TRANSFER):
        return own_root(s, TRANSFER)
    if s.w_holds_n > 0 and s.w_holds[0] == LEVEL:
        return root_of_packing(s)
    if s.t_phase == AT_BRIDGE:
        return root_of_packing(s)
    return root_at(WEBS_N + TRANSFER, s.t_cannot)


@part
def _slow_cause(s):
    """Follows ``WebStates._slow_cause``."""
    if s.w_holds_n > 0:
        return hold_cause(s, s.w_holds[0])
    if s.w_change > 0:
        return s.w_run_up
    if splicing(s):
        return s.w_by_splice
    if s.w_change < 0 or (s.w_slow and s.speed * s.w_slow_to < s.pace):
        return s.w_by_level
    return s.w_by_pace if s.pace < s.speed else 0


@part
def _find_root(s):
    """Follows ``WebStates._find_root``."""
    if not standing(s):
        return root_at(CUTTER, _slow_cause(s))
    if s.w_holds_n == 0:
        return root_at(CUTTER, 0)
    first = s.w_holds[0]
    if hold_state(s, first) == BLOCKED:
        return _root_beyond_webs(s)
    return root_at(max(hold_station(s, first), 0), hold_cause(s, first))


@part
def show_webs(s):
    """Follows ``WebStates.show``."""
    root = _find_root(s)
    s.w_root_s, s.w_root_c = station_of(root), cause_of(root)
    now = s.moment
    if not standing(s):
        full = s.w_change == 0.0 and s.w_speed >= s.speed
        state = RUNNING if full else SLOWED
        cause = 0 if full else _slow_cause(s)
        for station in range(WEBS_N):
            enter(s, station, now, state, cause, -1, -1)
        return
    if s.w_holds_n == 0:
        return
    for i in range(s.w_holds_n):
        if hold_state(s, s.w_holds[i]) == PLANNED:
            for station in range(WEBS_N):
                enter(s, station, now, PLANNED, hold_cause(s, s.w_holds[i]), -1, -1)
            return
    first = s.w_holds[0]
    blocked = hold_state(s, first) == BLOCKED
    at = hold_station(s, first)
    rs, rc = s.w_root_s, s.w_root_c
    for station in range(WEBS_N):
        own = -1
        for i in range(s.w_holds_n):
            if hold_station(s, s.w_holds[i]) == station:
                own = s.w_holds[i]
                break
        if own >= 0:
            enter(s, station, now, hold_state(s, own), hold_cause(s, own), -1, -1)
        elif blocked or station < at:
            enter(s, station, now, BLOCKED, rc, rs, rc)
        else:
            enter(s, station, now, STARVED, rc, rs, rc)
