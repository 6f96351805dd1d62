"""Compiled: standstills under way, as in ``line.stoppage``."""

from __future__ import annotations

from linesim.fast.layout import STOPPAGE_ALARM, TOO_MANY_STOPPAGES
from linesim.fast.parts import part
from linesim.fast.rules.calling import (
    end_stop,
    machine_mended,
    release_hold,
    settle,
    show,
    web_mended,
)
from linesim.fast.rules.crew import ask_crew
from linesim.fast.rules.states import WAITING_PEOPLE


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
    ask_crew(s, STOPPAGE_ALARM + i, s.s_people[i], s.s_priority[i], s.s_restore[i], 1)


@part
def enter_stoppage(s, i, state):
    """Follows ``Stoppage._enter``."""
    settle(s)
    s.s_state[i] = state
    show(s)


@part
def restored(s, i):
    """For compiled code: whose ``Stoppage`` it is that is over."""
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
