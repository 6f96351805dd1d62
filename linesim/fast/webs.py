"""Compiled: unwinding, webs and their stops. Follows ``line.unwind`` and ``line.webs``."""

# ruff: noqa: E501
# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined,no-any-return"
from __future__ import annotations

import math

import numpy as np

from linesim.fast.accounts import (
    DOWN,
    ask_crew,
    count_stop,
    draw,
    falls,
    give_back,
    set_alarm,
    use_paper,
)
from linesim.fast.calling import (
    GRANT_PREPARE,
    GRANT_REEL,
    ask_python,
    settle,
    show,
)
from linesim.fast.calling import add_hold as put_hold
from linesim.fast.calling import release_hold as end_hold
from linesim.fast.layout import (
    AFTER_STOP,
    ASIDE,
    CLOCK_H,
    CUTS,
    FULL,
    JOINT,
    REAMS,
    REEL_ALARM,
    REEL_STOP,
    RUNNING_H,
    SPLICE,
    SPOILED,
    TOO_MANY_STOPPAGES,
    USE_BROKEN,
    USE_BUTTS,
    USE_SPOILED,
    WEB_KM,
    WEBS_ALARM,
)
from linesim.fast.packing import begin_job, cause_falls, new_stoppage
from linesim.fast.parts import Column, part
from linesim.fast.settling import (
    ceil,
    cut_with_good,
    forget_paper,
    reject,
    run_down_length,
    settle_webs,
    splicing,
    standing,
)
from linesim.fast.transfer import transfer_set_full
from linesim.line.clock import NEVER, Rank
from linesim.scenario import WEB_STATIONS

WEB_PATH = WEB_STATIONS.index("web_path")
_WEB, _JOB = Rank.WEB, Rank.JOB
_SOON_UM = 1_000_000
_SAME_UM = 2


# -- reels -------------------------------------------------------------------------------------


@part
def _left(s, stand):
    return s.u_end[stand] - s.w_x


@part
def _aim_reel(s, stand):
    s.u_trigger[stand] = s.u_end[stand] - s.u_reserve_um


@part
def _lose(s, stand, length):
    s.u_end[stand] -= length
    for i in range(s.u_joint_i[stand], s.u_joint_n[stand]):
        s.u_joint[stand, i] -= length
    _aim_reel(s, stand)


@part
def _in_stop(s, stop, stand):
    for i in range(s.u_stands_n[stop]):  # noqa: SIM110  # compiled code has no generators
        if s.u_stands[stop, i] == stand:
            return True
    return False


@part
def _ask_for_reel(s, stop, stand):
    paired = s.u_paired
    s.u_ask_ns[stand] = draw(s, s.u_splice[stand] if paired else s.u_change[stand])
    s.u_ask_of[stand] = stop
    s.u_waiting_people[stop] |= 1 << stand
    ask_crew(s, s.u_people, s.p_standing_line, GRANT_REEL, stand)


@part
def _begin_reel(s, stop, stand):
    s.u_left[stop] |= 1 << stand
    if s.u_paired and s.u_partner[stand] == 0:
        s.u_waiting_reel[stop] |= 1 << stand
    else:
        _ask_for_reel(s, stop, stand)


@part
def _add_reel(s, stop, stand):
    if _in_stop(s, stop, stand):
        return
    s.u_stands[stop, s.u_stands_n[stop]] = stand
    s.u_stands_n[stop] += 1
    if s.u_begun[stop]:
        _begin_reel(s, stop, stand)


@part
def must_change(s, stand):
    if s.u_stop < 0:
        count_stop(s, 0, s.u_cause)
        stop = s.u_next_stop
        s.u_next_stop = 1 - stop
        s.u_stop = stop
        s.u_begun[stop] = 0
        s.u_stands_n[stop] = 0
        s.u_waiting_people[stop] = 0
        s.u_waiting_reel[stop] = 0
        s.u_left[stop] = 0
        _add_reel(s, stop, stand)
        put_hold(s, REEL_STOP + stop)
    else:
        _add_reel(s, s.u_stop, stand)


