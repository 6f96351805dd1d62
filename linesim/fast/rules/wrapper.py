"""Compiled: wrappers, as in ``line.wrapper``."""

from __future__ import annotations

from linesim.fast.layout import REAMS
from linesim.fast.parts import part
from linesim.fast.rules.chance import draw, falls
from linesim.fast.rules.ledger import count_stop
from linesim.fast.rules.machine import begin_stop, fall, look_for_dues
from linesim.fast.rules.states import CHANGEOVER
from linesim.fast.rules.stations import WEBS_N, WRAPPER
from linesim.fast.rules.stoppage import new_stoppage
from linesim.line.clock import NEVER


@part
def run_until_stop(s, w):
    """Follows ``Wrapper.run_until_stop``."""
    left = s.m_running_due[WRAPPER + w] - s.k_run_ns[w] - (s.k_cycle[w] if s.k_busy[w] else 0)
    return max(0, left)


@part
def pause_wrapper(s, w):
    """Follows ``Wrapper.pause``."""
    if s.k_busy[w]:
        s.k_rest[w] = s.k_ends[w] - s.moment
        into = s.moment - s.k_began[w]
        s.k_run_ns[w] += into
        s.k_cycle[w] -= into


@part
def wrapper_goes_on(s, w):
    """Follows ``Wrapper.go_on``."""
    now = s.moment
    if s.k_busy[w]:
        s.k_began[w] = now
        s.k_ends[w] = now + s.k_rest[w]
        into = max(0, s.m_running_due[WRAPPER + w] - s.k_run_ns[w])
        s.k_stops_at[w] = now + into if into < s.k_rest[w] else NEVER
    else:
        s.k_idle_since[w] = now


@part
def fall_by_reams(s, w):
    """Follows ``Wrapper.fall_by_reams``."""
    machine = WRAPPER + w
    fall(s, machine, REAMS, s.k_done[w])
    if s.k_done[w] >= s.k_roll_due[w]:
        s.k_roll_due[w] = s.k_done[w] + s.k_roll_reams[w]
        look_for_dues(s, machine)
        restore = draw(s, s.k_roll_times[w])
        if s.k_roll_stop[w] or falls(s, s.k_roll_fails[w]):
            count_stop(s, WEBS_N + machine, s.k_roll_cause[w])
            i = new_stoppage(
                s,
                machine,
                WEBS_N + machine,
                s.k_roll_cause[w],
                CHANGEOVER,
                s.k_roll_people[w],
                s.p_standing_wrapper,
                restore,
                -1,
            )
            begin_stop(s, machine, i)
