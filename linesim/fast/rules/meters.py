"""Compiled: stop causes at work, as in ``line.meters``."""

from __future__ import annotations

from linesim.fast.layout import CAUSE_ALARM, CLOCK_H
from linesim.fast.parts import part
from linesim.fast.rules.chance import draw
from linesim.fast.rules.clock import set_alarm
from linesim.line.clock import NEVER


@part
def cause_falls(s, c, reading):
    """Follows ``Cause.fall``."""
    s.c_due[c] = NEVER
    if s.c_meter[c] != CLOCK_H:
        s.c_next_due[c] = reading + max(1, draw(s, s.c_interval[c]))
    return draw(s, s.c_restore[c])


@part
def cause_begins_to_count(s, c, reading):
    """Follows ``Cause.begin_to_count``."""
    if s.c_left[c] >= 0:
        s.c_due[c] = reading + s.c_left[c]
        if s.c_meter[c] == CLOCK_H:
            set_alarm(s, CAUSE_ALARM + c, s.a_rank[CAUSE_ALARM + c], s.c_due[c])


@part
def cause_mended(s, c):
    """Follows ``Cause.mended``."""
    if s.c_meter[c] != CLOCK_H:
        s.c_due[c] = s.c_next_due[c]
    else:
        s.c_due[c] = s.moment + max(1, draw(s, s.c_interval[c]))
        set_alarm(s, CAUSE_ALARM + c, s.a_rank[CAUSE_ALARM + c], s.c_due[c])
