"""Compiled: stations that stand and move by themselves, as in ``line.machine``."""

from __future__ import annotations

from linesim.fast.layout import REAMS, RUNNING_H, STOPS_AT_ONCE, TOO_MANY_STOPPAGES
from linesim.fast.parts import part
from linesim.fast.rules.calling import paused, resumed, settle, show
from linesim.fast.rules.ledger import count_stop, enter
from linesim.fast.rules.meters import cause_begins_to_count, cause_falls, cause_mended
from linesim.fast.rules.states import PLANNED
from linesim.fast.rules.stations import (
    BRIDGE,
    TRANSFER,
    WEBS_N,
    WRAPPER,
    outfeed_machine,
    root_at,
)
from linesim.fast.rules.stoppage import begin_job, new_stoppage
from linesim.line.clock import NEVER


@part
def stands(s, machine):
    """Whether there are ``Machine.stops``."""
    return s.m_stops_n[machine] > 0


@part
def own_root(s, machine):
    """Follows ``Machine.own_root``."""
    return root_at(WEBS_N + machine, s.s_cause[s.m_stops[machine, 0]])


@part
def begin_stop(s, machine, i):
    """Follows ``Machine._begin``."""
    settle(s)
    n = s.m_stops_n[machine]
    if n >= STOPS_AT_ONCE:
        s.fault = TOO_MANY_STOPPAGES
        return
    s.m_stops[machine, n] = i
    s.m_stops_n[machine] = n + 1
    if n == 0:
        paused(s, machine)
    begin_job(s, i)
    show(s)


@part
def end_stop(s, machine, i):
    """Follows ``Machine.end``."""
    settle(s)
    n = s.m_stops_n[machine]
    at = 0
    while at < n and s.m_stops[machine, at] != i:
        at += 1
    if at == n:
        return  # there was no room for it: the run is given up
    for j in range(at, n - 1):
        s.m_stops[machine, j] = s.m_stops[machine, j + 1]
    s.m_stops_n[machine] = n - 1
    if n == 1:
        resumed(s, machine)
    show(s)


@part
def machine_stop(s, cause, reading):
    """Follows ``Machine.stop``."""
    machine = s.c_station[cause] - WEBS_N
    restore = cause_falls(s, cause, reading)
    look_for_dues(s, machine)
    count_stop(s, s.c_station[cause], s.c_number[cause])
    i = new_stoppage(
        s,
        machine,
        s.c_station[cause],
        s.c_number[cause],
        s.c_working[cause],
        s.c_people[cause],
        s.c_priority[cause],
        restore,
        cause,
    )
    begin_stop(s, machine, i)


@part
def _run_so_far(s, machine):
    """Follows ``Machine.run_so_far``."""
    if machine == TRANSFER:
        return s.t_running_ns
    if machine == BRIDGE:
        return s.b_stands_since - s.b_lost
    if machine == outfeed_machine(s):
        return s.o_run_ns
    return s.k_run_ns[machine - WRAPPER]


@part
def _reams_so_far(s, machine):
    """Follows ``Machine.reams_so_far``."""
    if machine == TRANSFER:
        return s.t_reams
    if machine == BRIDGE:
        return s.b_carried
    if machine == outfeed_machine(s):
        return s.o_done
    return s.k_done[machine - WRAPPER]


@part
def _reading(s, machine, meter):
    """Follows ``Machine._reading``."""
    if meter == RUNNING_H:
        return _run_so_far(s, machine)
    return _reams_so_far(s, machine) if meter == REAMS else s.moment


@part
def machine_mended(s, machine, cause, i):
    """Follows ``Machine._mended``."""
    cause_mended(s, cause)
    look_for_dues(s, machine)
    end_stop(s, machine, i)


@part
def machine_hold(s, machine, cause, state, restore):
    """Follows ``Machine.hold``."""
    if state != PLANNED:
        count_stop(s, WEBS_N + machine, cause)
    i = new_stoppage(s, machine, WEBS_N + machine, cause, state, 0, 1, restore, -1)
    begin_stop(s, machine, i)
    return i


@part
def look_for_dues(s, machine):
    """Follows ``Machine.look_for_dues`` and ``Wrapper.look_for_dues``."""
    running = reams = NEVER
    for c in range(s.m_first[machine], s.m_last[machine]):
        if s.c_meter[c] == RUNNING_H:
            running = min(running, s.c_due[c])
        elif s.c_meter[c] == REAMS:
            reams = min(reams, s.c_due[c])
    s.m_running_due[machine] = running
    s.m_reams_due[machine] = reams
    w = machine - WRAPPER
    if 0 <= w < s.k_n:
        s.k_next_due[w] = min(s.k_roll_due[w], s.k_spoil_due[w], reams)


@part
def machine_begins_to_count(s, machine):
    """Follows ``Machine.begin_to_count``."""
    for c in range(s.m_first[machine], s.m_last[machine]):
        cause_begins_to_count(s, c, _reading(s, machine, s.c_meter[c]))
    look_for_dues(s, machine)


@part
def fall(s, machine, meter, reading):
    """Follows ``Machine.fall``; returns how many stops began."""
    fallen = 0
    for c in range(s.m_first[machine], s.m_last[machine]):
        if s.c_meter[c] == meter and reading >= s.c_due[c]:
            fallen += 1
            machine_stop(s, c, reading)
    return fallen


@part
def show_stop(s, machine):
    """Follows ``Machine.show_stop``."""
    if not stands(s, machine):
        return False
    which = s.m_stops[machine, 0]
    for i in range(s.m_stops_n[machine]):
        if s.s_state[s.m_stops[machine, i]] == PLANNED:
            which = s.m_stops[machine, i]
            break
    enter(s, WEBS_N + machine, s.moment, s.s_state[which], s.s_cause[which], -1, -1)
    return True
