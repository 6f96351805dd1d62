"""Compiled: the crew, as in ``line.crew``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.calling import granted


@part
def _send(s):
    """Follows ``Crew._send``."""
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
    """Follows ``Crew.ask``."""
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
    """Follows ``Crew.give_back``."""
    s.free += people
    _send(s)


@part
def come_back(s):
    """Follows ``Crew.come_back``."""
    s.away = 0
    _send(s)
