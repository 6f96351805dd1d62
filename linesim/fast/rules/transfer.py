"""Compiled: the transfer, as in ``line.transfer``."""

from __future__ import annotations

from linesim.fast.layout import REAMS, RUNNING_H, TRANSFER_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.bridge import place_set, room_for, wait_for_level
from linesim.fast.rules.calling import set_taken, settle, show
from linesim.fast.rules.chance import draw
from linesim.fast.rules.clock import RANK_TRANSFER, set_alarm
from linesim.fast.rules.ledger import enter, gap
from linesim.fast.rules.machine import fall, show_stop, stands
from linesim.fast.rules.packing_states import root_of_packing
from linesim.fast.rules.states import BLOCKED, RUNNING, STARVED
from linesim.fast.rules.stations import (
    AT_BRIDGE,
    BRIDGE,
    CARRY,
    HOME,
    PICK,
    PLACE,
    RETURN,
    TRANSFER,
    WEBS_N,
    cause_of,
    station_of,
)
from linesim.line.clock import NEVER

_STATION = WEBS_N + TRANSFER


@part
def _alarm(s, at):
    """For compiled code: sets ``Transfer.alarm``."""
    set_alarm(s, TRANSFER_ALARM, RANK_TRANSFER, at)


@part
def _go(s, length):
    """Follows ``Transfer._go``."""
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
    """Follows ``Transfer._enter``."""
    s.t_phase = phase
    _go(s, draw(s, s.t_times[phase]))


@part
def move_transfer_on(s):
    """Follows ``Transfer._move_on``."""
    now = s.moment
    if stands(s, TRANSFER) or s.t_phase == HOME or s.t_phase == AT_BRIDGE:
        return
    until = min(now, s.t_ends)
    if until > s.t_moves_since:
        s.t_running_ns += until - s.t_moves_since
        s.t_moves_since = until
    if s.t_phase == RETURN and now >= s.t_ends and s.t_set_waits == 0:
        s.t_phase = HOME


@part
def settle_transfer(s):
    """Follows ``Transfer.settle``."""
    move_transfer_on(s)
    if s.t_phase == HOME and not stands(s, TRANSFER) and s.t_ends < s.moment:
        station = WEBS_N + TRANSFER
        if s.l_state[station] == RUNNING:
            enter(s, station, s.t_ends, STARVED, s.w_root_c, s.w_root_s, s.w_root_c)


@part
def show_transfer(s):
    """Follows ``Transfer.show``."""
    if show_stop(s, TRANSFER):
        return
    station, now = WEBS_N + TRANSFER, s.moment
    if s.t_phase == AT_BRIDGE:
        root = root_of_packing(s)
        enter(s, station, now, BLOCKED, cause_of(root), station_of(root), cause_of(root))
    elif s.t_phase == HOME:
        if s.t_ends >= now and s.l_state[station] == RUNNING:
            return
        enter(s, station, now, STARVED, s.w_root_c, s.w_root_s, s.w_root_c)
    else:
        enter(s, station, now, RUNNING, 0, -1, -1)


@part
def transfer_runs(s):
    """Follows ``Transfer._enter_running``."""
    now = s.moment
    if s.l_state[_STATION] == RUNNING:
        if now > s.t_ends:
            gap(s, _STATION, s.t_ends, now, STARVED, s.w_root_s, s.w_root_c)
    else:
        enter(s, _STATION, now, RUNNING, 0, -1, -1)


@part
def _pick(s):
    """Follows ``Transfer._pick``."""
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
    """Follows ``Transfer.set_full``."""
    move_transfer_on(s)
    s.t_set_waits = 1
    if s.t_phase == HOME and not stands(s, TRANSFER):
        _pick(s)
    elif s.t_phase == RETURN and not stands(s, TRANSFER):
        _alarm(s, min(s.a_at[TRANSFER_ALARM], s.t_ends))


@part
def _try_to_place(s):
    """Follows ``Transfer._try_to_place`` and ``Bridge.tell_when_room``."""
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
    """Follows ``Transfer.room``."""
    if s.t_phase == AT_BRIDGE and not stands(s, TRANSFER):
        _try_to_place(s)


@part
def transfer_rings(s):
    """Follows ``Transfer._rung``."""
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
    """Follows ``Transfer._paused``."""
    settle_transfer(s)
    _alarm(s, NEVER)
    moving = s.t_phase != HOME and s.t_phase != AT_BRIDGE
    s.t_rest = s.t_ends - s.moment if moving else 0


@part
def transfer_resumed(s):
    """Follows ``Transfer._resumed``."""
    if s.t_phase == HOME:
        s.t_moves_since = s.moment
        if s.t_set_waits:
            _pick(s)
    elif s.t_phase == AT_BRIDGE:
        _try_to_place(s)
    else:
        _go(s, s.t_rest)
