"""Compiled: many reams in one step, as in ``line.many_reams``."""

from __future__ import annotations

from linesim.fast.layout import QUEUE
from linesim.fast.parts import part
from linesim.fast.rules.bridge import head_ready, take_many
from linesim.fast.rules.machine import stands
from linesim.fast.rules.outfeed import keeps_up_with, outfeed_through
from linesim.fast.rules.packing_states import outfeed_runs_through, wrapper_runs
from linesim.fast.rules.ream_steps import good_reams, outfeed_moves, start_ream, wrapper_moves
from linesim.fast.rules.stations import BRIDGE, WRAPPER, outfeed_machine
from linesim.line.clock import NEVER


@part
def _outfeed_until(s, at):
    """Follows ``ManyReams._outfeed_until``."""
    moved = False
    while s.o_there and s.o_busy and not stands(s, outfeed_machine(s)) and s.fault == 0:
        moves = min(s.o_ends, s.o_stops_at)
        if moves > at:
            break
        s.k_settled_at = moves
        outfeed_moves(s)
        moved = True
    return moved


@part
def _outfeed_moves_by(s, at):
    """Follows ``ManyReams._outfeed_moves_by``."""
    if s.o_there == 0 or s.o_busy == 0 or stands(s, outfeed_machine(s)):
        return False
    moves = min(s.o_ends, s.o_stops_at)
    if moves > at:
        return False
    s.k_settled_at = moves
    outfeed_moves(s)
    return True


@part
def _on_from_ream(s, now):
    """Follows ``ManyReams._on_from_ream`` and ``Wrapper.go_through``."""
    if s.k_busy[0] == 0 or stands(s, WRAPPER) or s.k_stops_at[0] < NEVER or stands(s, BRIDGE):
        return False
    cycle = s.k_shortest[0]
    first_end = s.k_ends[0]
    if cycle == 0 or first_end > now or s.b_head == s.b_tail:
        return False
    if head_ready(s) > first_end:
        return False
    count = min(
        s.b_reams[s.b_head & (QUEUE - 1)],
        s.k_next_due[0] - s.k_done[0] - 1,
        (now - first_end) // cycle + 1,
        (s.m_running_due[WRAPPER] - s.k_run_ns[0]) // cycle - 1,
    )
    if s.o_there and count > 0:
        count = min(count, keeps_up_with(s, first_end, cycle))
    if count < 1:
        return False
    if s.o_there:
        outfeed_runs_through(s, first_end, count, cycle)
        outfeed_through(s, first_end, count, cycle)
    good_reams(s, first_end, count, cycle)
    s.k_done[0] += count
    s.k_run_ns[0] += s.k_cycle[0] + (count - 1) * cycle
    s.k_cycle[0] = cycle
    s.k_began[0] = first_end + (count - 1) * cycle
    s.k_ends[0] = s.k_began[0] + cycle
    take_many(s, count)
    return True


@part
def _whole_set(s, at, now):
    """Follows ``ManyReams._whole_set`` and ``Wrapper.do_set``."""
    cycle = s.k_shortest[0]
    reams = s.b_reams[s.b_head & (QUEUE - 1)]
    end = at + reams * cycle
    if cycle == 0 or end > now or reams >= s.k_next_due[0] - s.k_done[0]:
        return False
    if reams * cycle >= s.m_running_due[WRAPPER] - s.k_run_ns[0]:
        return False
    first_end = at + cycle
    if s.o_there:
        _outfeed_until(s, first_end)
        if stands(s, WRAPPER) or keeps_up_with(s, first_end, cycle) < reams:
            return False
        outfeed_runs_through(s, first_end, reams, cycle)
        outfeed_through(s, first_end, reams, cycle)
    wrapper_runs(s, 0, at)
    good_reams(s, first_end, reams, cycle)
    s.k_done[0] += reams
    s.k_run_ns[0] += reams * cycle
    s.k_cycle[0] = cycle
    s.k_ends[0] = s.k_idle_since[0] = end
    s.k_began[0] = end - cycle
    s.k_stops_at[0] = NEVER
    take_many(s, reams)
    s.k_turn = 0
    return True


@part
def settle_many(s, now):
    """Follows ``ManyReams.settle``."""
    while s.fault == 0:
        if s.k_busy[0]:
            at = min(s.k_ends[0], s.k_stops_at[0])
            if stands(s, WRAPPER) or at > now:
                break
            if s.o_there and s.o_busy and s.o_ends + s.k_pace < at:
                _outfeed_until(s, at)
            if stands(s, WRAPPER) or _on_from_ream(s, now):
                continue
            _outfeed_until(s, at)
            if stands(s, WRAPPER):
                continue
            s.k_settled_at = at
            wrapper_moves(s, 0)
        elif s.k_holding[0]:
            if not _outfeed_moves_by(s, now):
                break
        else:
            at = max(head_ready(s), s.k_idle_since[0], s.k_settled_at)
            if stands(s, WRAPPER) or at > now:
                break
            s.k_settled_at = at
            if not _whole_set(s, at, now):
                start_ream(s, 0, at)
    _outfeed_until(s, now)
