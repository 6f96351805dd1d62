"""Compiled: what rings next and who is told: what SimPy's queue and callbacks do for the line."""

from __future__ import annotations

from linesim.fast.layout import (
    BRIDGE_ALARM,
    CALENDAR_ALARM,
    CAUSE_ALARM,
    CLOSE,
    FORCED_ALARM,
    JOB_ALARM,
    PACKING_ALARM,
    PAUSE_ALARM,
    PREPARE_ALARM,
    REEL_ALARM,
    RUN,
    RUNNING_H,
    SETTLE,
    STOPPAGE_ALARM,
    TRANSFER_ALARM,
    WEBS_ALARM,
)
from linesim.fast.parts import part
from linesim.fast.rules.bridge import bridge_goes_on, pause_bridge
from linesim.fast.rules.calendar import pause_begins, pause_ends
from linesim.fast.rules.calling import GRANT_PREPARE, GRANT_REEL, GRANT_STOPPAGE
from linesim.fast.rules.clock import RANK_JOB, first_alarm, set_alarm
from linesim.fast.rules.cruise import cruise
from linesim.fast.rules.floor import settle
from linesim.fast.rules.ledger import close_all, forget
from linesim.fast.rules.machine import fall, machine_hold, machine_stop
from linesim.fast.rules.outfeed import pause_outfeed
from linesim.fast.rules.packing import (
    outfeed_resumed,
    packing_rings,
    wrapper_paused,
    wrapper_resumed,
)
from linesim.fast.rules.packing_states import outfeed_pauses
from linesim.fast.rules.reel_stop import reel_done, reel_granted
from linesim.fast.rules.rework import job_done
from linesim.fast.rules.states import DOWN
from linesim.fast.rules.stations import BRIDGE, TRANSFER, WEBS_N, WRAPPER, outfeed_machine
from linesim.fast.rules.stoppage import restored, stoppage_granted
from linesim.fast.rules.transfer import transfer_paused, transfer_resumed, transfer_rings
from linesim.fast.rules.unwind import prepare_done
from linesim.fast.rules.web_stops import forced_web_stop, web_stop
from linesim.fast.rules.webs import after_ring, on_ring
from linesim.line.clock import NEVER


@part
def paused(s, machine):
    """Whose ``Machine.paused`` it is."""
    if machine == TRANSFER:
        transfer_paused(s)
    elif machine == BRIDGE:
        pause_bridge(s)
    elif machine == outfeed_machine(s):
        outfeed_pauses(s)
        pause_outfeed(s)
    else:
        wrapper_paused(s, machine - WRAPPER)


@part
def resumed(s, machine):
    """Whose ``Machine.resumed`` it is."""
    if machine == TRANSFER:
        transfer_resumed(s)
    elif machine == BRIDGE:
        bridge_goes_on(s)
    elif machine == outfeed_machine(s):
        outfeed_resumed(s)
    else:
        wrapper_resumed(s, machine - WRAPPER)


@part
def _webs_ring(s):
    """Follows ``Webs._rung``."""
    on_ring(s)
    full = s.p_cuts >= s.cuts_per_ream and s.p_full == 0
    if full and s.w_change == 0.0 and s.moment < s.w_other_at and cruise(s):
        return
    after_ring(s)


@part
def _cause_rings(s, c):
    """Follows ``Cause.watch_clock``: whose cause it is."""
    if s.c_station[c] < WEBS_N:
        web_stop(s, c)
    else:
        machine_stop(s, c)


@part
def _forced(s, i):
    """Follows ``Line._force``."""
    station = s.f_station[i]
    if station < WEBS_N:
        forced_web_stop(s, station, s.f_cause[i], s.f_ns[i])
    else:
        machine_hold(s, station - WEBS_N, s.f_cause[i], DOWN, s.f_ns[i])


@part
def _ring(s, alarm):
    """Follows ``Alarm._rung``: whose alarm it is."""
    if alarm == WEBS_ALARM:
        _webs_ring(s)
    elif alarm == TRANSFER_ALARM:
        transfer_rings(s)
    elif alarm == PACKING_ALARM:
        packing_rings(s)
    elif alarm == BRIDGE_ALARM:
        fall(s, BRIDGE, RUNNING_H, s.moment - s.b_lost)
    elif alarm == CALENDAR_ALARM:
        pause_begins(s)
    elif alarm < REEL_ALARM:
        prepare_done(s, alarm - PREPARE_ALARM)
    elif alarm < PAUSE_ALARM:
        reel_done(s, alarm - REEL_ALARM)
    elif alarm < FORCED_ALARM:
        pause_ends(s, alarm - PAUSE_ALARM)
    elif alarm < STOPPAGE_ALARM:
        _forced(s, alarm - FORCED_ALARM)
    elif alarm < JOB_ALARM:
        restored(s, alarm - STOPPAGE_ALARM)
    elif alarm < CAUSE_ALARM:
        job_done(s, alarm - JOB_ALARM)
    else:
        _cause_rings(s, alarm - CAUSE_ALARM)


@part
def _run_to(s, until):
    """Follows ``Clock.run_to``."""
    s.x_until = until
    while s.fault == 0:
        alarm = first_alarm(s)
        if alarm < 0 or s.a_at[alarm] >= until:
            break
        s.moment = s.a_at[alarm]
        set_alarm(s, alarm, s.a_rank[alarm], NEVER)
        _ring(s, alarm)
    s.moment = until


@part
def granted(s, kind, what):
    """People are there for whoever asked. Follows ``Crew._send``."""
    if kind == GRANT_STOPPAGE:
        stoppage_granted(s, what)
    elif kind == GRANT_REEL:
        reel_granted(s, what)
    elif kind == GRANT_PREPARE:
        set_alarm(s, PREPARE_ALARM + what, RANK_JOB, s.moment + s.u_prepare_ns[what])
    else:
        set_alarm(s, JOB_ALARM + what, RANK_JOB, s.moment + s.r_ns[what])


@part
def told(s, what, until):
    """For compiled code: the one way in. Run to a moment, catch up, close the accounts, forget."""
    if what == RUN:
        _run_to(s, until)
    elif what == SETTLE:
        settle(s)
    elif what == CLOSE:
        if s.o_there:
            outfeed_pauses(s)
        close_all(s, s.moment)
    else:
        forget(s)
