"""Compiled: the webs: what they stand for and what is due, as in ``line.webs``."""

from __future__ import annotations

import numpy as np

from linesim.fast.layout import (
    AFTER_STOP,
    ASIDE,
    CLOCK_H,
    FULL,
    JOINT,
    REEL_STOP,
    SPOILED,
    STOPS_AT_ONCE,
    TOO_MANY_STOPPAGES,
)
from linesim.fast.parts import Column, part
from linesim.fast.rules.calling import settle, show
from linesim.fast.rules.chance import draw, falls
from linesim.fast.rules.cutting import reject_around
from linesim.fast.rules.gate import reject
from linesim.fast.rules.reel_stop import reel_stop_stood
from linesim.fast.rules.stoppage import begin_job
from linesim.fast.rules.transfer import transfer_set_full
from linesim.fast.rules.unwind import lay_out_reels, reels_reached
from linesim.fast.rules.web_breaks import SOON_UM, expect_break
from linesim.fast.rules.web_joins import break_web, splice_at_speed
from linesim.fast.rules.web_motion import SAME_UM, begin_stretch, settle_webs, standing, wear_webs
from linesim.fast.rules.web_plan import plan_pockets, plan_webs, stop_x
from linesim.fast.rules.web_stops import (
    spoil_by_stop,
    web_reading,
    web_stop,
    web_stops_begin_to_count,
)


@part
def splicing(s):
    """Follows ``Webs.splicing``."""
    for stand in range(s.webs):
        if s.u_wanted[stand] != 0:
            return True
    return s.w_x < s.w_splice_until_x


@part
def _wanted(s) -> float:
    """Follows ``Webs._wanted``."""
    if s.w_holds_n > 0:
        return 0.0
    speed = s.pace
    if s.w_slow:
        speed = min(speed, s.speed * s.w_slow_to)
    if splicing(s):
        speed = min(speed, s.w_splice_speed)
    return speed


@part
def _append(s, values: Column, n, value):
    """For compiled code: one more at the end of ``Webs.holds`` or ``Webs._asked``; how many."""
    if n >= STOPS_AT_ONCE:
        s.fault = TOO_MANY_STOPPAGES
        return n
    values[n] = value
    return n + 1


@part
def _put_aside(s, n):
    """For compiled code: room for a list while others are told of it, who may need some, too."""
    at = s.aside_n
    if at + n > ASIDE:
        s.fault = TOO_MANY_STOPPAGES
        return 0
    s.aside_n = at + n
    return at


@part
def _stand(s):
    """Follows ``Webs._stand``."""
    s.w_after_stand = 1
    n = s.w_asked_n
    asked = _put_aside(s, n)
    for i in range(n):
        s.aside[asked + i] = s.w_asked[i]
    s.w_asked_n = 0
    for i in range(n):
        hold = s.aside[asked + i]
        if hold < REEL_STOP:
            if s.s_of[hold] >= 0:
                spoil_by_stop(s, s.s_of[hold])
            begin_job(s, hold)
        elif hold < FULL:
            reel_stop_stood(s, hold - REEL_STOP)
    s.aside_n = asked


@part
def _restart(s):
    """Follows ``Webs._restart``."""
    reject(s, s.w_cuts, s.w_cuts_after_stop, AFTER_STOP)
    if s.w_spoiled_cuts:
        reject(s, s.w_cuts + s.w_cuts_after_stop, s.w_spoiled_cuts, SPOILED)
    s.w_spoiled_cuts = 0
    s.w_after_stand = 0
    for web in range(s.webs):
        if falls(s, s.w_restart[web]):
            expect_break(s, web, s.w_x + SOON_UM)


@part
def _aim(s):
    """Follows ``Webs._aim`` and ``WebMotion.head_for``."""
    settle_webs(s)
    target = _wanted(s)
    if target == s.w_target and s.w_change != 0.0:
        plan_webs(s)
        return
    if target > 0 and standing(s) and s.w_after_stand:
        _restart(s)
    s.w_target = target
    rate = s.w_gain if target > s.w_speed else s.w_loss
    if target != s.w_speed and rate > 0:
        begin_stretch(s, s.w_speed, rate if target > s.w_speed else -rate)
        # the speed is still the one they had
        s.w_until = s.moment + max(1, np.int64(np.rint(abs(target - s.w_speed) / rate)))
    else:
        begin_stretch(s, target, 0.0)
    if standing(s):
        _stand(s)
    elif s.w_change == 0.0:
        splice_at_speed(s)
    plan_webs(s)


