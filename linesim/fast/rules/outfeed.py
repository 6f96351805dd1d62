"""Compiled: the outfeed, as in ``line.outfeed``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.clock import times
from linesim.fast.rules.machine import stands
from linesim.fast.rules.stations import outfeed_machine
from linesim.line.clock import NEVER


@part
def has_room(s):
    """Follows ``Outfeed.has_room``."""
    return s.o_waiting < s.o_room or (s.o_busy == 0 and not stands(s, outfeed_machine(s)))


@part
def _outfeed_goes(s, at, length):
    """Follows ``Outfeed._go``."""
    s.o_began = at
    s.o_ends = at + length
    into = max(0, s.m_running_due[outfeed_machine(s)] - s.o_run_ns)
    s.o_stops_at = at + into if into < length else NEVER


@part
def outfeed_takes(s, at):
    """Follows ``Outfeed.take``."""
    if s.o_busy or stands(s, outfeed_machine(s)) or s.o_waiting == 0:
        return
    s.o_waiting -= 1
    s.o_busy = 1
    _outfeed_goes(s, at, s.o_cycle)


@part
def earliest_stop(s, now):
    """Follows ``Outfeed.earliest_stop``."""
    o = outfeed_machine(s)
    at = s.o_stops_at if s.o_busy else NEVER
    running_due, reams_due = s.m_running_due[o], s.m_reams_due[o]
    if running_due == NEVER and reams_due == NEVER:
        return at
    base = s.o_ends if s.o_busy else now
    after = s.o_run_ns + (s.o_ends - s.o_began if s.o_busy else 0)
    left = reams_due - s.o_done - (1 if s.o_busy else 0)
    return min(at, base + max(0, running_due - after), base + times(max(0, left), s.o_cycle))


@part
def keeps_up_with(s, first, cycle):
    """Follows ``Outfeed.keeps_up_with``."""
    o = outfeed_machine(s)
    if stands(s, o) or s.o_waiting or s.o_stops_at < NEVER or cycle < s.o_cycle:
        return 0
    if s.o_busy and s.o_ends > first:
        return 0
    done = s.o_done + (1 if s.o_busy else 0)
    run = s.o_run_ns + (s.o_ends - s.o_began if s.o_busy else 0)
    return min(s.m_reams_due[o] - done - 2, (s.m_running_due[o] - run) // s.o_cycle - 2)


@part
def outfeed_through(s, first, count, cycle):
    """Follows ``Outfeed.go_through``."""
    if s.o_busy:
        s.o_run_ns += s.o_ends - s.o_began
        s.o_done += 1
    s.o_done += count - 1
    s.o_run_ns += (count - 1) * s.o_cycle
    s.o_busy = 1
    s.o_began = first + (count - 1) * cycle
    s.o_ends = s.o_began + s.o_cycle


@part
def pause_outfeed(s):
    """Follows ``Outfeed.pause``."""
    if s.o_busy:
        s.o_run_ns += s.moment - s.o_began
        s.o_rest = s.o_ends - s.moment


@part
def outfeed_goes_on(s):
    """Follows ``Outfeed.go_on``."""
    if s.o_busy:
        _outfeed_goes(s, s.moment, s.o_rest)
    else:
        s.o_idle_since = s.moment
        outfeed_takes(s, s.moment)
