"""Compiled: machines, wrappers, outfeed, rework and bridge. Follows the same names in ``line``."""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined"
from __future__ import annotations

from linesim.fast.accounts import (
    BLOCKED,
    CHANGEOVER,
    PLANNED,
    RUNNING,
    STARVED,
    WAITING_PEOPLE,
    ask_crew,
    count_good,
    count_stop,
    draw,
    enter,
    falls,
    gap,
    give_back,
    set_alarm,
)
from linesim.fast.calling import (
    GRANT_JOB,
    GRANT_STOPPAGE,
    level_fell,
    level_rose,
    paused,
    resumed,
    settle,
    show,
)
from linesim.fast.layout import (
    BRIDGE_ALARM,
    HOT_STANDBY,
    IN_TURN,
    LATE,
    PACKING_ALARM,
    QUEUE,
    REAMS,
    RUNNING_H,
    SECOND_ABOVE_LEVEL,
    STOPS_AT_ONCE,
    TOO_MANY_STOPPAGES,
)
from linesim.fast.parts import part
from linesim.fast.settling import (
    BRIDGE,
    WEBS_N,
    WRAPPER,
    cause_of,
    note_idle,
    outfeed_machine,
    root_of_blocked,
    root_of_idle_outfeed,
    root_of_starved,
    stands,
    station_of,
)
from linesim.line.clock import NEVER, Rank

_WRAPPING, _BRIDGE_RANK = Rank.WRAPPING, Rank.BRIDGE
_FINISH, _START, _OUTFEED = range(3)


@part
def times(count, length):
    """So many times a length; NEVER where that is beyond all time."""
    if length > 0 and count > NEVER // length:
        return NEVER
    return count * length


# -- machines ----------------------------------------------------------------------------------


@part
def new_stoppage(s, machine, station, cause, working, people, priority, restore, spoils):
    if s.s_free_n == 0:
        s.fault = TOO_MANY_STOPPAGES
        return 0
    s.s_free_n -= 1
    i = s.s_free[s.s_free_n]
    s.s_machine[i] = machine
    s.s_station[i] = station
    s.s_cause[i] = cause
    s.s_state[i] = working
    s.s_working[i] = working
    s.s_people[i] = people
    s.s_priority[i] = priority
    s.s_restore[i] = restore
    s.s_spoils[i] = spoils
    return i


@part
def free_stoppage(s, i):
    s.s_free[s.s_free_n] = i
    s.s_free_n += 1


@part
def begin_job(s, i):
    if s.s_people[i] > 0:
        s.s_state[i] = WAITING_PEOPLE
    ask_crew(s, s.s_people[i], s.s_priority[i], GRANT_STOPPAGE, i)


@part
def _begin(s, machine, i):
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
    settle(s)
    n = s.m_stops_n[machine]
    at = 0
    while s.m_stops[machine, at] != i:
        at += 1
    for j in range(at, n - 1):
        s.m_stops[machine, j] = s.m_stops[machine, j + 1]
    s.m_stops_n[machine] = n - 1
    if n == 1:
        resumed(s, machine)
    show(s)


@part
def machine_stop(s, cause, restore):
    machine = s.c_station[cause] - WEBS_N
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
        -1,
    )
    _begin(s, machine, i)


@part
def machine_hold(s, machine, cause, state, restore):
    if state != PLANNED:
        count_stop(s, WEBS_N + machine, cause)
    i = new_stoppage(s, machine, WEBS_N + machine, cause, state, 0, 1, restore, -1)
    _begin(s, machine, i)
    return i


@part
def look_for_dues(s, machine):
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
def cause_falls(s, c, reading):
    s.c_due[c] = reading + max(1, draw(s, s.c_interval[c]))
    return draw(s, s.c_restore[c])


@part
def fall(s, machine, meter, reading):
    """Begin every stop that is due at this reading of a meter; how many did."""
    fallen = 0
    for c in range(s.m_first[machine], s.m_last[machine]):
        if s.c_meter[c] == meter and reading >= s.c_due[c]:
            restore = cause_falls(s, c, reading)
            fallen += 1
            look_for_dues(s, machine)
            machine_stop(s, c, restore)
    return fallen


# -- bridge ------------------------------------------------------------------------------------