@part
def webs_begin_to_count(s):
    """Follows ``Webs.begin_to_count``."""
    lay_out_reels(s)
    web_stops_begin_to_count(s)
    _aim(s)


@part
def add_hold(s, hold):
    """Follows ``Webs.add``."""
    settle(s)
    s.w_holds_n = _append(s, s.w_holds, s.w_holds_n, hold)
    s.w_asked_n = _append(s, s.w_asked, s.w_asked_n, hold)
    _aim(s)
    show(s)


@part
def _without(values: Column, n, hold):
    """For compiled code: a list without one of its members; how many are left."""
    kept = 0
    for i in range(n):
        if values[i] != hold:
            values[kept] = values[i]
            kept += 1
    return kept


@part
def release_hold(s, hold):
    """Follows ``Webs.release``."""
    settle(s)
    s.w_holds_n = _without(s.w_holds, s.w_holds_n, hold)
    s.w_asked_n = _without(s.w_asked, s.w_asked_n, hold)
    _attend_pockets(s)
    _aim(s)
    show(s)


@part
def _attend_pockets(s):
    """Follows ``Webs._attend_pockets``."""
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
    if stop_x(s) <= s.w_x:
        s.w_full_hold = 1
        add_hold(s, FULL)


@part
def set_taken(s):
    """Follows ``Webs.set_taken`` and ``Pockets.emptied``."""
    settle_webs(s)
    s.p_full = 0
    s.p_cuts = min(s.p_on_belt, s.cuts_per_ream)
    s.p_on_belt -= s.p_cuts
    if s.w_full_hold:
        s.w_full_hold = 0
        release_hold(s, FULL)
    _attend_pockets(s)
    if not standing(s) and s.w_attending == 0:
        plan_pockets(s)


@part
def set_slow(s, slow):
    """Follows ``Webs.set_slow``."""
    if slow != s.w_slow:
        settle(s)
        s.w_slow = slow
        _aim(s)
        show(s)


@part
def _attend_others(s):
    """Follows ``Webs._attend_others``."""
    x = s.w_x
    settle(s)
    for stand in range(s.webs):
        while s.u_joint_i[stand] < s.u_joint_n[stand] and s.u_joint[stand, s.u_joint_i[stand]] <= x:
            joint = s.u_joint[stand, s.u_joint_i[stand]]
            s.u_joint_i[stand] += 1
            reject_around(s, joint, s.w_cuts_per_joint, JOINT)
            if falls(s, s.w_joint[stand]):
                expect_break(s, stand, s.w_x + 1)
    reels_reached(s, x)
    if 0 <= s.w_splice_until_x <= x:
        s.w_splice_until_x = -1
    if _wanted(s) != s.w_target:
        _aim(s)
        show(s)
    splice_at_speed(s)
    for c in range(s.w_causes):
        meter = s.c_meter[c]
        if meter == CLOCK_H:
            continue
        reading = web_reading(s, meter)
        if reading >= s.c_due[c]:
            web_stop(s, c, reading)
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
                break_web(s, web)
                break
    s.aside_n = soon
    wear_webs(s)
    if s.w_breaks:
        for web in range(s.webs):
            if s.w_worn + SAME_UM >= s.w_due[web]:
                s.w_due[web] = s.w_worn + np.float64(max(1, draw(s, s.w_gap[web])))
                break_web(s, web)


@part
def on_ring(s):
    """Follows ``Webs._rung`` up to the cruise."""
    settle_webs(s)
    if s.moment >= s.w_until:
        settle(s)
        begin_stretch(s, s.w_target, 0.0)
        if standing(s):
            _stand(s)
        else:
            splice_at_speed(s)
        show(s)


@part
def after_ring(s):
    """Follows ``Webs._rung`` where no cruise was taken."""
    _attend_pockets(s)
    if standing(s):
        return
    if s.moment >= s.w_other_at or s.w_sets >= s.w_reams_due:
        _attend_others(s)
        plan_webs(s)
    else:
        plan_pockets(s)
