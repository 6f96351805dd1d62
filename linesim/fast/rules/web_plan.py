"""Compiled: what is due next on the webs, as in ``line.web_plan``."""

from __future__ import annotations

import numpy as np

from linesim.fast.layout import CUTS, REAMS, RUNNING_H, WEB_KM, WEBS_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.clock import RANK_WEB, set_alarm
from linesim.fast.rules.gate import cut_with_good
from linesim.fast.rules.motion import run_down_length, time_to_wear
from linesim.fast.rules.unwind import next_reel_x
from linesim.fast.rules.web_motion import standing, time_at
from linesim.line.clock import NEVER


@part
def _x_with_good(s, good):
    """Follows ``Cutting.x_with_good``."""
    return s.w_cut_x + (cut_with_good(s, s.w_cuts, good) - s.w_cut_number) * s.cut_um


@part
def stop_x(s):
    """Follows ``WebPlan.stop_x``."""
    room = s.p_hold - s.p_on_belt
    if s.w_loss == 0.0:
        return _x_with_good(s, room)
    length = run_down_length(s.w_speed, 0.0, s.w_loss)
    if s.w_change > 0:
        left = _x_with_good(s, room) - s.cut_um - s.w_x - length
        return s.w_x + max(0, np.int64(left / (1 + s.w_change / s.w_loss)))
    return _x_with_good(s, max(0, room - length // s.cut_um - 1))


@part
def plan_pockets(s):
    """Follows ``WebPlan.plan_pockets``."""
    goal = s.w_other_x
    if s.w_full_hold == 0:
        full_x = stop_x(s) if s.p_full else _x_with_good(s, s.cuts_per_ream - s.p_cuts)
        goal = min(goal, full_x)
    s.w_goal_x = goal
    s.w_goal_at = time_at(s, goal)
    at = min(s.w_other_at, s.w_goal_at)
    if s.w_sets >= s.w_reams_due:
        at = s.moment  # the set that makes it due was full as the webs came to a stand
    set_alarm(s, WEBS_ALARM, RANK_WEB, max(s.moment, at))


@part
def plan_webs(s):
    """Follows ``WebPlan.plan``."""
    if standing(s):
        set_alarm(s, WEBS_ALARM, RANK_WEB, NEVER)
        return
    now = s.moment
    other = next_reel_x(s, s.w_x)
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
            + time_to_wear(
                s.w_from_speed, s.w_change, first - s.w_from_worn, s.w_reference, s.w_power
            ),
        )
    s.w_other_x = other
    at = min(at, time_at(s, other))
    s.w_other_at = max(now, at)
    plan_pockets(s)
