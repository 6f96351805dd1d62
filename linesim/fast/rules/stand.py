"""Compiled: reels on stands, as in ``line.stand``."""

from __future__ import annotations

import numpy as np

from linesim.fast.parts import part
from linesim.fast.rules.calling import ask_python


@part
def left_on(s, stand):
    """Follows ``Stand.left``."""
    return s.u_end[stand] - s.w_x


@part
def _aim_reel(s, stand):
    """Follows ``Stand.aim``."""
    s.u_stop_x[stand] = s.u_end[stand] - s.u_reserve_um
    s.u_splice_x[stand] = s.u_end[stand] - s.u_butt_um


@part
def lose_paper(s, stand, length):
    """Follows ``Stand.lose``."""
    s.u_end[stand] -= length
    for i in range(s.u_joint_i[stand], s.u_joint_n[stand]):
        s.u_joint[stand, i] -= length
    _aim_reel(s, stand)


@part
def fetch_reel(s, stand):
    """Follows ``Stand.fetch``."""
    if s.u_stock_i[stand] == s.u_stock_n[stand]:
        ask_python(s.fetch_at, stand)
    i = s.u_stock_i[stand]
    s.u_stock_i[stand] = i + 1
    s.u_length = s.u_stock_um[stand, i]
    s.u_joints = s.u_stock_joints[stand, i]
    s.u_from = s.u_stock_from[stand, i]


@part
def mount_reel(s, stand, length, n, paired):
    """Follows ``Stand.mount``."""
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
def mount_part(s, stand):
    """Follows ``Unwind._first_reel``, whose reel is mounted."""
    fetch_reel(s, stand)
    length = s.u_length
    least = min(s.u_reserve_um + 1, length)
    gone = length - max(np.int64(length * s.u_part[stand]), least)
    s.u_end[stand] = s.w_x + length - gone
    count = 0
    for i in range(s.u_joints):
        joint = s.u_stock_joint[stand, s.u_from + i]
        if joint > gone:
            s.u_joint[stand, count] = s.w_x + joint - gone
            count += 1
    s.u_joint_i[stand] = 0
    s.u_joint_n[stand] = count
    s.u_wanted[stand] = 0
    _aim_reel(s, stand)
