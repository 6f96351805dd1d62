"""Compiled: alarms and whole numbers of time, as in ``line.clock``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.line.clock import NEVER, Rank

RANK_CALENDAR, RANK_JOB, RANK_WRAPPING = Rank.CALENDAR, Rank.JOB, Rank.WRAPPING
RANK_BRIDGE, RANK_TRANSFER, RANK_WEB = Rank.BRIDGE, Rank.TRANSFER, Rank.WEB
RANK_PEOPLE = Rank.PEOPLE


@part
def times(count, length):
    """For compiled code: so many times a length; NEVER where that is beyond all time."""
    if length > 0 and count > NEVER // length:
        return NEVER
    return count * length


@part
def set_alarm(s, alarm, rank, at):
    """Follows ``Alarm.set``."""
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
    """The alarm that rings next; -1: none. Follows ``Clock.next_event``, SimPy's queue."""
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
