"""Compiled: standstills under way, as in ``line.stoppage``."""

from __future__ import annotations

from linesim.fast.layout import STOPPAGE_ALARM, TOO_MANY_STOPPAGES
from linesim.fast.parts import part
from linesim.fast.rules.calling import (
    GRANT_STOPPAGE,
    end_stop,
    machine_mended,
    release_hold,
    settle,
    show,
    web_mended,
)
from linesim.fast.rules.clock import RANK_JOB, set_alarm
from linesim.fast.rules.crew import ask_crew, give_back
from linesim.fast.rules.states import WAITING_PEOPLE
from linesim.line.clock import NEVER


@part
def new_stoppage(s, machine, station, cause, working, people, priority, restore, of):
    """Follows ``Stoppage.__init__``."""
    if s.s_free_n == 0:
        s.fault = TOO_MANY_STOPPAGES
        return 0
    s.s_free_n -= 1
    i = s.s_free[s.s_free_n]
    s.s_machine[i] = machine
    s.s_station[i] = station
    s.s_cause[i] = cause
    s.s_state[i] = working
    s.s_working[i] = working
    s.s_people[i] = people
    s.s_priority[i] = priority
    s.s_restore[i] = restore
    s.s_of[i] = of
    return i


@part
def free_stoppage(s, i):
    """For compiled code: its place can be taken by the next ``Stoppage``."""
    s.s_free[s.s_free_n] = i
    s.s_free_n += 1


@part
def begin_job(s, i):
    """Follows ``Stoppage.begin_job``."""
    if s.s_people[i] > 0:
        s.s_state[i] = WAITING_PEOPLE
    ask_crew(s, s.s_people[i], s.s_priority[i], GRANT_STOPPAGE, i)


@part
def stoppage_granted(s, i):
    """Follows ``Stoppage._granted``."""
    settle(s)
    s.s_state[i] = s.s_working[i]
    if s.s_restore[i] < NEVER:
        set_alarm(s, STOPPAGE_ALARM + i, RANK_JOB, s.moment + s.s_restore[i])
    show(s)


@part
def restored(s, i):
    """Follows ``Stoppage._restored``."""
    people = s.s_people[i]
    of = s.s_of[i]
    if s.s_machine[i] >= 0:
        if of >= 0:
            machine_mended(s, s.s_machine[i], of, i)
        else:
            end_stop(s, s.s_machine[i], i)
    elif of >= 0:
        web_mended(s, of, i)
    else:
        release_hold(s, i)
    free_stoppage(s, i)
    give_back(s, people)
