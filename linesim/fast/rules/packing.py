"""Compiled: the packing end moved on together, as in ``line.packing``."""

from __future__ import annotations

from linesim.fast.layout import PACKING_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.bridge import head_ready
from linesim.fast.rules.calling import level_fell
from linesim.fast.rules.clock import RANK_WRAPPING, set_alarm, times
from linesim.fast.rules.divert import may_take
from linesim.fast.rules.machine import stands
from linesim.fast.rules.many_reams import settle_many
from linesim.fast.rules.outfeed import earliest_stop, outfeed_goes_on
from linesim.fast.rules.ream_steps import outfeed_moves, room_on_outfeed, start_ream, wrapper_moves
from linesim.fast.rules.stations import WRAPPER, outfeed_machine
from linesim.fast.rules.wrapper import pause_wrapper, run_until_stop, wrapper_goes_on
from linesim.line.clock import NEVER

_FINISH, _START, _OUTFEED = range(3)


@part
def _next(s):
    """Follows ``Packing._next``."""
    best, what, who = NEVER, _FINISH, 0
    if s.o_there and s.o_busy and not stands(s, outfeed_machine(s)):
        best, what = min(s.o_ends, s.o_stops_at), _OUTFEED
    idle = False
    for w in range(s.k_n):
        if s.k_busy[w]:
            if not stands(s, WRAPPER + w):
                at = min(s.k_ends[w], s.k_stops_at[w])
                if at < best:
                    best, what, who = at, _FINISH, w
        else:
            idle = True
    if idle:
        ready = head_ready(s)
        if ready < best:
            ready = max(ready, s.k_settled_at)
            for w in range(s.k_n):
                if may_take(s, w):
                    at = max(ready, s.k_idle_since[w])
                    if at < best:
                        best, what, who = at, _START, w
    s.n_at, s.n_what, s.n_who = best, what, who


@part
def _settle_one_by_one(s, now):
    """Follows ``Packing._settle_one_by_one``."""
    while s.fault == 0:
        _next(s)
        at, what, w = s.n_at, s.n_what, s.n_who
        if at > now:
            break
        s.k_settled_at = at
        if what == _FINISH:
            wrapper_moves(s, w)
        elif what == _START:
            start_ream(s, w, at)
        else:
            outfeed_moves(s)


@part
def move_on(s):
    """Follows ``Packing.catch_up``."""
    if s.k_settling:
        return
    s.k_settling = 1
    now = s.moment
    if s.k_one:
        settle_many(s, now)
    else:
        _settle_one_by_one(s, now)
    s.k_settling = 0
    s.k_settled_at = now


@part
def plan_packing(s):
    """Follows ``Packing._plan``."""
    now, at = s.moment, NEVER
    s.k_was_idle = 0
    for w in range(s.k_n):
        if s.k_busy[w] == 0:
            s.k_was_idle = 1
    _next(s)
    upcoming = s.n_at
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            continue
        if s.k_busy[w]:
            base, more = s.k_ends[w], 1
            at = min(at, s.k_stops_at[w])
        elif upcoming < NEVER:
            base, more = max(now, upcoming), 0
        else:
            continue
        left = max(0, s.k_next_due[w] - s.k_done[w] - more)
        at = min(at, base + run_until_stop(s, w), base + times(left, s.k_shortest[w]))
    if s.o_there and not stands(s, outfeed_machine(s)) and (s.o_busy or upcoming < NEVER):
        at = min(at, earliest_stop(s, max(now, upcoming)))
    if s.b_wait >= 0:
        above = s.b_level - s.b_wait
        shortest = s.k_shortest[0]
        for w in range(1, s.k_n):
            shortest = min(shortest, s.k_shortest[w])
        rounds = max(0, above - 1) // s.k_n
        first = now if above <= 0 else upcoming
        if first < NEVER:
            at = min(at, first + rounds * shortest)
    set_alarm(s, PACKING_ALARM, RANK_WRAPPING, max(at, now) if at < NEVER else NEVER)


@part
def packing_rings(s):
    """Follows ``Packing._rung``."""
    move_on(s)
    if s.b_wait >= 0 and s.b_level <= s.b_wait:
        s.b_wait = -1
        level_fell(s)
    plan_packing(s)


@part
def undisturbed_until(s):
    """Follows ``Packing.undisturbed_until``."""
    if s.k_was_idle == 0:
        return NEVER
    move_on(s)
    now, at = s.moment, NEVER
    for w in range(s.k_n):
        if not stands(s, WRAPPER + w):
            base = max(now, s.k_ends[w]) if s.k_busy[w] else now
            left = max(0, s.k_next_due[w] - s.k_done[w] - (1 if s.k_busy[w] else 0))
            ahead = min(run_until_stop(s, w), times(left, s.k_shortest[w]))
            at = min(at, s.k_stops_at[w], base + ahead)
    if s.o_there and not stands(s, outfeed_machine(s)):
        at = min(at, earliest_stop(s, now))
    return at


@part
def fed(s):
    """Follows ``Packing.fed``."""
    if s.k_was_idle:
        move_on(s)
        plan_packing(s)


@part
def arrived(s):
    """Follows ``Packing._arrived``."""
    if s.k_was_idle or s.k_needs_level:
        move_on(s)
        plan_packing(s)


@part
def wrapper_paused(s, w):
    """Follows ``Packing._paused``."""
    pause_wrapper(s, w)
    if s.k_settling == 0:
        plan_packing(s)


@part
def wrapper_resumed(s, w):
    """Follows ``Packing._resumed``."""
    wrapper_goes_on(s, w)
    plan_packing(s)


@part
def outfeed_resumed(s):
    """Follows ``Packing._outfeed_resumed``."""
    outfeed_goes_on(s)
    room_on_outfeed(s, s.moment)
    plan_packing(s)
