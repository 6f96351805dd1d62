"""Compiled: the transfer. Follows ``line.transfer``."""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined"
from __future__ import annotations

from linesim.fast.accounts import BLOCKED, RUNNING, STARVED, draw, enter, gap, set_alarm
from linesim.fast.calling import set_taken, settle, show
from linesim.fast.layout import REAMS, RUNNING_H, TRANSFER_ALARM
from linesim.fast.packing import fall, place_set, room_for, wait_for_level
from linesim.fast.parts import part
from linesim.fast.settling import (
    AT_BRIDGE,
    BRIDGE,
    CARRY,
    HOME,
    PICK,
    PLACE,
    RETURN,
    TRANSFER,
    WEBS_N,
    move_transfer_on,
    settle_transfer,
    stands,
)
from linesim.line.clock import NEVER, Rank

_RANK = Rank.TRANSFER
_STATION = WEBS_N + TRANSFER


@part
def _alarm(s, at):
    set_alarm(s, TRANSFER_ALARM, _RANK, at)


@part
def _go(s, length):
    now = s.moment
    s.t_moves_since = now
    s.t_ends = now + length
    to_stop = s.m_running_due[TRANSFER] - s.t_running_ns
    if to_stop < length:
        _alarm(s, now + max(0, to_stop))
    elif s.t_phase == RETURN and s.t_set_waits == 0:
        _alarm(s, NEVER)
    else:
        _alarm(s, s.t_ends)


@part
def _enter_phase(s, phase):
    s.t_phase = phase
    _go(s, draw(s, s.t_times[phase]))


@part
def transfer_runs(s):
    now = s.moment
    if s.l_state[_STATION] == RUNNING:
        if now > s.t_ends:
            gap(s, _STATION, s.t_ends, now, STARVED, s.w_root_s, s.w_root_c)
    else:
        enter(s, _STATION, now, RUNNING, 0, -1, -1)


@part
def _pick(s):
    s.t_set_waits = 0
    s.t_carried = s.lanes
    transfer_runs(s)
    if s.w_fingers:
        s.t_phase = CARRY
        _go(s, draw(s, s.t_times[PICK]) + draw(s, s.t_times[CARRY]))
        set_taken(s)
    else:
        _enter_phase(s, PICK)


@part
def transfer_set_full(s):
    move_transfer_on(s)
    s.t_set_waits = 1
    if s.t_phase == HOME and not stands(s, TRANSFER):
        _pick(s)
    elif s.t_phase == RETURN and not stands(s, TRANSFER):
        _alarm(s, min(s.a_at[TRANSFER_ALARM], s.t_ends))


@part
def _try_to_place(s):
    blocked = s.l_state[_STATION] == BLOCKED
    if room_for(s, s.t_carried):
        blocked = s.l_state[_STATION] == BLOCKED
        if blocked:
            settle(s)
        _enter_phase(s, PLACE)
        if blocked:
            show(s)
        return
    blocked = s.l_state[_STATION] == BLOCKED
    if not blocked:
        settle(s)
    if not stands(s, BRIDGE):
        wait_for_level(s, s.b_places - s.t_carried)
    if not blocked:
        show(s)


@part
def room(s):
    if s.t_phase == AT_BRIDGE and not stands(s, TRANSFER):
        _try_to_place(s)


@part
def transfer_rings(s):
    move_transfer_on(s)
    now = s.moment
    phase = s.t_phase
    if phase == HOME:
        if s.t_set_waits and not stands(s, TRANSFER):
            _pick(s)
        return
    if now < s.t_ends:
        if fall(s, TRANSFER, RUNNING_H, s.t_running_ns) == 0:
            _go(s, s.t_ends - now)
        return
    if phase == PICK:
        set_taken(s)
        _enter_phase(s, CARRY)
    elif phase == CARRY:
        s.t_phase = AT_BRIDGE
        _try_to_place(s)
    elif phase == PLACE:
        reams = s.t_carried
        s.t_carried = 0
        s.t_reams += reams
        _enter_phase(s, RETURN)
        place_set(s, reams)
        if s.t_reams >= s.m_reams_due[TRANSFER]:
            fall(s, TRANSFER, REAMS, s.t_reams)
    elif phase == RETURN:
        s.t_phase = HOME
        _alarm(s, NEVER)
        if s.t_set_waits and not stands(s, TRANSFER):
            _pick(s)


@part
def transfer_paused(s):
    settle_transfer(s)
    _alarm(s, NEVER)
    moving = s.t_phase != HOME and s.t_phase != AT_BRIDGE
    s.t_rest = s.t_ends - s.moment if moving else 0


@part
def transfer_resumed(s):
    if s.t_phase == HOME:
        s.t_moves_since = s.moment
        if s.t_set_waits:
            _pick(s)
    elif s.t_phase == AT_BRIDGE:
        _try_to_place(s)
    else:
        _go(s, s.t_rest)
