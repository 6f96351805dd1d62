"""Compiled: unwinding, as in ``line.unwind``."""

from __future__ import annotations

from linesim.fast.layout import PREPARE_ALARM, REEL_STOP, SPLICE, USE_BUTTS
from linesim.fast.parts import part
from linesim.fast.rules.calling import add_hold, plan_webs, settle, show
from linesim.fast.rules.chance import draw, falls
from linesim.fast.rules.crew import ask_crew, hurry
from linesim.fast.rules.cutting import reject_around, use_paper
from linesim.fast.rules.ledger import count_stop
from linesim.fast.rules.reel_stop import add_reel, ask_for_reel, in_reel_stop
from linesim.fast.rules.stand import fetch_reel, left_on, mount_part, mount_reel
from linesim.fast.rules.web_breaks import SOON_UM, expect_break
from linesim.fast.rules.web_motion import settle_webs, standing
from linesim.line.clock import NEVER


@part
def must_change(s, stand):
    """Follows ``Unwind.must_change``."""
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
        add_reel(s, stop, stand)
        add_hold(s, REEL_STOP + stop)
    else:
        add_reel(s, s.u_stop, stand)


@part
def _can_fly(s, stand):
    """Follows ``Unwind._can_fly``."""
    return s.u_flying != 0 and s.u_partner[stand] != 0


@part
def _attention_x(s, stand, x):
    """Follows ``Unwind._attention_x``."""
    if not _can_fly(s, stand):
        return s.u_stop_x[stand]
    if s.u_wanted[stand] == 0:
        return s.u_splice_x[stand] - s.u_slow_um
    return max(s.u_splice_x[stand], x + 1)


@part
def reels_reached(s, x):
    """Follows ``Unwind.reached``."""
    for stand in range(s.webs):
        if s.u_stop >= 0 and in_reel_stop(s, s.u_stop, stand):
            continue
        if not _can_fly(s, stand):
            if x >= s.u_stop_x[stand]:
                must_change(s, stand)
            continue
        if x >= s.u_splice_x[stand] - s.u_slow_um:
            s.u_wanted[stand] = 1
        if x >= s.u_splice_x[stand] and standing(s):
            must_change(s, stand)


@part
def lay_out_reels(s):
    """Follows ``Unwind.begin_to_count``."""
    for stand in range(s.webs):
        changed = s.u_stop >= 0 and in_reel_stop(s, s.u_stop, stand)
        if s.u_part[stand] > 0.0 and s.u_threaded[stand] and not changed:
            mount_part(s, stand)


@part
def next_reel_x(s, x):
    """Follows ``Unwind.next_x``."""
    nearest = NEVER
    for stand in range(s.webs):
        if s.u_stop < 0 or not in_reel_stop(s, s.u_stop, stand):
            nearest = min(nearest, _attention_x(s, stand, x))
        if s.u_joint_i[stand] < s.u_joint_n[stand]:
            nearest = min(nearest, s.u_joint[stand, s.u_joint_i[stand]])
    return max(nearest, x)


@part
def _prepare(s, stand):
    """Follows ``Unwind._prepare``."""
    s.u_preparing[stand] = 1
    length = draw(s, s.u_prepare[stand])
    ask_crew(s, PREPARE_ALARM + stand, s.u_prepare_people, s.p_prepare, length, 0)


@part
def prepare_after_break(s):
    """Follows ``Unwind.prepare_after_break``."""
    for stand in range(s.webs):
        if s.u_paired and s.u_partner[stand] == 0 and s.u_preparing[stand] == 0:
            _prepare(s, stand)


@part
def hurry_stand(s, stand):
    """Follows ``Unwind.hurry``."""
    if s.u_preparing[stand] == 0:
        _prepare(s, stand)
    if s.u_preparing[stand]:
        hurry(s, PREPARE_ALARM + stand, s.p_standing_line)


@part
def replaced(s, stand):
    """Follows ``Unwind.replaced`` and ``WebJoins.spliced``."""
    left = left_on(s, stand)
    s.butts += left
    use_paper(s, USE_BUTTS, left)
    joined = s.u_threaded[stand]
    if s.u_paired:
        s.u_partner[stand] = 0
        mount_reel(s, stand, s.u_partner_um[stand], s.u_partner_n[stand], True)
    else:
        fetch_reel(s, stand)
        s.loaded += s.u_length
        mount_reel(s, stand, s.u_length, s.u_joints, False)
    fails = breaks = False
    if joined:
        reject_around(s, s.w_x, s.w_cuts_per_splice, SPLICE)
        fails = s.u_paired != 0 and falls(s, s.u_fails[stand])
        breaks = falls(s, s.w_splice[stand])
        if fails or breaks:
            expect_break(s, stand, s.w_x + (1 if s.w_speed > 0 else SOON_UM))
    if s.u_paired and not (fails or breaks):
        _prepare(s, stand)


@part
def prepare_done(s, stand):
    """Follows ``Unwind._prepare``, ``ReelStop.partner_ready`` and ``Webs._reconsider``."""
    settle(s)
    s.u_preparing[stand] = 0
    fetch_reel(s, stand)
    s.u_partner[stand] = 1
    s.u_partner_um[stand] = s.u_length
    s.u_partner_n[stand] = s.u_joints
    for i in range(s.u_joints):
        s.u_partner_joint[stand, i] = s.u_stock_joint[stand, s.u_from + i]
    s.loaded += s.u_length
    stop = s.u_stop
    if stop >= 0 and s.u_waiting_reel[stop] >> stand & 1:
        s.u_waiting_reel[stop] &= ~(1 << stand)
        ask_for_reel(s, stop, stand)
    settle_webs(s)
    plan_webs(s)
    show(s)