@part
def reels_reached(s, x):
    for stand in range(s.webs):
        if s.u_stop >= 0 and _in_stop(s, s.u_stop, stand):
            continue
        if s.u_flying and s.u_partner[stand] and x >= s.u_trigger[stand] - s.u_slow_um:
            s.u_wanted[stand] = 1
        if x >= s.u_trigger[stand]:
            must_change(s, stand)


@part
def _reel_stop_stood(s, stop):
    s.u_begun[stop] = 1
    before = s.u_stands_n[stop]
    for stand in range(s.webs):
        taken = False
        for i in range(before):
            taken = taken or s.u_stands[stop, i] == stand
        if taken or _left(s, stand) >= s.u_together_um:
            continue
        if s.u_paired and s.u_partner[stand] == 0:
            continue
        s.u_stands[stop, s.u_stands_n[stop]] = stand
        s.u_stands_n[stop] += 1
    for i in range(s.u_stands_n[stop]):
        _begin_reel(s, stop, s.u_stands[stop, i])


@part
def _next_reel_x(s, x):
    nearest = NEVER
    for stand in range(s.webs):
        if s.u_stop < 0 or not _in_stop(s, s.u_stop, stand):
            soon = s.u_flying and s.u_partner[stand] and s.u_wanted[stand] == 0
            nearest = min(nearest, s.u_trigger[stand] - (s.u_slow_um if soon else 0))
        if s.u_joint_i[stand] < s.u_joint_n[stand]:
            nearest = min(nearest, s.u_joint[stand, s.u_joint_i[stand]])
    return max(nearest, x)


@part
def _expect(s, web, x):
    for i in range(s.w_soon_n):
        if s.w_soon_web[i] == web:
            s.w_soon_x[i] = min(s.w_soon_x[i], x)
            return
    s.w_soon_web[s.w_soon_n] = web
    s.w_soon_x[s.w_soon_n] = x
    s.w_soon_n += 1