@part
def head_ready(s):
    if s.b_head == s.b_tail or stands(s, BRIDGE):
        return NEVER
    return s.b_at[s.b_head & (QUEUE - 1)] + s.b_lost


@part
def take_many(s, reams):
    s.b_level -= reams
    i = s.b_head & (QUEUE - 1)
    s.b_reams[i] -= reams
    if s.b_reams[i] == 0:
        s.b_head += 1


@part
def put_on_queue(s, at, reams):
    s.b_level += reams
    s.b_carried += reams
    i = s.b_tail & (QUEUE - 1)
    s.b_at[i] = at - s.b_lost + s.b_travel
    s.b_reams[i] = reams
    s.b_tail += 1


@part
def watch_bridge(s):
    due = s.m_running_due[BRIDGE]
    set_alarm(s, BRIDGE_ALARM, _BRIDGE_RANK, NEVER if due == NEVER else due + s.b_lost)


# -- wrappers ----------------------------------------------------------------------------------


@part
def run_until_stop(s, w):
    left = s.m_running_due[WRAPPER + w] - s.k_run_ns[w] - (s.k_cycle[w] if s.k_busy[w] else 0)
    return max(0, left)


@part
def pause_wrapper(s, w):
    if s.k_busy[w]:
        s.k_rest[w] = s.k_ends[w] - s.moment
        into = s.moment - s.k_began[w]
        s.k_run_ns[w] += into
        s.k_cycle[w] -= into


@part
def wrapper_goes_on(s, w):
    now = s.moment
    if s.k_busy[w]:
        s.k_began[w] = now
        s.k_ends[w] = now + s.k_rest[w]
        into = max(0, s.m_running_due[WRAPPER + w] - s.k_run_ns[w])
        s.k_stops_at[w] = now + into if into < s.k_rest[w] else NEVER
    else:
        s.k_idle_since[w] = now


# -- rework ------------------------------------------------------------------------------------


@part
def spoiled_ream(s):
    if s.r_lying >= s.r_places:
        s.repulped += 1
        return
    s.r_lying += 1
    s.r_free_n -= 1
    job = s.r_free[s.r_free_n]
    s.r_ns[job] = draw(s, s.r_times)
    s.r_good[job] = draw(s, s.r_saved)
    ask_crew(s, s.r_people, s.p_rework, GRANT_JOB, job)


@part
def job_done(s, job):
    s.r_lying -= 1
    s.r_free[s.r_free_n] = job
    s.r_free_n += 1
    if s.r_good[job]:
        s.reworked += 1
        count_good(s, s.moment)
    else:
        s.repulped += 1
    give_back(s, s.r_people)


# -- outfeed -----------------------------------------------------------------------------------


@part
def has_room(s):
    return s.o_waiting < s.o_room or (s.o_busy == 0 and not stands(s, outfeed_machine(s)))


@part
def outfeed_goes(s, at, length):
    s.o_began = at
    s.o_ends = at + length
    into = max(0, s.m_running_due[outfeed_machine(s)] - s.o_run_ns)
    s.o_stops_at = at + into if into < length else NEVER


@part
def outfeed_takes(s, at):
    if s.o_busy or stands(s, outfeed_machine(s)) or s.o_waiting == 0:
        return
    s.o_waiting -= 1
    s.o_busy = 1
    outfeed_goes(s, at, s.o_cycle)


@part
def earliest_stop(s, now):
    o = outfeed_machine(s)
    at = s.o_stops_at if s.o_busy else NEVER
    running_due, reams_due = s.m_running_due[o], s.m_reams_due[o]
    if running_due == NEVER and reams_due == NEVER:
        return at
    base = s.o_ends if s.o_busy else now
    after = s.o_run_ns + (s.o_ends - s.o_began if s.o_busy else 0)
    left = reams_due - s.o_done - (1 if s.o_busy else 0)
    return min(at, base + max(0, running_due - after), base + times(max(0, left), s.o_cycle))


