"""Compiled: the crew, as in ``line.crew``. A job has the number of the alarm at its end."""

from __future__ import annotations

from linesim.fast.layout import PEOPLE_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.calling import job_begun, job_waits
from linesim.fast.rules.clock import RANK_JOB, RANK_PEOPLE, set_alarm
from linesim.line.clock import NEVER


@part
def _goes_before(s, job, other):
    """Follows ``Job.rank``."""
    if s.j_stands[job] != s.j_stands[other]:
        return s.j_stands[job] > s.j_stands[other]
    if s.j_priority[job] != s.j_priority[other]:
        return s.j_priority[job] < s.j_priority[other]
    return s.j_asked[job] < s.j_asked[other]


@part
def _look(s):
    """Follows ``Crew._look``."""
    set_alarm(s, PEOPLE_ALARM, RANK_PEOPLE, s.moment)


@part
def _begin(s, job):
    """Follows ``Crew._begin``."""
    s.free -= s.j_people[job]
    if s.j_people[job] > 0:
        s.j_in_hand[s.in_hand] = job
        s.in_hand += 1
    job_begun(s, job)
    if s.j_left[job] < NEVER:
        set_alarm(s, job, RANK_JOB, s.moment + s.j_left[job])


@part
def _no_longer_in_hand(s, job):
    """For compiled code: a job leaves the list that stands for ``Crew._in_hand``."""
    s.free += s.j_people[job]
    kept = 0
    for i in range(s.in_hand):
        if s.j_in_hand[i] != job:
            s.j_in_hand[kept] = s.j_in_hand[i]
            kept += 1
    s.in_hand = kept


@part
def _lay_down(s, job):
    """Follows ``Crew._lay_down``."""
    s.j_left[job] = s.a_at[job] - s.moment
    set_alarm(s, job, RANK_JOB, NEVER)
    _no_longer_in_hand(s, job)
    s.j_waiting[s.waiting] = job
    s.waiting += 1
    job_waits(s, job)


@part
def _make_free(s, people):
    """Follows ``Crew._make_free``."""
    can_wait = 0
    for i in range(s.in_hand):
        if s.j_stands[s.j_in_hand[i]] == 0:
            can_wait += s.j_people[s.j_in_hand[i]]
    if s.free + can_wait < people:
        return
    while s.free < people:
        last = -1
        for i in range(s.in_hand):
            job = s.j_in_hand[i]
            if s.j_stands[job] == 0 and (last < 0 or _goes_before(s, last, job)):
                last = job
        _lay_down(s, last)


@part
def send_people(s):
    """Follows ``Crew._send``."""
    while s.waiting > 0 and s.away == 0:
        first = 0
        for i in range(1, s.waiting):
            if _goes_before(s, s.j_waiting[i], s.j_waiting[first]):
                first = i
        job = s.j_waiting[first]
        if s.j_people[job] > s.free and s.j_stands[job] and s.lays_down:
            _make_free(s, s.j_people[job])
        if s.j_people[job] > s.free:
            return
        s.waiting -= 1
        s.j_waiting[first] = s.j_waiting[s.waiting]
        _begin(s, job)


@part
def ask_crew(s, job, people, priority, length, stands):
    """Follows ``Crew.ask``."""
    s.j_people[job] = people
    s.j_priority[job] = priority
    s.j_left[job] = length
    s.j_stands[job] = stands
    s.j_asked[job] = s.asked
    s.asked += 1
    if people == 0:
        _begin(s, job)
        return
    s.j_waiting[s.waiting] = job
    s.waiting += 1
    _look(s)


@part
def hurry(s, job, priority):
    """Follows ``Crew.hurry``."""
    s.j_stands[job] = 1
    s.j_priority[job] = priority
    _look(s)


@part
def job_over(s, job):
    """Follows ``Crew._finish``, before others are told."""
    if s.j_people[job] > 0:
        _no_longer_in_hand(s, job)
        _look(s)


@part
def take_back(s, people):
    """Follows ``Crew.take_back``."""
    s.free += people
    _look(s)


@part
def leave(s, shift_over):
    """Follows ``Crew.leave``."""
    s.away = 1
    if shift_over == 0 or s.hands_over == 0:
        return
    i = 0
    while i < s.in_hand:
        job = s.j_in_hand[i]
        if s.a_at[job] > s.moment:
            _lay_down(s, job)
        else:
            i += 1


@part
def come_back(s):
    """Follows ``Crew.come_back``."""
    s.away = 0
    _look(s)
