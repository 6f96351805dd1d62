"""Compiled: planned pauses, as in ``line.calendar``."""

from __future__ import annotations

from linesim.fast.layout import (
    CALENDAR_ALARM,
    PAUSE,
    PAUSE_ALARM,
    PAUSE_NUMBERS,
    PAUSES_AT_ONCE,
    TOO_MANY_PAUSES,
)
from linesim.fast.parts import part
from linesim.fast.rules.calling import peek
from linesim.fast.rules.clock import RANK_CALENDAR, set_alarm
from linesim.fast.rules.crew import come_back, leave, take_back
from linesim.fast.rules.floor import settle
from linesim.fast.rules.machine import end_stop, machine_hold
from linesim.fast.rules.states import CALENDAR, PLANNED, PLANNED_LOSS
from linesim.fast.rules.stations import WEBS_N
from linesim.fast.rules.stoppage import free_stoppage
from linesim.fast.rules.webs import add_hold, release_hold
from linesim.line.clock import NEVER


@part
def _number_of(s, i, field):
    """For compiled code: one of the numbers that stand for a ``calendar.Pause``."""
    return peek(s.pauses_at + (i * PAUSE_NUMBERS + field) * 8)


@part
def _next_pause(s):
    """Follows ``Calendar._next``."""
    if s.d_next < s.d_count:
        set_alarm(s, CALENDAR_ALARM, RANK_CALENDAR, _number_of(s, s.d_next, 0))


@part
def pause_begins(s):
    """Follows ``Calendar._begin``."""
    i = s.d_next
    s.d_next += 1
    settle(s)
    name = _number_of(s, i, 2)
    if s.d_number[name] < 0:
        s.d_number[name] = s.causes
        s.l_kind[s.causes] = CALENDAR
        s.l_waiting[s.causes] = PLANNED_LOSS
        s.causes += 1
    if _number_of(s, i, 3):
        s.d_away += 1
        leave(s, _number_of(s, i, 5))
    s.free -= _number_of(s, i, 4)
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
    set_alarm(s, PAUSE_ALARM + at, RANK_CALENDAR, _number_of(s, i, 1))
    _next_pause(s)


@part
def pause_ends(s, at):
    """Follows ``Calendar._end``."""
    i = s.d_pause[at]
    if _number_of(s, i, 3):
        s.d_away -= 1
        if s.d_away == 0:
            come_back(s)
    people = _number_of(s, i, 4)
    if people > 0:
        take_back(s, people)
    for machine in range(s.stations - WEBS_N):
        held = s.d_held[at, machine]
        end_stop(s, machine, held)
        free_stoppage(s, held)
    release_hold(s, PAUSE + at)
    s.d_pause[at] = -1
