"""Compiled: where the webs are and how fast they run, as in ``line.web_motion``."""

from __future__ import annotations

import numpy as np

from linesim.fast.parts import part
from linesim.fast.rules.cutting import pass_made
from linesim.fast.rules.motion import time_to_run, worn_in
from linesim.line.clock import NEVER

SAME_UM = 2


@part
def settle_webs(s):
    """Follows ``WebMotion.run_on``, ``Webs.settle`` and ``Cutting.run_to``."""
    now = s.moment
    if now == s.w_seen_at:
        return
    if not (s.w_change != 0.0 or s.w_from_speed > 0.0):
        s.w_seen_at = now
        return
    dt = now - s.w_at
    x = max(s.w_x, s.w_from_x + np.int64((s.w_from_speed + 0.5 * s.w_change * dt) * dt + 0.5))
    if now >= s.w_goal_at and x + 2 >= s.w_goal_x:
        x = max(x, s.w_goal_x)
    if now >= s.w_until:
        s.w_speed = s.w_target
    elif s.w_change != 0.0:
        s.w_speed = s.w_from_speed + s.w_change * dt
    s.w_run_ns += now - s.w_seen_at
    s.w_seen_at = now
    s.w_x = x
    cuts = s.w_cut_number + (x - s.w_cut_x) // s.cut_um
    if cuts > s.w_cuts:
        pass_made(s, cuts)


@part
def standing(s):
    """Follows ``WebMotion.standing``."""
    return s.w_speed == 0.0 and s.w_change == 0.0


@part
def wear_webs(s):
    """Follows ``WebMotion.wear``."""
    if s.w_breaks:
        dt = s.moment - s.w_at
        s.w_worn = s.w_from_worn + worn_in(s.w_from_speed, s.w_change, dt, s.w_reference, s.w_power)


@part
def begin_stretch(s, speed: float, change: float):
    """Follows ``WebMotion._begin``."""
    wear_webs(s)
    s.w_speed = speed
    s.w_at = s.moment
    s.w_from_x = s.w_x
    s.w_from_worn = s.w_worn
    s.w_from_speed = speed
    s.w_change = change
    s.w_until = NEVER


@part
def time_at(s, x):
    """Follows ``WebMotion.time_at``."""
    return s.w_at + time_to_run(s.w_from_speed, s.w_change, x - s.w_from_x)
