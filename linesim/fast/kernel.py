"""Compiled: what rings next, and who is told. Follows ``levels``, ``calendar``, ``cruise``."""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined"
from __future__ import annotations

from linesim.fast.accounts import (
    CALENDAR,
    DOWN,
    PLANNED,
    close_all,
    come_back,
    first_alarm,
    forget,
    give_back,
    set_alarm,
)
from linesim.fast.calling import GRANT_PREPARE, GRANT_REEL, GRANT_STOPPAGE, peek, settle, show
from linesim.fast.layout import (
    BRIDGE_ALARM,
    CALENDAR_ALARM,
    CAUSE_ALARM,
    CLOSE,
    FORCED_ALARM,
    JOB_ALARM,
    LEVEL,
    PACKING_ALARM,
    PAUSE,
    PAUSE_ALARM,
    PAUSES_AT_ONCE,
    PREPARE_ALARM,
    REEL_ALARM,
    RUN,
    RUNNING_H,
    SETTLE,
    STOPPAGE_ALARM,
    TOO_MANY_PAUSES,
    TRANSFER_ALARM,
    WEBS_ALARM,
)
from linesim.fast.packing import (
    arrived,
    cause_falls,
    end_stop,
    fall,
    fed,
    free_stoppage,
    job_done,
    machine_hold,
    machine_stop,
    move_on,
    outfeed_goes,
    outfeed_machine,
    outfeed_takes,
    packing_rings,
    pause_wrapper,
    plan_packing,
    put_on_queue,
    room_on_outfeed,
    undisturbed_until,
    wait_for_level,
    watch_bridge,
    wrapper_goes_on,
)
from linesim.fast.parts import part
from linesim.fast.settling import (
    BRIDGE,
    HOME,
    RETURN,
    TRANSFER,
    WEBS_N,
    WRAPPER,
    ceil,
    cut_with_good,
    move_transfer_on,
    pass_made,
    stands,
)
from linesim.fast.transfer import (
    room,
    transfer_paused,
    transfer_resumed,
    transfer_rings,
    transfer_runs,
)
from linesim.fast.webs import (
    add_hold,
    after_ring,
    forced_web_stop,
    on_ring,
    plan,
    prepare_done,
    reel_done,
    reel_granted,
    release_hold,
    set_slow,
    web_stop,
)
from linesim.line.clock import NEVER, Rank
from linesim.record.states import Loss

_PLANNED_LOSS = int(Loss.PLANNED)
_JOB, _CALENDAR, _WEB = Rank.JOB, Rank.CALENDAR, Rank.WEB
_BRIDGE, _TRANSFER = Rank.BRIDGE, Rank.TRANSFER


# -- levels ------------------------------------------------------------------------------------


@part
def level_rose(s):
    level = s.b_level
    if s.v_slow_at >= 0 and s.v_slowed == 0 and level >= s.v_slow_at:
        s.v_slowed = 1
        set_slow(s, 1)
        wait_for_level(s, s.v_slow_at - 1)
    if s.v_stop_at >= 0 and s.v_hold == 0 and level >= s.v_stop_at:
        s.v_hold = 1
        add_hold(s, LEVEL)
        wait_for_level(s, s.v_restart_at)


@part
def level_fell(s):
    level = s.b_level
    if s.v_slowed and s.v_slow_at >= 0:
        if level < s.v_slow_at:
            s.v_slowed = 0
            set_slow(s, 0)
        else:
            wait_for_level(s, s.v_slow_at - 1)
    if s.v_hold:
        if level <= s.v_restart_at:
            s.v_hold = 0
            release_hold(s, LEVEL)
        else:
            wait_for_level(s, s.v_restart_at)
    room(s)


# -- machines told -----------------------------------------------------------------------------


@part
def paused(s, machine):
    if machine == TRANSFER:
        transfer_paused(s)
    elif machine == BRIDGE:
        s.b_stands_since = s.moment
        set_alarm(s, BRIDGE_ALARM, _BRIDGE, NEVER)
    elif machine == outfeed_machine(s):
        if s.o_busy:
            s.o_run_ns += s.moment - s.o_began
            s.o_rest = s.o_ends - s.moment
    else:
        pause_wrapper(s, machine - WRAPPER)
        if s.k_settling == 0:
            plan_packing(s)


