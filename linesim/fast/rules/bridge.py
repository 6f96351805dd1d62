"""Compiled: the bridge, as in ``line.bridge``."""

from __future__ import annotations

from linesim.fast.layout import BRIDGE_ALARM, QUEUE, REAMS
from linesim.fast.parts import part
from linesim.fast.rules.calling import arrived, level_rose, move_on, plan_packing, room, show
from linesim.fast.rules.clock import RANK_BRIDGE, set_alarm
from linesim.fast.rules.ledger import enter
from linesim.fast.rules.machine import fall, show_stop, stands
from linesim.fast.rules.states import RUNNING
from linesim.fast.rules.stations import BRIDGE, WEBS_N
from linesim.line.clock import NEVER


@part
def head_ready(s):
    """Follows ``Bridge.head_ready``."""
    if s.b_head == s.b_tail or stands(s, BRIDGE):
        return NEVER
    return s.b_at[s.b_head & (QUEUE - 1)] + s.b_lost


@part
def take_many(s, reams):
    """Follows ``Bridge.take_many``."""
    s.b_level -= reams
    i = s.b_head & (QUEUE - 1)
    s.b_reams[i] -= reams
    if s.b_reams[i] == 0:
        s.b_head += 1


@part
def put_down(s, at, reams):
    """Follows ``Bridge.put_down``."""
    s.b_level += reams
    s.b_carried += reams
    i = s.b_tail & (QUEUE - 1)
    s.b_at[i] = at - s.b_lost + s.b_travel
    s.b_reams[i] = reams
    s.b_tail += 1


@part
def _watch_running(s):
    """Follows ``Bridge._watch_running``."""
    due = s.m_running_due[BRIDGE]
    set_alarm(s, BRIDGE_ALARM, RANK_BRIDGE, NEVER if due == NEVER else due + s.b_lost)


@part
def wait_for_level(s, level):
    """Follows ``Bridge.wait_for``."""
    s.b_wait = max(s.b_wait, level)
    plan_packing(s)


@part
def room_for(s, reams):
    """Follows ``Bridge.room_for``."""
    if stands(s, BRIDGE):
        return False
    if s.b_level + reams > s.b_places:
        move_on(s)
    return s.b_sets_aside != 0 or s.b_level + reams <= s.b_places


@part
def place_set(s, reams):
    """Follows ``Bridge.place``."""
    if s.b_level + reams >= s.b_heed:
        move_on(s)
    if s.b_sets_aside:
        fit = max(0, min(reams, s.b_places - s.b_level))
        s.set_aside += reams - fit
        reams = fit
    if reams > 0:
        put_down(s, s.moment, reams)
        arrived(s)
    level_rose(s)
    if s.b_carried >= s.m_reams_due[BRIDGE]:
        fall(s, BRIDGE, REAMS, s.b_carried)


@part
def pause_bridge(s):
    """Follows ``Bridge._paused``."""
    s.b_stands_since = s.moment
    set_alarm(s, BRIDGE_ALARM, RANK_BRIDGE, NEVER)


@part
def bridge_goes_on(s):
    """Follows ``Bridge._resumed``."""
    s.b_lost += s.moment - s.b_stands_since
    _watch_running(s)
    arrived(s)
    show(s)
    room(s)


@part
def show_bridge(s):
    """Follows ``Bridge.show``."""
    if not show_stop(s, BRIDGE):
        enter(s, WEBS_N + BRIDGE, s.moment, RUNNING, 0, -1, -1)