@part
def keeps_up_with(s, first, cycle):
    o = outfeed_machine(s)
    if stands(s, o) or s.o_waiting or s.o_stops_at < NEVER or cycle < s.o_cycle:
        return 0
    if s.o_busy and s.o_ends > first:
        return 0
    done = s.o_done + (1 if s.o_busy else 0)
    run = s.o_run_ns + (s.o_ends - s.o_began if s.o_busy else 0)
    return min(s.m_reams_due[o] - done - 2, (s.m_running_due[o] - run) // s.o_cycle - 2)


@part
def outfeed_through(s, first, count, cycle):
    if s.o_busy:
        s.o_run_ns += s.o_ends - s.o_began
        s.o_done += 1
    s.o_done += count - 1
    s.o_run_ns += (count - 1) * s.o_cycle
    s.o_busy = 1
    s.o_began = first + (count - 1) * cycle
    s.o_ends = s.o_began + s.o_cycle


@part
def outfeed_runs(s, at):
    station = WEBS_N + outfeed_machine(s)
    if s.l_state[station] != RUNNING:
        enter(s, station, at, RUNNING, 0, -1, -1)
    elif at > s.o_idle_since + s.k_pace:
        root = root_of_idle_outfeed(s)
        gap(s, station, s.o_idle_since, at, STARVED, station_of(root), cause_of(root))


@part
def _bring_out(s, at):
    if s.o_busy == 0 and not stands(s, outfeed_machine(s)):
        outfeed_runs(s, at)
    s.o_waiting += 1
    outfeed_takes(s, at)


@part
def room_on_outfeed(s, at):
    for w in range(s.k_n):
        if s.k_holding[w] and has_room(s):
            s.k_holding[w] = 0
            s.k_idle_since[w] = at
            if not stands(s, WRAPPER + w):
                root = root_of_starved(s, w)
                enter(
                    s,
                    WEBS_N + WRAPPER + w,
                    at,
                    STARVED,
                    cause_of(root),
                    station_of(root),
                    cause_of(root),
                )
            _bring_out(s, at)


@part
def _at_this_moment(s, at):
    if at != s.moment:
        s.fault = LATE
        return
    note_idle(s, at)


@part
def _outfeed_moves(s):
    o = outfeed_machine(s)
    if s.o_stops_at < s.o_ends:
        _at_this_moment(s, s.o_stops_at)
        reading = s.o_run_ns + s.o_stops_at - s.o_began
        s.o_stops_at = NEVER
        fall(s, o, RUNNING_H, reading)
        return
    at = s.o_ends
    s.o_run_ns += s.o_ends - s.o_began
    s.o_busy = 0
    s.o_done += 1
    s.o_idle_since = at
    if s.o_done >= s.m_reams_due[o]:
        _at_this_moment(s, at)
        fall(s, o, REAMS, s.o_done)
    outfeed_takes(s, at)
    room_on_outfeed(s, at)


# -- moving on ---------------------------------------------------------------------------------


@part
def _whose_turn(s):
    """In turn: the wrapper whose turn it is; -1 where all stand."""
    best = -1
    nearest = s.k_n
    for w in range(s.k_n):
        distance = (w - s.k_turn) % s.k_n
        if not stands(s, WRAPPER + w) and distance < nearest:
            best, nearest = w, distance
    return best


@part
def _may_take(s, w):
    if s.k_busy[w] or stands(s, WRAPPER + w) or s.k_holding[w]:
        return False
    if s.k_rule == IN_TURN:
        return w == _whose_turn(s)
    if s.k_rule == SECOND_ABOVE_LEVEL:
        if s.b_level < s.k_second_at and not stands(s, WRAPPER):
            return w == 0
        return True
    if s.k_rule == HOT_STANDBY:
        return stands(s, WRAPPER) or w == 0
    return True


@part
def _next(s):
    best, what, who = NEVER, _FINISH, 0
    if s.o_there and s.o_busy and not stands(s, outfeed_machine(s)):
        best, what = min(s.o_ends, s.o_stops_at), _OUTFEED
    idle = False
    for w in range(s.k_n):
        if s.k_busy[w]:
            if not stands(s, WRAPPER + w):
                at = min(s.k_ends[w], s.k_stops_at[w])
                if at < best:
                    best, what, who = at, _FINISH, w
        else:
            idle = True
    if idle:
        ready = head_ready(s)
        if ready < best:
            ready = max(ready, s.k_settled_at)
            for w in range(s.k_n):
                if _may_take(s, w):
                    at = max(ready, s.k_idle_since[w])
                    if at < best:
                        best, what, who = at, _START, w
    s.n_at, s.n_what, s.n_who = best, what, who


@part
def _run_from(s, w, at):
    station = WEBS_N + WRAPPER + w
    if s.l_state[station] != RUNNING:
        enter(s, station, at, RUNNING, 0, -1, -1)
    elif at > s.k_idle_since[w]:
        root = root_of_starved(s, w)
        gap(s, station, s.k_idle_since[w], at, STARVED, station_of(root), cause_of(root))


@part
def _start(s, w, at):
    _run_from(s, w, at)
    if s.k_times[w] >= 0:
        cycle = draw(s, s.k_times[w])
    elif s.k_catch_at[w] >= 0 and s.b_level >= s.k_catch_at[w]:
        cycle = s.k_fast[w]
    else:
        cycle = s.k_steady[w]
    s.k_cycle[w] = cycle
    s.k_busy[w] = 1
    s.k_began[w] = at
    s.k_ends[w] = at + cycle
    into = max(0, s.m_running_due[WRAPPER + w] - s.k_run_ns[w])
    s.k_stops_at[w] = at + into if into < cycle else NEVER
    take_many(s, 1)
    s.k_turn = (w + 1) % s.k_n


@part
def _good(s, at, count, cycle):
    s.wrapped += count
    if s.bucket_count > 0:
        for i in range(count):
            count_good(s, at + i * cycle)


@part
def _deliver(s, w, at):
    _good(s, at, 1, 0)
    if s.o_there == 0:
        return
    if has_room(s):
        _bring_out(s, at)
    else:
        s.k_holding[w] = 1
        root = root_of_blocked(s)
        enter(
            s, WEBS_N + WRAPPER + w, at, BLOCKED, cause_of(root), station_of(root), cause_of(root)
        )


@part
def spoil_reams(s, w, reams):
    if reams > 0 and s.k_busy[w]:
        s.k_busy[w] = 0
        s.k_idle_since[w] = s.moment
        s.k_done[w] += 1
        spoiled_ream(s)
        reams -= 1
    while reams > 0 and s.b_level > 0:
        take_many(s, 1)
        s.k_done[w] += 1
        spoiled_ream(s)
        reams -= 1


@part
def _fall_by_reams(s, w):
    machine = WRAPPER + w
    fall(s, machine, REAMS, s.k_done[w])
    if s.k_done[w] >= s.k_roll_due[w]:
        s.k_roll_due[w] = s.k_done[w] + s.k_roll_reams[w]
        look_for_dues(s, machine)
        restore = draw(s, s.k_roll_times[w])
        if s.k_roll_stop[w] or falls(s, s.k_roll_fails[w]):
            count_stop(s, WEBS_N + machine, s.k_roll_cause[w])
            i = new_stoppage(
                s,
                machine,
                WEBS_N + machine,
                s.k_roll_cause[w],
                CHANGEOVER,
                s.k_roll_people[w],
                s.p_standing_wrapper,
                restore,
                -1,
            )
            _begin(s, machine, i)


@part
def _finish(s, w):
    machine = WRAPPER + w
    if s.k_stops_at[w] < s.k_ends[w]:
        _at_this_moment(s, s.k_stops_at[w])
        reading = s.k_run_ns[w] + s.k_stops_at[w] - s.k_began[w]
        s.k_stops_at[w] = NEVER
        first, last = s.m_first[machine], s.m_last[machine]
        # All that are due begin, then each spoils what it spoils.
        spoils = 0
        due = 0
        for c in range(first, last):
            if s.c_meter[c] == RUNNING_H and reading >= s.c_due[c]:
                due += 1
                spoils += s.c_reams[c]
        fall(s, machine, RUNNING_H, reading)
        spoil_reams(s, w, spoils)
        return
    s.k_busy[w] = 0
    s.k_run_ns[w] += s.k_cycle[w]
    s.k_idle_since[w] = s.k_ends[w]
    s.k_done[w] += 1
    at = s.k_ends[w]
    done = s.k_done[w]
    if done >= s.k_next_due[w]:
        _at_this_moment(s, at)
        more = 0
        spoilt_by_stop = False
        for c in range(s.m_first[machine], s.m_last[machine]):
            if s.c_meter[c] == REAMS and done >= s.c_due[c]:
                more += max(0, s.c_reams[c] - 1)
                spoilt_by_stop = spoilt_by_stop or s.c_reams[c] > 0
        spoilt = False
        if done >= s.k_spoil_due[w]:
            s.k_spoil_due[w] = done + max(1, draw(s, s.k_spoils[w]))
            look_for_dues(s, machine)
            spoilt = True
        if spoilt or spoilt_by_stop:
            spoiled_ream(s)
        else:
            _deliver(s, w, at)
        _fall_by_reams(s, w)
        spoil_reams(s, w, more)
    else:
        _deliver(s, w, at)


@part
def _settle_several(s, now):
    while s.fault == 0:
        _next(s)
        at, what, w = s.n_at, s.n_what, s.n_who
        if at > now:
            break
        s.k_settled_at = at
        if what == _FINISH:
            _finish(s, w)
        elif what == _START:
            _start(s, w, at)
        else:
            _outfeed_moves(s)


@part
def _outfeed_until(s, at):
    moved = False
    while s.o_there and s.o_busy and not stands(s, outfeed_machine(s)) and s.fault == 0:
        moves = min(s.o_ends, s.o_stops_at)
        if moves > at:
            break
        s.k_settled_at = moves
        _outfeed_moves(s)
        moved = True
    return moved


@part
def _outfeed_once(s, at):
    if s.o_there == 0 or s.o_busy == 0 or stands(s, outfeed_machine(s)):
        return False
    moves = min(s.o_ends, s.o_stops_at)
    if moves > at:
        return False
    s.k_settled_at = moves
    _outfeed_moves(s)
    return True


@part
def _many(s, now):
    if s.k_busy[0] == 0 or stands(s, WRAPPER) or s.k_stops_at[0] < NEVER or stands(s, BRIDGE):
        return False
    cycle = s.k_shortest[0]
    first_end = s.k_ends[0]
    if cycle == 0 or first_end > now or s.b_head == s.b_tail:
        return False
    if head_ready(s) > first_end:
        return False
    count = min(
        s.b_reams[s.b_head & (QUEUE - 1)],
        s.k_next_due[0] - s.k_done[0] - 1,
        (now - first_end) // cycle + 1,
        (s.m_running_due[WRAPPER] - s.k_run_ns[0]) // cycle - 1,
    )
    if s.o_there and count > 0:
        count = min(count, keeps_up_with(s, first_end, cycle))
    if count < 1:
        return False
    if s.o_there:
        if s.o_busy == 0:
            outfeed_runs(s, first_end)
        outfeed_through(s, first_end, count, cycle)
    _good(s, first_end, count, cycle)
    s.k_done[0] += count
    s.k_run_ns[0] += s.k_cycle[0] + (count - 1) * cycle
    s.k_cycle[0] = cycle
    s.k_began[0] = first_end + (count - 1) * cycle
    s.k_ends[0] = s.k_began[0] + cycle
    take_many(s, count)
    return True


@part
def _whole_set(s, at, now):
    cycle = s.k_shortest[0]
    reams = s.b_reams[s.b_head & (QUEUE - 1)]
    end = at + reams * cycle
    if cycle == 0 or end > now or reams >= s.k_next_due[0] - s.k_done[0]:
        return False
    if reams * cycle >= s.m_running_due[WRAPPER] - s.k_run_ns[0]:
        return False
    first_end = at + cycle
    if s.o_there:
        _outfeed_until(s, first_end)
        if stands(s, WRAPPER) or keeps_up_with(s, first_end, cycle) < reams:
            return False
        if s.o_busy == 0:
            outfeed_runs(s, first_end)
        outfeed_through(s, first_end, reams, cycle)
    _run_from(s, 0, at)
    _good(s, first_end, reams, cycle)
    s.k_done[0] += reams
    s.k_run_ns[0] += reams * cycle
    s.k_cycle[0] = cycle
    s.k_ends[0] = s.k_idle_since[0] = end
    s.k_began[0] = end - cycle
    s.k_stops_at[0] = NEVER
    take_many(s, reams)
    s.k_turn = 0
    return True


@part
def _settle_one(s, now):
    while s.fault == 0:
        if s.k_busy[0]:
            at = min(s.k_ends[0], s.k_stops_at[0])
            if stands(s, WRAPPER) or at > now:
                break
            if s.o_there and s.o_busy and s.o_ends + s.k_pace < at:
                _outfeed_until(s, at)
            if stands(s, WRAPPER) or _many(s, now):
                continue
            _outfeed_until(s, at)
            if stands(s, WRAPPER):
                continue
            s.k_settled_at = at
            _finish(s, 0)
        elif s.k_holding[0]:
            if not _outfeed_once(s, now):
                break
        else:
            at = max(head_ready(s), s.k_idle_since[0], s.k_settled_at)
            if stands(s, WRAPPER) or at > now:
                break
            s.k_settled_at = at
            if not _whole_set(s, at, now):
                _start(s, 0, at)
    _outfeed_until(s, now)


@part
def move_on(s):
    if s.k_settling:
        return
    s.k_settling = 1
    now = s.moment
    if s.k_one:
        _settle_one(s, now)
    else:
        _settle_several(s, now)
    s.k_settling = 0
    s.k_settled_at = now


@part
def plan_packing(s):
    now, at = s.moment, NEVER
    s.k_was_idle = 0
    for w in range(s.k_n):
        if s.k_busy[w] == 0:
            s.k_was_idle = 1
    _next(s)
    upcoming = s.n_at
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            continue
        if s.k_busy[w]:
            base, more = s.k_ends[w], 1
            at = min(at, s.k_stops_at[w])
        elif upcoming < NEVER:
            base, more = max(now, upcoming), 0
        else:
            continue
        left = max(0, s.k_next_due[w] - s.k_done[w] - more)
        at = min(at, base + run_until_stop(s, w), base + times(left, s.k_shortest[w]))
    if s.o_there and not stands(s, outfeed_machine(s)) and (s.o_busy or upcoming < NEVER):
        at = min(at, earliest_stop(s, max(now, upcoming)))
    if s.b_wait >= 0:
        above = s.b_level - s.b_wait
        shortest = s.k_shortest[0]
        for w in range(1, s.k_n):
            shortest = min(shortest, s.k_shortest[w])
        rounds = max(0, above - 1) // s.k_n
        first = now if above <= 0 else upcoming
        if first < NEVER:
            at = min(at, first + rounds * shortest)
    set_alarm(s, PACKING_ALARM, _WRAPPING, max(at, now) if at < NEVER else NEVER)


@part
def packing_rings(s):
    move_on(s)
    if s.b_wait >= 0 and s.b_level <= s.b_wait:
        s.b_wait = -1
        level_fell(s)
    plan_packing(s)


@part
def undisturbed_until(s):
    if s.k_was_idle == 0:
        return NEVER
    move_on(s)
    now, at = s.moment, NEVER
    for w in range(s.k_n):
        if not stands(s, WRAPPER + w):
            base = max(now, s.k_ends[w]) if s.k_busy[w] else now
            left = max(0, s.k_next_due[w] - s.k_done[w] - (1 if s.k_busy[w] else 0))
            ahead = min(run_until_stop(s, w), times(left, s.k_shortest[w]))
            at = min(at, s.k_stops_at[w], base + ahead)
    if s.o_there and not stands(s, outfeed_machine(s)):
        at = min(at, earliest_stop(s, now))
    return at


@part
def fed(s):
    if s.k_was_idle:
        move_on(s)
        plan_packing(s)


@part
def arrived(s):
    if s.k_was_idle or s.k_needs_level:
        move_on(s)
        plan_packing(s)


@part
def wait_for_level(s, level):
    s.b_wait = max(s.b_wait, level)
    plan_packing(s)


@part
def room_for(s, reams):
    if stands(s, BRIDGE):
        return False
    if s.b_level + reams > s.b_places:
        move_on(s)
    return s.b_sets_aside != 0 or s.b_level + reams <= s.b_places


@part
def place_set(s, reams):
    if s.b_level + reams >= s.b_heed:
        move_on(s)
    if s.b_sets_aside:
        fit = max(0, min(reams, s.b_places - s.b_level))
        s.set_aside += reams - fit
        reams = fit
    if reams > 0:
        put_on_queue(s, s.moment, reams)
        arrived(s)
    level_rose(s)
    if s.b_carried >= s.m_reams_due[BRIDGE]:
        fall(s, BRIDGE, REAMS, s.b_carried)
