"""Compiled: what is done with a ream, as in ``line.ream_steps``."""

from __future__ import annotations

from linesim.fast.layout import LATE, REAMS, RUNNING_H
from linesim.fast.parts import part
from linesim.fast.rules.assembly import count_good
from linesim.fast.rules.bridge import head_ready, take_many
from linesim.fast.rules.chance import draw
from linesim.fast.rules.ledger import enter
from linesim.fast.rules.machine import fall, look_for_dues, stands
from linesim.fast.rules.outfeed import has_room, outfeed_takes
from linesim.fast.rules.packing_states import (
    note_idle,
    outfeed_runs,
    root_of_blocked,
    root_of_starved,
    wrapper_runs,
)
from linesim.fast.rules.rework import spoiled_ream
from linesim.fast.rules.states import BLOCKED, STARVED
from linesim.fast.rules.stations import WEBS_N, WRAPPER, cause_of, outfeed_machine, station_of
from linesim.fast.rules.wrapper import fall_by_reams
from linesim.line.clock import NEVER


@part
def _at_this_moment(s, at):
    """Follows ``ReamSteps._at_this_moment``."""
    if at != s.moment:
        s.fault = LATE
        return
    note_idle(s, at)


@part
def _bring_out(s, at):
    """Follows ``ReamSteps._bring_out``."""
    if s.o_busy == 0 and not stands(s, outfeed_machine(s)):
        outfeed_runs(s, at)
    s.o_waiting += 1
    outfeed_takes(s, at)


@part
def room_on_outfeed(s, at):
    """Follows ``ReamSteps.room_on_outfeed``."""
    for w in range(s.k_n):
        if s.k_holding[w] and has_room(s):
            s.k_holding[w] = 0
            s.k_idle_since[w] = at
            if not stands(s, WRAPPER + w):
                root = root_of_starved(s, w)
                enter(
                    s,
                    WEBS_N + WRAPPER + w,
                    at,
                    STARVED,
                    cause_of(root),
                    station_of(root),
                    cause_of(root),
                )
            _bring_out(s, at)


@part
def outfeed_moves(s):
    """Follows ``ReamSteps.outfeed_moves``."""
    o = outfeed_machine(s)
    if s.o_stops_at < s.o_ends:
        _at_this_moment(s, s.o_stops_at)
        reading = s.o_run_ns + s.o_stops_at - s.o_began
        s.o_stops_at = NEVER
        fall(s, o, RUNNING_H, reading)
        return
    at = s.o_ends
    s.o_run_ns += s.o_ends - s.o_began
    s.o_busy = 0
    s.o_done += 1
    s.o_idle_since = at
    if s.o_done >= s.m_reams_due[o]:
        _at_this_moment(s, at)
        fall(s, o, REAMS, s.o_done)
    outfeed_takes(s, at)
    room_on_outfeed(s, at)


@part
def start_ream(s, w, at):
    """Follows ``ReamSteps.start``, ``Wrapper.start`` and ``Divert.taken_by``."""
    wrapper_runs(s, w, at)
    if s.k_times[w] >= 0:
        cycle = draw(s, s.k_times[w])
    elif s.k_catch_at[w] >= 0 and s.b_level >= s.k_catch_at[w]:
        cycle = s.k_fast[w]
    else:
        cycle = s.k_steady[w]
    s.k_cycle[w] = cycle
    s.k_busy[w] = 1
    s.k_began[w] = at
    s.k_ends[w] = at + cycle
    into = max(0, s.m_running_due[WRAPPER + w] - s.k_run_ns[w])
    s.k_stops_at[w] = at + into if into < cycle else NEVER
    take_many(s, 1)
    s.k_turn = (w + 1) % s.k_n


@part
def good_reams(s, at, count, cycle):
    """Follows ``ReamSteps.good``."""
    s.wrapped += count
    if s.bucket_count > 0:
        for i in range(count):
            count_good(s, at + i * cycle)


@part
def _deliver(s, w, at):
    """Follows ``ReamSteps._deliver``."""
    good_reams(s, at, 1, 0)
    if s.o_there == 0:
        return
    if has_room(s):
        _bring_out(s, at)
    else:
        s.k_holding[w] = 1
        root = root_of_blocked(s)
        enter(
            s, WEBS_N + WRAPPER + w, at, BLOCKED, cause_of(root), station_of(root), cause_of(root)
        )


@part
def _spoil_reams(s, w, reams):
    """Follows ``ReamSteps._spoil`` and ``Wrapper.drop``."""
    if reams > 0 and s.k_busy[w]:
        s.k_busy[w] = 0
        s.k_idle_since[w] = s.moment
        s.k_done[w] += 1
        s.k_thrown_away[w] += 1
        spoiled_ream(s)
        reams -= 1
    while reams > 0 and head_ready(s) <= s.moment:
        take_many(s, 1)
        s.k_done[w] += 1
        s.k_thrown_away[w] += 1
        spoiled_ream(s)
        reams -= 1


@part
def wrapper_moves(s, w):
    """Follows ``ReamSteps.wrapper_moves``, ``Wrapper.finish`` and ``Wrapper.spoilt``."""
    machine = WRAPPER + w
    if s.k_stops_at[w] < s.k_ends[w]:
        _at_this_moment(s, s.k_stops_at[w])
        reading = s.k_run_ns[w] + s.k_stops_at[w] - s.k_began[w]
        s.k_stops_at[w] = NEVER
        first, last = s.m_first[machine], s.m_last[machine]
        # All that are due begin, then each spoils what it spoils.
        spoils = 0
        due = 0
        for c in range(first, last):
            if s.c_meter[c] == RUNNING_H and reading >= s.c_due[c]:
                due += 1
                spoils += s.c_reams[c]
        fall(s, machine, RUNNING_H, reading)
        _spoil_reams(s, w, spoils)
        return
    s.k_busy[w] = 0
    s.k_run_ns[w] += s.k_cycle[w]
    s.k_idle_since[w] = s.k_ends[w]
    s.k_done[w] += 1
    at = s.k_ends[w]
    done = s.k_done[w]
    if done >= s.k_next_due[w]:
        _at_this_moment(s, at)
        more = 0
        spoilt_by_stop = False
        for c in range(s.m_first[machine], s.m_last[machine]):
            if s.c_meter[c] == REAMS and done >= s.c_due[c]:
                more += max(0, s.c_reams[c] - 1)
                spoilt_by_stop = spoilt_by_stop or s.c_reams[c] > 0
        spoilt = False
        if done >= s.k_spoil_due[w]:
            s.k_spoil_due[w] = done + max(1, draw(s, s.k_spoils[w]))
            look_for_dues(s, machine)
            spoilt = True
        if spoilt or spoilt_by_stop:
            spoiled_ream(s)
        else:
            _deliver(s, w, at)
        fall_by_reams(s, w)
        _spoil_reams(s, w, more)
    else:
        _deliver(s, w, at)
