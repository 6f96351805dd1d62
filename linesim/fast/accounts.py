"""Compiled: draws, alarms, the ledger and the crew. Follows ``line`` and ``record.ledger``."""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined"
from __future__ import annotations

from linesim.fast.calling import ask_python, granted, peek, poke
from linesim.fast.layout import (
    BACKWARDS,
    BLOCK,
    LOSSES,
    SUMS,
    TOO_MANY_SUMS,
)
from linesim.fast.parts import part
from linesim.line.clock import NEVER
from linesim.record.states import Kind, Loss, State

RUNNING, SLOWED, STARVED, BLOCKED = (
    int(s) for s in (State.RUNNING, State.SLOWED, State.STARVED, State.BLOCKED)
)
DOWN, CHANGEOVER = int(State.DOWN), int(State.CHANGEOVER)
WAITING_PEOPLE, WAITING_REEL = int(State.WAITING_PEOPLE), int(State.WAITING_REEL)
PLANNED = int(State.PLANNED)
RATE, STOP, SET_UP, CALENDAR = (int(k) for k in (Kind.RATE, Kind.STOP, Kind.SET_UP, Kind.CALENDAR))
_PRODUCING, _PLANNED_LOSS = int(Loss.PRODUCING), int(Loss.PLANNED)
_BREAKDOWN, _SET_UP_LOSS, _MINOR = int(Loss.BREAKDOWN), int(Loss.SET_UP), int(Loss.MINOR)
COUNT_STATE = 15
"""State under which the table of sums counts stops."""


@part
def draw(s, stream):
    """The next value of a stream."""
    if s.n_const[stream] >= 0:
        return s.n_const[stream]
    if s.n_next[stream] == s.n_have[stream]:
        ask_python(s.refill_at, stream)
    i = s.n_next[stream]
    s.n_next[stream] = i + 1
    return peek(s.draws_at + (stream * BLOCK + i) * 8)


@part
def falls(s, coin):
    return draw(s, coin) != 0


@part
def set_alarm(s, alarm, rank, at):
    if at == s.a_at[alarm]:
        return
    place = s.a_place[alarm]
    s.a_at[alarm] = at
    if at >= NEVER:
        if place >= 0:
            s.active -= 1
            last = s.a_list[s.active]
            s.a_list[place] = last
            s.a_place[last] = place
            s.a_place[alarm] = -1
        return
    if place < 0:
        s.a_place[alarm] = s.active
        s.a_list[s.active] = alarm
        s.active += 1
    s.a_rank[alarm] = rank
    s.a_seq[alarm] = s.seq
    s.seq += 1


@part
def first_alarm(s):
    """The alarm that rings next; -1: none."""
    best = -1
    at = NEVER
    for i in range(s.active):
        alarm = s.a_list[i]
        when = s.a_at[alarm]
        if when > at:
            continue
        if best >= 0 and when == at:
            rank, rank_best = s.a_rank[alarm], s.a_rank[best]
            if rank > rank_best or (rank == rank_best and s.a_seq[alarm] > s.a_seq[best]):
                continue
        best, at = alarm, when
    return best


# -- ledger --------------------------------------------------------------------------------


@part
def slot(s, station, state, cause, root_station, root_cause):
    key = (((station * 16 + state) * 4096 + cause) * 64 + root_station + 1) * 4096
    key += root_cause + 2  # above 0: 0 marks an empty place
    i = ((key * 7046029254386353131) >> 20) & (SUMS - 1)
    tries = 0
    while s.l_key[i] != key:
        if s.l_key[i] == 0:
            s.l_key[i] = key
            return i
        i = (i + 1) & (SUMS - 1)
        tries += 1
        if tries > SUMS // 2:
            s.fault = TOO_MANY_SUMS
            return i
    return i


@part
def count_stop(s, station, cause):
    s.l_sum[slot(s, station, COUNT_STATE, cause, -1, -1)] += 1


@part
def _lose(s, station, length):
    state = s.l_state[station]
    if state == PLANNED:
        s.l_losses[station, _PLANNED_LOSS] += length
        return
    if s.l_on[station] == 0:
        s.l_on[station] = 1
        s.l_stood[station] = 0
        s.l_stopped[station] = 0
    s.l_stood[station] += length
    waits = state in (STARVED, BLOCKED)
    cause = s.l_cause[station]
    if waits and s.l_rc[station] >= 0:
        cause = s.l_rc[station]
    kind = s.l_kind[cause]
    if kind == STOP:
        s.l_stopped[station] += length
    elif kind == SET_UP:
        s.l_losses[station, _SET_UP_LOSS] += length
    elif kind == CALENDAR and waits:
        s.l_losses[station, _PLANNED_LOSS] += length
    else:
        s.l_losses[station, _MINOR] += length