@part
def resumed(s, machine):
    if machine == TRANSFER:
        transfer_resumed(s)
    elif machine == BRIDGE:
        s.b_lost += s.moment - s.b_stands_since
        watch_bridge(s)
        arrived(s)
        show(s)
        room(s)
    elif machine == outfeed_machine(s):
        if s.o_busy:
            outfeed_goes(s, s.moment, s.o_rest)
        else:
            s.o_idle_since = s.moment
            outfeed_takes(s, s.moment)
        room_on_outfeed(s, s.moment)
        plan_packing(s)
    else:
        wrapper_goes_on(s, machine - WRAPPER)
        plan_packing(s)


@part
def _stoppage_granted(s, i):
    settle(s)
    s.s_state[i] = s.s_working[i]
    if s.s_restore[i] < NEVER:
        set_alarm(s, STOPPAGE_ALARM + i, _JOB, s.moment + s.s_restore[i])
    show(s)


@part
def _restored(s, i):
    people = s.s_people[i]
    if s.s_machine[i] >= 0:
        end_stop(s, s.s_machine[i], i)
    else:
        release_hold(s, i)
    free_stoppage(s, i)
    give_back(s, people)


# -- calendar ----------------------------------------------------------------------------------


@part
def _pause(s, i, field):
    return peek(s.pauses_at + (i * 5 + field) * 8)


@part
def _next_pause(s):
    if s.d_next < s.d_count:
        set_alarm(s, CALENDAR_ALARM, _CALENDAR, _pause(s, s.d_next, 0))


@part
def _pause_begins(s):
    i = s.d_next
    s.d_next += 1
    settle(s)
    name = _pause(s, i, 2)
    if s.d_number[name] < 0:
        s.d_number[name] = s.causes
        s.l_kind[s.causes] = CALENDAR
        s.l_waiting[s.causes] = _PLANNED_LOSS
        s.causes += 1
    if _pause(s, i, 3):
        s.d_away += 1
        s.away = 1
    s.free -= _pause(s, i, 4)
    at = 0
    while at < PAUSES_AT_ONCE and s.d_pause[at] >= 0:
        at += 1
    if at == PAUSES_AT_ONCE:
        s.fault = TOO_MANY_PAUSES
        return
    cause = s.d_number[name]
    s.d_pause[at] = i
    s.d_cause[at] = cause
    add_hold(s, PAUSE + at)
    for machine in range(s.stations - WEBS_N):
        s.d_held[at, machine] = machine_hold(s, machine, cause, PLANNED, NEVER)
    set_alarm(s, PAUSE_ALARM + at, _CALENDAR, _pause(s, i, 1))
    _next_pause(s)


@part
def _pause_ends(s, at):
    i = s.d_pause[at]
    if _pause(s, i, 3):
        s.d_away -= 1
        if s.d_away == 0:
            come_back(s)
    people = _pause(s, i, 4)
    if people > 0:
        give_back(s, people)
    for machine in range(s.stations - WEBS_N):
        held = s.d_held[at, machine]
        end_stop(s, machine, held)
        free_stoppage(s, held)
    release_hold(s, PAUSE + at)
    s.d_pause[at] = -1


# -- cruise ------------------------------------------------------------------------------------


@part
def _leave(s, sets):
    if sets > 0:
        back = s.x_cycle - s.x_to_place
        s.t_phase = RETURN
        s.t_running_ns -= back
        s.t_moves_since = s.t_ends - back
        set_alarm(s, TRANSFER_ALARM, _TRANSFER, NEVER)
        fed(s)


