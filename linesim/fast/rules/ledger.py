"""Compiled: the accounts of the stations, as in ``record.ledger``."""

from __future__ import annotations

from linesim.fast.layout import (
    BACKWARDS,
    CAUSE_NUMBERS,
    COUNT_STATE,
    LOSSES,
    ROOT_STATIONS,
    STATE_NUMBERS,
    SUMS,
    TOO_MANY_SUMS,
)
from linesim.fast.parts import part
from linesim.fast.rules.states import (
    BLOCKED,
    BREAKDOWN_LOSS,
    CALENDAR,
    MINOR_LOSS,
    PLANNED,
    PLANNED_LOSS,
    PRODUCING_LOSS,
    RUNNING,
    SET_UP,
    SET_UP_LOSS,
    SLOWED,
    STARVED,
    STOP,
)


@part
def slot(s, station, state, cause, root_station, root_cause):
    """For compiled code: the row of a key in the table that stands for ``Ledger.sums``."""
    key = (station * STATE_NUMBERS + state) * CAUSE_NUMBERS + cause
    key = (key * ROOT_STATIONS + root_station + 1) * CAUSE_NUMBERS
    key += root_cause + 2  # above 0: 0 marks an empty place
    i = ((key * 7046029254386353131) >> 20) & (SUMS - 1)
    tries = 0
    while s.l_key[i] != key:
        if s.l_key[i] == 0:
            s.l_key[i] = key
            return i
        i = (i + 1) & (SUMS - 1)
        tries += 1
        if tries > SUMS // 2:
            s.fault = TOO_MANY_SUMS
            return i
    return i


@part
def count_stop(s, station, cause):
    """Follows ``Ledger.count_stop``."""
    s.l_sum[slot(s, station, COUNT_STATE, cause, -1, -1)] += 1


@part
def _lose(s, station, length):
    """Follows ``Ledger._lose``."""
    state = s.l_state[station]
    if state == PLANNED:
        s.l_losses[station, PLANNED_LOSS] += length
        return
    if s.l_on[station] == 0:
        s.l_on[station] = 1
        s.l_stood[station] = 0
        s.l_stopped[station] = 0
    s.l_stood[station] += length
    waits = state in (STARVED, BLOCKED)
    cause = s.l_cause[station]
    if waits and s.l_rc[station] >= 0:
        cause = s.l_rc[station]
    kind = s.l_kind[cause]
    if kind == STOP:
        s.l_stopped[station] += length
    elif kind == SET_UP:
        s.l_losses[station, SET_UP_LOSS] += length
    elif kind == CALENDAR and waits:
        s.l_losses[station, PLANNED_LOSS] += length
    else:
        s.l_losses[station, MINOR_LOSS] += length


@part
def _stood(s, station):
    """Follows ``Ledger._stood``."""
    if s.l_on[station] != 0:
        loss = BREAKDOWN_LOSS if s.l_stood[station] >= s.minor_ns else MINOR_LOSS
        s.l_losses[station, loss] += s.l_stopped[station]
    s.l_on[station] = 0


@part
def _close(s, station, at):
    """Follows ``Ledger._close`` and ``Ledger._split``."""
    length = at - s.l_since[station]
    if length == 0:
        return
    if length < 0:
        s.fault = BACKWARDS
        return
    state = s.l_state[station]
    cause, rs, rc = s.l_cause[station], s.l_rs[station], s.l_rc[station]
    if state == SLOWED and rs >= 0:
        waited = s.l_paced[station]
        s.l_paced[station] = 0
        if length > waited:
            s.l_sum[slot(s, station, RUNNING, 0, -1, -1)] += length - waited
        if waited:
            s.l_sum[slot(s, station, STARVED, cause, rs, rc)] += waited
        s.l_losses[station, PRODUCING_LOSS] -= waited
        s.l_losses[station, MINOR_LOSS] += waited
    else:
        s.l_sum[slot(s, station, state, cause, rs, rc)] += length
    if state <= SLOWED:
        s.l_losses[station, PRODUCING_LOSS] += length
    else:
        _lose(s, station, length)


@part
def enter(s, station, at, state, cause, root_station, root_cause):
    """Follows ``Ledger.enter``."""
    if (
        s.l_state[station] == state
        and s.l_cause[station] == cause
        and s.l_rs[station] == root_station
        and s.l_rc[station] == root_cause
    ):
        return
    _close(s, station, at)
    old = s.l_state[station]
    if state > SLOWED and old <= SLOWED:
        s.l_on[station] = 1
        s.l_stood[station] = 0
        s.l_stopped[station] = 0
    elif state <= SLOWED and old > SLOWED:
        _stood(s, station)
    s.l_state[station] = state
    s.l_cause[station] = cause
    s.l_rs[station] = root_station
    s.l_rc[station] = root_cause
    s.l_since[station] = at


@part
def wait_at_pace(s, station, start, waited, root_station, root_cause):
    """Follows ``Ledger.wait_at_pace``."""
    if s.l_state[station] != SLOWED:
        enter(s, station, start, SLOWED, root_cause, root_station, root_cause)
    s.l_paced[station] += waited


@part
def gap(s, station, start, end, state, root_station, root_cause):
    """Follows ``Ledger.gap``."""
    since = s.l_since[station]
    ran, waited = start - since, end - start
    if ran < 0 or waited < 0:
        s.fault = BACKWARDS
        return
    s.l_sum[slot(s, station, RUNNING, 0, -1, -1)] += ran
    s.l_sum[slot(s, station, state, root_cause, root_station, root_cause)] += waited
    s.l_losses[station, PRODUCING_LOSS] += ran
    loss = s.l_waiting[root_cause]
    if loss < 0:
        loss = BREAKDOWN_LOSS if waited >= s.minor_ns else MINOR_LOSS
    s.l_losses[station, loss] += waited
    s.l_since[station] = end


@part
def close_all(s, at):
    """Follows ``Ledger.close``."""
    for station in range(s.stations):
        _close(s, station, at)
        s.l_since[station] = at
        if s.l_state[station] > SLOWED:
            _stood(s, station)
            s.l_on[station] = 1
            s.l_stood[station] = 0
            s.l_stopped[station] = 0


@part
def forget(s):
    """Follows ``Ledger.forget``."""
    for i in range(SUMS):
        s.l_key[i] = 0
        s.l_sum[i] = 0
    for station in range(s.stations):
        for loss in range(LOSSES):
            s.l_losses[station, loss] = 0