@part
def _stood(s, station):
    if s.l_on[station] != 0:
        loss = _BREAKDOWN if s.l_stood[station] >= s.minor_ns else _MINOR
        s.l_losses[station, loss] += s.l_stopped[station]
    s.l_on[station] = 0


@part
def _close(s, station, at):
    length = at - s.l_since[station]
    if length == 0:
        return
    if length < 0:
        s.fault = BACKWARDS
        return
    state = s.l_state[station]
    s.l_sum[slot(s, station, state, s.l_cause[station], s.l_rs[station], s.l_rc[station])] += length
    if state <= SLOWED:
        s.l_losses[station, _PRODUCING] += length
    else:
        _lose(s, station, length)


@part
def enter(s, station, at, state, cause, root_station, root_cause):
    if (
        s.l_state[station] == state
        and s.l_cause[station] == cause
        and s.l_rs[station] == root_station
        and s.l_rc[station] == root_cause
    ):
        return
    _close(s, station, at)
    old = s.l_state[station]
    if state > SLOWED and old <= SLOWED:
        s.l_on[station] = 1
        s.l_stood[station] = 0
        s.l_stopped[station] = 0
    elif state <= SLOWED and old > SLOWED:
        _stood(s, station)
    s.l_state[station] = state
    s.l_cause[station] = cause
    s.l_rs[station] = root_station
    s.l_rc[station] = root_cause
    s.l_since[station] = at


@part
def gap(s, station, start, end, state, root_station, root_cause):
    since = s.l_since[station]
    ran, waited = start - since, end - start
    if ran < 0 or waited < 0:
        s.fault = BACKWARDS
        return
    s.l_sum[slot(s, station, RUNNING, 0, -1, -1)] += ran
    s.l_sum[slot(s, station, state, root_cause, root_station, root_cause)] += waited
    s.l_losses[station, _PRODUCING] += ran
    loss = s.l_waiting[root_cause]
    if loss < 0:
        loss = _BREAKDOWN if waited >= s.minor_ns else _MINOR
    s.l_losses[station, loss] += waited
    s.l_since[station] = end


@part
def close_all(s, at):
    for station in range(s.stations):
        _close(s, station, at)
        s.l_since[station] = at
        if s.l_state[station] > SLOWED:
            _stood(s, station)
            s.l_on[station] = 1
            s.l_stood[station] = 0
            s.l_stopped[station] = 0


@part
def forget(s):
    for i in range(SUMS):
        s.l_key[i] = 0
        s.l_sum[i] = 0
    for station in range(s.stations):
        for loss in range(LOSSES):
            s.l_losses[station, loss] = 0


@part
def use_paper(s, what, length):
    """Area in two parts, so that no sum outgrows a whole number; mass rounded down each time."""
    area = length * s.web_width_um
    high = area // 1_000_000_000
    low = area - high * 1_000_000_000
    s.use_high[what] += high
    s.use_low[what] += low
    s.use_calls[what] += 1
    s.use_mass[what] += high * s.grammage + low * s.grammage // 1_000_000_000


# -- people --------------------------------------------------------------------------------


@part
def _send(s):
    while s.queued > 0 and s.away == 0:
        best = 0
        for i in range(1, s.queued):
            if s.q_priority[i] < s.q_priority[best] or (
                s.q_priority[i] == s.q_priority[best] and s.q_asked[i] < s.q_asked[best]
            ):
                best = i
        people = s.q_people[best]
        if people > s.free:
            return
        kind, arg = s.q_kind[best], s.q_arg[best]
        s.queued -= 1
        last = s.queued
        s.q_priority[best] = s.q_priority[last]
        s.q_asked[best] = s.q_asked[last]
        s.q_people[best] = s.q_people[last]
        s.q_kind[best] = s.q_kind[last]
        s.q_arg[best] = s.q_arg[last]
        s.free -= people
        granted(s, kind, arg)


@part
def ask_crew(s, people, priority, kind, arg):
    if people == 0:
        granted(s, kind, arg)
        return
    i = s.queued
    s.q_priority[i] = priority
    s.q_asked[i] = s.asked
    s.q_people[i] = people
    s.q_kind[i] = kind
    s.q_arg[i] = arg
    s.queued += 1
    s.asked += 1
    _send(s)


@part
def give_back(s, people):
    s.free += people
    _send(s)


@part
def come_back(s):
    s.away = 0
    _send(s)


@part
def count_good(s, at):
    if s.bucket_count > 0 and at >= s.bucket_from:
        bucket = min((at - s.bucket_from) // s.bucket_ns, s.bucket_count - 1)
        place = s.buckets_at + bucket * 8
        poke(place, peek(place) + 1)