@part
def _cruise(s):
    if s.x_possible == 0 or stands(s, BRIDGE) or s.b_wait >= 0:
        return False
    if s.w_change != 0.0 or s.w_holds_n > 0 or s.p_on_belt > 0:
        return False
    if stands(s, TRANSFER) or s.t_set_waits:
        return False
    move_transfer_on(s)
    if s.t_phase != HOME:
        return False
    first = first_alarm(s)
    horizon = min(s.x_until, undisturbed_until(s))
    if first >= 0:
        horizon = min(horizon, s.a_at[first])
    room_up_to = min(s.b_places, s.b_heed - 1)
    lanes = s.lanes
    most = min(
        (s.w_reams_due - s.w_sets - 1) // lanes,
        (s.m_running_due[TRANSFER] - s.t_running_ns) // max(1, s.x_cycle),
        (s.m_reams_due[TRANSFER] - s.t_reams - 1) // lanes,
        (s.m_reams_due[BRIDGE] - s.b_carried - 1) // lanes,
    )
    sets = 0
    while True:
        now = s.w_seen_at
        s.moment = now
        if sets >= most or now < s.t_ends or now + s.x_to_place >= horizon:
            break
        if s.b_level + lanes > room_up_to:
            move_on(s)
            if s.b_level + lanes > room_up_to:
                break
        sets += 1
        s.w_sets += lanes
        s.w_sets_to_book += 1
        s.p_cuts = 0
        transfer_runs(s)
        s.t_ends = now + s.x_cycle
        s.t_running_ns += s.x_cycle
        s.t_reams += lanes
        put_on_queue(s, now + s.x_to_place, lanes)
        number = cut_with_good(s, s.w_cuts, s.cuts_per_ream)
        x = s.w_cut_x + (number - s.w_cut_number) * s.cut_um
        at = s.w_at + ceil((x - s.w_from_x) / s.w_from_speed)
        if at >= horizon or at >= s.w_other_at or x >= s.w_other_x:
            plan(s)
            _leave(s, sets)
            return True
        s.w_run_ns += at - s.w_seen_at
        s.w_seen_at = at
        s.w_x = x
        pass_made(s, number)
    set_alarm(s, WEBS_ALARM, _WEB, s.w_seen_at)
    _leave(s, sets)
    return sets > 0


# -- the run -----------------------------------------------------------------------------------


@part
def _webs_ring(s):
    on_ring(s)
    full = s.p_cuts >= s.cuts_per_ream and s.p_full == 0
    if full and s.w_change == 0.0 and s.moment < s.w_other_at and _cruise(s):
        return
    after_ring(s)


@part
def _cause_rings(s, c):
    restore = cause_falls(s, c, s.moment)
    set_alarm(s, CAUSE_ALARM + c, s.a_rank[CAUSE_ALARM + c], s.c_due[c])
    if s.c_station[c] < WEBS_N:
        web_stop(s, c, restore)
    else:
        machine_stop(s, c, restore)


@part
def _forced(s, i):
    station = s.f_station[i]
    if station < WEBS_N:
        forced_web_stop(s, station, s.f_cause[i], s.f_ns[i])
    else:
        machine_hold(s, station - WEBS_N, s.f_cause[i], DOWN, s.f_ns[i])


@part
def _ring(s, alarm):
    if alarm == WEBS_ALARM:
        _webs_ring(s)
    elif alarm == TRANSFER_ALARM:
        transfer_rings(s)
    elif alarm == PACKING_ALARM:
        packing_rings(s)
    elif alarm == BRIDGE_ALARM:
        fall(s, BRIDGE, RUNNING_H, s.moment - s.b_lost)
    elif alarm == CALENDAR_ALARM:
        _pause_begins(s)
    elif alarm < REEL_ALARM:
        prepare_done(s, alarm - PREPARE_ALARM)
    elif alarm < PAUSE_ALARM:
        reel_done(s, alarm - REEL_ALARM)
    elif alarm < FORCED_ALARM:
        _pause_ends(s, alarm - PAUSE_ALARM)
    elif alarm < STOPPAGE_ALARM:
        _forced(s, alarm - FORCED_ALARM)
    elif alarm < JOB_ALARM:
        _restored(s, alarm - STOPPAGE_ALARM)
    elif alarm < CAUSE_ALARM:
        job_done(s, alarm - JOB_ALARM)
    else:
        _cause_rings(s, alarm - CAUSE_ALARM)


@part
def _run_to(s, until):
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
    """People are there for whoever asked."""
    if kind == GRANT_STOPPAGE:
        _stoppage_granted(s, what)
    elif kind == GRANT_REEL:
        reel_granted(s, what)
    elif kind == GRANT_PREPARE:
        set_alarm(s, PREPARE_ALARM + what, _JOB, s.moment + s.u_prepare_ns[what])
    else:
        set_alarm(s, JOB_ALARM + what, _JOB, s.moment + s.r_ns[what])


@part
def told(s, what, until):
    """The one way in: run to a moment, catch up, close the accounts, forget the warm-up."""
    if what == RUN:
        _run_to(s, until)
    elif what == SETTLE:
        settle(s)
    elif what == CLOSE:
        close_all(s, s.moment)
    else:
        forget(s)
