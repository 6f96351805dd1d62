"""Compiled: what the webs stand for, as in ``line.holds``."""

from __future__ import annotations

from linesim.fast.layout import FULL, LEVEL, PAUSE, REEL_STOP
from linesim.fast.parts import part
from linesim.fast.rules.states import BLOCKED, CHANGEOVER, PLANNED, WAITING_PEOPLE, WAITING_REEL
from linesim.line.holds import FULL_HOLD, LEVEL_HOLD


@part
def _bits(mask):
    """For compiled code: how many of them are set."""
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


@part
def hold_station(s, hold):
    """Follows ``Hold.station``."""
    if hold < REEL_STOP:
        return s.s_station[hold]
    if hold < FULL:
        return 0
    if hold == FULL:
        return FULL_HOLD
    return LEVEL_HOLD if hold == LEVEL else -1


@part
def hold_cause(s, hold):
    """Follows ``Hold.cause``."""
    if hold < REEL_STOP:
        return s.s_cause[hold]
    if hold < FULL:
        return s.u_cause
    if hold == FULL:
        return s.w_pockets_full
    return s.v_cause if hold == LEVEL else s.d_cause[hold - PAUSE]


@part
def hold_state(s, hold):
    """Follows ``Hold.state`` and ``ReelStop.state``."""
    if hold < REEL_STOP:
        return s.s_state[hold]
    if hold < FULL:
        i = hold - REEL_STOP
        waiting = s.u_waiting_people[i] | s.u_waiting_reel[i]
        if s.u_begun[i] == 0 or _bits(s.u_left[i]) > _bits(waiting):
            return CHANGEOVER
        return WAITING_PEOPLE if s.u_waiting_people[i] else WAITING_REEL
    return PLANNED if hold >= PAUSE else BLOCKED
