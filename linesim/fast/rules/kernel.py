"""Compiled: what rings next and who is told: what SimPy's queue and callbacks do for the line."""

from __future__ import annotations

from linesim.fast.layout import (
    BEGIN,
    BRIDGE_ALARM,
    CALENDAR_ALARM,
    CAUSE_ALARM,
    CLOSE,
    FORCED_ALARM,
    JOB_ALARM,
    PACKING_ALARM,
    PAUSE_ALARM,
    PEOPLE_ALARM,
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
from linesim.fast.rules.clock import first_alarm, set_alarm
from linesim.fast.rules.crew import job_over, send_people
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
from linesim.fast.rules.reel_stop import reel_begun, reel_done, reel_waits
from linesim.fast.rules.rework import job_done
from linesim.fast.rules.run_in import begin_as_said
from linesim.fast.rules.states import DOWN, WAITING_PEOPLE
from linesim.fast.rules.stations import BRIDGE, TRANSFER, WEBS_N, WRAPPER, outfeed_machine
from linesim.fast.rules.stoppage import enter_stoppage, restored
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
        web_stop(s, c, 0)
    else:
        machine_stop(s, c, 0)


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
    elif alarm == PEOPLE_ALARM:
        send_people(s)
    elif alarm < REEL_ALARM:
        job_over(s, alarm)
        prepare_done(s, alarm - PREPARE_ALARM)
    elif alarm < PAUSE_ALARM:
        job_over(s, alarm)
        reel_done(s, alarm - REEL_ALARM)
    elif alarm < FORCED_ALARM:
        pause_ends(s, alarm - PAUSE_ALARM)
    elif alarm < STOPPAGE_ALARM:
        _forced(s, alarm - FORCED_ALARM)
    elif alarm < JOB_ALARM:
        job_over(s, alarm)
        restored(s, alarm - STOPPAGE_ALARM)
    elif alarm < CAUSE_ALARM:
        job_over(s, alarm)
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
def job_begun(s, job):
    """People are there: who is told. Follows ``Job.begun``."""
    if job >= STOPPAGE_ALARM and job < JOB_ALARM:
        enter_stoppage(s, job - STOPPAGE_ALARM, s.s_working[job - STOPPAGE_ALARM])
    elif job >= REEL_ALARM and job < PAUSE_ALARM:
        reel_begun(s, job - REEL_ALARM)


@part
def job_waits(s, job):
    """People have gone before it was done: who is told. Follows ``Job.waits``."""
    if job >= STOPPAGE_ALARM and job < JOB_ALARM:
        enter_stoppage(s, job - STOPPAGE_ALARM, WAITING_PEOPLE)
    elif job >= REEL_ALARM and job < PAUSE_ALARM:
        reel_waits(s, job - REEL_ALARM)


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
    elif what == BEGIN:
        begin_as_said(s)
    else:
        forget(s)
