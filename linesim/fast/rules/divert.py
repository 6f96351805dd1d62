"""Compiled: the divert, as in ``line.divert``."""

from __future__ import annotations

from linesim.fast.layout import HOT_STANDBY, IN_TURN, SECOND_ABOVE_LEVEL
from linesim.fast.parts import part
from linesim.fast.rules.machine import stands
from linesim.fast.rules.stations import WRAPPER


@part
def _whose_turn(s):
    """In turn: the wrapper whose turn it is; -1 where all stand. Follows ``Divert.may_take``."""
    best = -1
    nearest = s.k_n
    for w in range(s.k_n):
        distance = (w - s.k_turn) % s.k_n
        if not stands(s, WRAPPER + w) and distance < nearest:
            best, nearest = w, distance
    return best


@part
def may_take(s, w):
    """Follows ``Divert.may_take``."""
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
