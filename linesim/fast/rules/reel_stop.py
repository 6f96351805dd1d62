"""Compiled: the standstill in which reels are replaced, as in ``line.reel_stop``."""

from __future__ import annotations

from linesim.fast.layout import REEL_ALARM, REEL_STOP
from linesim.fast.parts import part
from linesim.fast.rules.calling import (
    hurry_stand,
    reels_reached,
    release_hold,
    replaced,
    settle,
    show,
)
from linesim.fast.rules.chance import draw
from linesim.fast.rules.crew import ask_crew
from linesim.fast.rules.stand import left_on


@part
def in_reel_stop(s, stop, stand):
    """Whether it is one of ``ReelStop.stands``."""
    for i in range(s.u_stands_n[stop]):  # noqa: SIM110  # compiled code has no generators
        if s.u_stands[stop, i] == stand:
            return True
    return False


@part
def ask_for_reel(s, stop, stand):
    """Follows ``ReelStop._ask``."""
    paired = s.u_paired
    length = draw(s, s.u_splice[stand] if paired else s.u_change[stand])
    s.u_ask_of[stand] = stop
    s.u_waiting_people[stop] |= 1 << stand
    ask_crew(s, REEL_ALARM + stand, s.u_people, s.p_standing_line, length, 1)


@part
def _begin_reel(s, stop, stand):
    """Follows ``ReelStop._begin``."""
    s.u_left[stop] |= 1 << stand
    if s.u_paired and s.u_partner[stand] == 0:
        s.u_waiting_reel[stop] |= 1 << stand
        hurry_stand(s, stand)
    else:
        ask_for_reel(s, stop, stand)


@part
def add_reel(s, stop, stand):
    """Follows ``ReelStop.add``."""
    if in_reel_stop(s, stop, stand):
        return
    s.u_stands[stop, s.u_stands_n[stop]] = stand
    s.u_stands_n[stop] += 1
    if s.u_begun[stop]:
        _begin_reel(s, stop, stand)


@part
def reel_stop_stood(s, stop):
    """Follows ``ReelStop.stood`` and ``Unwind.changed_together``."""
    s.u_begun[stop] = 1
    before = s.u_stands_n[stop]
    for stand in range(s.webs):
        taken = False
        for i in range(before):
            taken = taken or s.u_stands[stop, i] == stand
        if taken or left_on(s, stand) >= s.u_together_um:
            continue
        if s.u_paired and s.u_partner[stand] == 0:
            continue
        s.u_stands[stop, s.u_stands_n[stop]] = stand
        s.u_stands_n[stop] += 1
    for i in range(s.u_stands_n[stop]):
        _begin_reel(s, stop, s.u_stands[stop, i])


@part
def reel_begun(s, stand):
    """Follows ``ReelStop._ask``: people have come."""
    settle(s)
    s.u_waiting_people[s.u_ask_of[stand]] &= ~(1 << stand)
    show(s)


@part
def reel_waits(s, stand):
    """Follows ``ReelStop._ask``: people have gone again."""
    settle(s)
    s.u_waiting_people[s.u_ask_of[stand]] |= 1 << stand
    show(s)


@part
def reel_done(s, stand):
    """Follows ``ReelStop._ask``, the reel is replaced, and ``Unwind.stop_over``."""
    settle(s)
    stop = s.u_ask_of[stand]
    s.u_left[stop] &= ~(1 << stand)
    replaced(s, stand)
    if s.u_left[stop] == 0:
        s.u_stop = -1
        reels_reached(s, s.w_x)
        release_hold(s, REEL_STOP + stop)
    show(s)