@part
def _reject_around(s, x, count, reason):
    there = x + s.u_path_um
    number = s.w_cut_number + (there - s.w_cut_x) // s.cut_um
    reject(s, max(s.w_cuts, number - count // 2), count, reason)


@part
def _fetch(s, stand):
    if s.u_stock_i[stand] == s.u_stock_n[stand]:
        ask_python(s.fetch_at, stand)
    i = s.u_stock_i[stand]
    s.u_stock_i[stand] = i + 1
    s.u_length = s.u_stock_um[stand, i]
    s.u_joints = s.u_stock_joints[stand, i]
    s.u_from = s.u_stock_from[stand, i]


@part
def _mount(s, stand, length, n, paired):
    x = s.w_x
    gone = 0
    if s.u_threaded[stand] == 0:
        gone = min(s.u_path_um, length)
        s.u_threaded[stand] = 1
    s.u_end[stand] = x + length - gone
    count = 0
    for i in range(n):
        joint = s.u_partner_joint[stand, i] if paired else s.u_stock_joint[stand, s.u_from + i]
        if gone > 0 and joint <= gone:
            continue
        s.u_joint[stand, count] = x + joint - gone
        count += 1
    s.u_joint_i[stand] = 0
    s.u_joint_n[stand] = count
    s.u_wanted[stand] = 0
    _aim_reel(s, stand)


@part
def _replaced(s, stand):
    left = _left(s, stand)
    s.butts += left
    use_paper(s, USE_BUTTS, left)
    joined = s.u_threaded[stand]
    if s.u_paired:
        s.u_partner[stand] = 0
        s.u_prepare_ns[stand] = draw(s, s.u_prepare[stand])
        ask_crew(s, s.u_prepare_people, s.p_prepare, GRANT_PREPARE, stand)
        _mount(s, stand, s.u_partner_um[stand], s.u_partner_n[stand], True)
    else:
        _fetch(s, stand)
        s.loaded += s.u_length
        _mount(s, stand, s.u_length, s.u_joints, False)
    if joined:
        _reject_around(s, s.w_x, s.w_cuts_per_splice, SPLICE)
        fails = s.u_paired != 0 and falls(s, s.u_fails[stand])
        breaks = falls(s, s.w_splice[stand])
        if fails or breaks:
            _expect(s, stand, s.w_x + (1 if s.w_speed > 0 else _SOON_UM))


@part
def reel_granted(s, stand):
    settle(s)
    s.u_waiting_people[s.u_ask_of[stand]] &= ~(1 << stand)
    set_alarm(s, REEL_ALARM + stand, _JOB, s.moment + s.u_ask_ns[stand])
    show(s)


@part
def reel_done(s, stand):
    settle(s)
    stop = s.u_ask_of[stand]
    s.u_left[stop] &= ~(1 << stand)
    _replaced(s, stand)
    if s.u_left[stop] == 0:
        s.u_stop = -1
        reels_reached(s, s.w_x)
        end_hold(s, REEL_STOP + stop)
    give_back(s, s.u_people)
    show(s)


@part
def prepare_done(s, stand):
    settle(s)
    _fetch(s, stand)
    s.u_partner[stand] = 1
    s.u_partner_um[stand] = s.u_length
    s.u_partner_n[stand] = s.u_joints
    for i in range(s.u_joints):
        s.u_partner_joint[stand, i] = s.u_stock_joint[stand, s.u_from + i]
    s.loaded += s.u_length
    stop = s.u_stop
    if stop >= 0 and s.u_waiting_reel[stop] >> stand & 1:
        s.u_waiting_reel[stop] &= ~(1 << stand)
        _ask_for_reel(s, stop, stand)
    give_back(s, s.u_prepare_people)
    settle_webs(s)
    plan(s)
    show(s)


# -- planning ----------------------------------------------------------------------------------


@part
def _time_to_run(speed: float, change: float, length):
    if length <= 0:
        return 0
    if change == 0.0:
        if not speed > 0:
            return NEVER
        time = length / speed
    else:
        square = speed * speed + 2 * change * length
        if square < 0:
            return NEVER
        time = 2 * length / (speed + math.sqrt(square))
    return ceil(time) if time < 4e18 else NEVER


@part
def _worn_in(speed: float, change: float, dt, reference: float, power: float) -> float:
    if power == 0.0:
        return (speed + 0.5 * change * dt) * dt
    if change == 0.0:
        return speed * dt * math.pow(speed / reference, power)
    end = max(speed + change * dt, 0.0)
    grown = math.pow(end, power + 2) - math.pow(speed, power + 2)
    return grown / (change * (power + 2) * math.pow(reference, power))


@part
def _time_to_wear(speed: float, change: float, amount: float, reference: float, power: float):
    if amount <= 0:
        return 0
    if change == 0.0:
        pace = speed * math.pow(speed / reference, power) if speed > 0 else 0.0
        if not pace > 0:
            return NEVER
        time = amount / pace
        return min(ceil(time), NEVER) if time < 4e18 else NEVER
    factor = change * (power + 2) * math.pow(reference, power)
    target = math.pow(speed, power + 2) + amount * factor
    if target < 0:
        return NEVER
    time = (math.pow(target, 1 / (power + 2)) - speed) / change
    return max(0, ceil(time)) if time < 4e18 else NEVER


@part
def _time_at(s, x):
    return s.w_at + _time_to_run(s.w_from_speed, s.w_change, x - s.w_from_x)


@part
def _run_down_cuts(s):
    if s.w_loss == 0.0 or s.p_full == 0:
        return 0
    return run_down_length(s.w_speed, 0.0, s.w_loss) // s.cut_um + 1


@part
def _cuts_to_attention(s):
    if s.p_full == 0:
        return s.cuts_per_ream - s.p_cuts
    return max(0, s.p_hold - _run_down_cuts(s) - s.p_on_belt)


@part
def plan_pockets(s):
    goal = s.w_other_x
    if s.w_full_hold == 0:
        number = cut_with_good(s, s.w_cuts, _cuts_to_attention(s))
        goal = min(goal, s.w_cut_x + (number - s.w_cut_number) * s.cut_um)
    s.w_goal_x = goal
    s.w_goal_at = _time_at(s, goal)
    at = min(s.w_other_at, s.w_goal_at)
    if s.w_sets >= s.w_reams_due:
        at = s.moment  # the set that makes it due was full as the webs came to a stand
    set_alarm(s, WEBS_ALARM, _WEB, max(s.moment, at))


@part
def plan(s):
    if standing(s):
        set_alarm(s, WEBS_ALARM, _WEB, NEVER)
        return
    now = s.moment
    other = _next_reel_x(s, s.w_x)
    for i in range(s.w_soon_n):
        other = min(other, s.w_soon_x[i])
    if s.w_splice_until_x >= 0:
        other = min(other, s.w_splice_until_x)
    at = s.w_until
    s.w_reams_due = s.w_dues[REAMS]
    at = min(at, now + max(0, s.w_dues[RUNNING_H] - s.w_run_ns))
    other = min(other, s.w_dues[WEB_KM])
    ahead = s.w_dues[CUTS] - s.w_cut_number
    if ahead < (NEVER - s.w_cut_x) // s.cut_um:
        other = min(other, s.w_cut_x + ahead * s.cut_um)
    if s.w_breaks:
        first = s.w_due[0]
        for web in range(1, s.webs):
            first = min(first, s.w_due[web])
        at = min(
            at,
            s.w_at
            + _time_to_wear(
                s.w_from_speed, s.w_change, first - s.w_from_worn, s.w_reference, s.w_power
            ),
        )
    s.w_other_x = other
    at = min(at, _time_at(s, other))
    s.w_other_at = max(now, at)
    plan_pockets(s)


# -- motion ------------------------------------------------------------------------------------


@part
def _wanted(s) -> float:
    if s.w_holds_n > 0:
        return 0.0
    speed = s.speed
    if s.w_slow:
        speed = min(speed, s.speed * s.w_slow_to)
    if splicing(s):
        speed = min(speed, s.w_splice_speed)
    return speed


@part
def _wear(s):
    if s.w_breaks:
        dt = s.moment - s.w_at
        s.w_worn = s.w_from_worn + _worn_in(
            s.w_from_speed, s.w_change, dt, s.w_reference, s.w_power
        )


@part
def _move(s, speed: float, change: float):
    _wear(s)
    s.w_speed = speed
    s.w_at = s.moment
    s.w_from_x = s.w_x
    s.w_from_worn = s.w_worn
    s.w_from_speed = speed
    s.w_change = change
    s.w_until = NEVER


@part
def _splice_at_speed(s):
    for stand in range(s.webs):
        if s.u_wanted[stand] == 0 or s.u_partner[stand] == 0:
            continue
        if s.u_stop >= 0 and _in_stop(s, s.u_stop, stand):
            continue
        if s.w_speed > s.w_splice_speed * (1 + 1e-9):
            continue
        _replaced(s, stand)
        s.w_splice_until_x = s.w_x + s.w_splice_um
        count_stop(s, 0, s.u_cause)


@part
def _spoil(s, c):
    s.w_spoiled_cuts += s.c_cuts[c]
    if s.c_pockets[c]:
        lost = s.p_on_belt
        s.p_on_belt = 0
        if s.p_full == 0:
            lost += s.p_cuts
            s.p_cuts = 0
        s.sheets_spoiled += lost * s.webs * s.lanes
    if s.c_web_um[c] >= 0:
        for stand in range(s.webs):
            length = min(_left(s, stand), s.c_web_um[c])
            s.spoiled += length
            use_paper(s, USE_SPOILED, length)
            _lose(s, stand, length)
        reels_reached(s, s.w_x)


@part
def _put_aside(s, n):
    """Room for a list while others are told of it, who may need such room themselves."""
    at = s.aside_n
    if at + n > ASIDE:
        s.fault = TOO_MANY_STOPPAGES
        return 0
    s.aside_n = at + n
    return at


@part
def _stand(s):
    s.w_after_stand = 1
    n = s.w_asked_n
    asked = _put_aside(s, n)
    for i in range(n):
        s.aside[asked + i] = s.w_asked[i]
    s.w_asked_n = 0
    for i in range(n):
        hold = s.aside[asked + i]
        if hold < REEL_STOP:
            if s.s_spoils[hold] >= 0:
                _spoil(s, s.s_spoils[hold])
            begin_job(s, hold)
        elif hold < FULL:
            _reel_stop_stood(s, hold - REEL_STOP)
    s.aside_n = asked


@part
def _restart(s):
    reject(s, s.w_cuts, s.w_cuts_after_stop, AFTER_STOP)
    if s.w_spoiled_cuts:
        reject(s, s.w_cuts + s.w_cuts_after_stop, s.w_spoiled_cuts, SPOILED)
    s.w_spoiled_cuts = 0
    s.w_after_stand = 0
    for web in range(s.webs):
        if falls(s, s.w_restart[web]):
            _expect(s, web, s.w_x + _SOON_UM)


@part
def aim(s):
    settle_webs(s)
    target = _wanted(s)
    if target == s.w_target and s.w_change != 0.0:
        plan(s)
        return
    if target > 0 and standing(s) and s.w_after_stand:
        _restart(s)
    s.w_target = target
    rate = s.w_gain if target > s.w_speed else s.w_loss
    if target != s.w_speed and rate > 0:
        _move(s, s.w_speed, rate if target > s.w_speed else -rate)
        # _move has left the speed as it is
        s.w_until = s.moment + max(1, np.int64(np.rint(abs(target - s.w_speed) / rate)))
    else:
        _move(s, target, 0.0)
    if standing(s):
        _stand(s)
    elif s.w_change == 0.0:
        _splice_at_speed(s)
    plan(s)


@part
def add_hold(s, hold):
    settle(s)
    s.w_holds[s.w_holds_n] = hold
    s.w_holds_n += 1
    s.w_asked[s.w_asked_n] = hold
    s.w_asked_n += 1
    aim(s)
    show(s)


@part
def _without(values: Column, n, hold):
    kept = 0
    for i in range(n):
        if values[i] != hold:
            values[kept] = values[i]
            kept += 1
    return kept


@part
def release_hold(s, hold):
    settle(s)
    s.w_holds_n = _without(s.w_holds, s.w_holds_n, hold)
    s.w_asked_n = _without(s.w_asked, s.w_asked_n, hold)
    attend_pockets(s)
    aim(s)
    show(s)


@part
def attend_pockets(s):
    while s.p_full == 0 and s.p_cuts >= s.cuts_per_ream and s.fault == 0:
        s.p_full = 1
        s.w_sets += s.lanes
        s.w_sets_to_book += 1
        outer = s.w_attending
        s.w_attending = 1
        transfer_set_full(s)
        s.w_attending = outer
    if s.p_full == 0 or s.w_full_hold:
        return
    if _cuts_to_attention(s) <= 0:
        s.w_full_hold = 1
        add_hold(s, FULL)


@part
def set_taken(s):
    settle_webs(s)
    s.p_full = 0
    s.p_cuts = min(s.p_on_belt, s.cuts_per_ream)
    s.p_on_belt -= s.p_cuts
    if s.w_full_hold:
        s.w_full_hold = 0
        release_hold(s, FULL)
    attend_pockets(s)
    if not standing(s) and s.w_attending == 0:
        plan_pockets(s)


@part
def set_slow(s, slow):
    if slow != s.w_slow:
        settle(s)
        s.w_slow = slow
        aim(s)
        show(s)


# -- what is due -------------------------------------------------------------------------------


@part
def web_stop(s, c, restore):
    count_stop(s, s.c_station[c], s.c_number[c])
    i = new_stoppage(
        s,
        -1,
        s.c_station[c],
        s.c_number[c],
        s.c_working[c],
        s.c_people[c],
        s.c_priority[c],
        restore,
        c,
    )
    add_hold(s, i)


@part
def forced_web_stop(s, station, cause, length):
    count_stop(s, station, cause)
    add_hold(s, new_stoppage(s, -1, station, cause, DOWN, 0, 1, length, -1))


@part
def _look_for_web_dues(s):
    for meter in range(5):
        s.w_dues[meter] = NEVER
    for c in range(s.w_causes):
        s.w_dues[s.c_meter[c]] = min(s.w_dues[s.c_meter[c]], s.c_due[c])


@part
def _drop_partial_cut(s):
    partial = (s.w_x - s.w_cut_x) - (s.w_cuts - s.w_cut_number) * s.cut_um
    s.broken += partial * s.webs
    use_paper(s, USE_BROKEN, partial * s.webs)
    s.w_cut_x = s.w_x
    s.w_cut_number = s.w_cuts


@part
def _break(s, web):
    settle(s)
    coast = np.int64(np.rint(s.w_speed / s.w_loss)) if s.w_loss > 0 else 0
    held = falls(s, s.w_clamp[web])
    short, long = draw(s, s.w_held[web]), draw(s, s.w_lost[web])
    rethread = short if held else long
    _drop_partial_cut(s)
    forget_paper(s, s.w_cuts, SPLICE, JOINT)
    s.w_soon_n = 0
    s.w_splice_until_x = -1
    gone = 0
    for stand in range(s.webs):
        if s.u_threaded[stand] == 0:
            continue
        s.broken += s.u_path_um
        use_paper(s, USE_BROKEN, s.u_path_um)
        if _left(s, stand) >= s.u_path_um:
            _lose(s, stand, s.u_path_um)
        else:
            s.u_threaded[stand] = 0
            gone |= 1 << stand
    count_stop(s, WEB_PATH, s.w_break_cause)
    i = new_stoppage(
        s,
        -1,
        WEB_PATH,
        s.w_break_cause,
        DOWN,
        s.w_rethread_people,
        s.p_standing_line,
        coast + rethread,
        -1,
    )
    s.w_target = 0.0
    _move(s, 0.0, 0.0)
    add_hold(s, i)
    for stand in range(s.webs):
        if gone >> stand & 1:
            must_change(s, stand)
    reels_reached(s, s.w_x)


@part
def _attend_others(s):
    x = s.w_x
    settle(s)
    for stand in range(s.webs):
        while s.u_joint_i[stand] < s.u_joint_n[stand] and s.u_joint[stand, s.u_joint_i[stand]] <= x:
            joint = s.u_joint[stand, s.u_joint_i[stand]]
            s.u_joint_i[stand] += 1
            _reject_around(s, joint, s.w_cuts_per_joint, JOINT)
            if falls(s, s.w_joint[stand]):
                _expect(s, stand, s.w_x + 1)
    reels_reached(s, x)
    if 0 <= s.w_splice_until_x <= x:
        s.w_splice_until_x = -1
    if _wanted(s) != s.w_target:
        aim(s)
        show(s)
    elif s.w_change == 0.0 and not standing(s):
        _splice_at_speed(s)
    for c in range(s.w_causes):
        meter = s.c_meter[c]
        if meter == CLOCK_H:
            continue
        if meter == RUNNING_H:
            reading = s.w_run_ns
        elif meter == WEB_KM:
            reading = s.w_x
        elif meter == CUTS:
            reading = s.w_cuts
        else:
            reading = s.w_sets
        if reading >= s.c_due[c]:
            restore = cause_falls(s, c, reading)
            _look_for_web_dues(s)
            web_stop(s, c, restore)
    n = s.w_soon_n
    soon = _put_aside(s, 2 * n)
    for i in range(n):
        s.aside[soon + 2 * i] = s.w_soon_web[i]
        s.aside[soon + 2 * i + 1] = s.w_soon_x[i]
    for i in range(n):
        web = s.aside[soon + 2 * i]
        if x < s.aside[soon + 2 * i + 1]:
            continue
        for j in range(s.w_soon_n):
            if s.w_soon_web[j] == web:
                for k in range(j, s.w_soon_n - 1):
                    s.w_soon_web[k] = s.w_soon_web[k + 1]
                    s.w_soon_x[k] = s.w_soon_x[k + 1]
                s.w_soon_n -= 1
                _break(s, web)
                break
    s.aside_n = soon
    _wear(s)
    if s.w_breaks:
        for web in range(s.webs):
            if s.w_worn + _SAME_UM >= s.w_due[web]:
                s.w_due[web] = s.w_worn + np.float64(max(1, draw(s, s.w_gap[web])))
                _break(s, web)


@part
def webs_clock_stop(s, c):
    restore = cause_falls(s, c, s.moment)
    return restore


@part
def after_ring(s):
    """What follows once the alarm of the webs has rung and no cruise was taken."""
    attend_pockets(s)
    if standing(s):
        return
    if s.moment >= s.w_other_at or s.w_sets >= s.w_reams_due:
        _attend_others(s)
        plan(s)
    else:
        plan_pockets(s)


@part
def on_ring(s):
    settle_webs(s)
    if s.moment >= s.w_until:
        settle(s)
        _move(s, s.w_target, 0.0)
        if standing(s):
            _stand(s)
        else:
            _splice_at_speed(s)
        show(s)
