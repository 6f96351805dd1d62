"""Compiled: stops of the stations on the webs, as in ``line.web_stops``."""

from __future__ import annotations

from linesim.fast.layout import CUTS, REAMS, RUNNING_H, USE_SPOILED, WEB_KM
from linesim.fast.parts import part
from linesim.fast.rules.calling import add_hold, release_hold
from linesim.fast.rules.cutting import use_paper
from linesim.fast.rules.ledger import count_stop
from linesim.fast.rules.meters import cause_begins_to_count, cause_falls, cause_mended
from linesim.fast.rules.stand import left_on, lose_paper
from linesim.fast.rules.states import DOWN
from linesim.fast.rules.stoppage import new_stoppage
from linesim.fast.rules.unwind import reels_reached
from linesim.line.clock import NEVER


@part
def web_reading(s, meter):
    """Follows ``Webs._reading``."""
    if meter == RUNNING_H:
        return s.w_run_ns
    if meter == WEB_KM:
        return s.w_x
    if meter == CUTS:
        return s.w_cuts
    return s.w_sets if meter == REAMS else s.moment


@part
def look_for_web_dues(s):
    """Follows ``WebStops._look_for_dues``."""
    for meter in range(5):
        s.w_dues[meter] = NEVER
    for c in range(s.w_causes):
        s.w_dues[s.c_meter[c]] = min(s.w_dues[s.c_meter[c]], s.c_due[c])


@part
def web_stops_begin_to_count(s):
    """Follows ``WebStops.begin_to_count``."""
    for c in range(s.w_causes):
        cause_begins_to_count(s, c, web_reading(s, s.c_meter[c]))
    look_for_web_dues(s)


@part
def web_mended(s, c, hold):
    """Follows ``WebStops._mended``."""
    cause_mended(s, c)
    look_for_web_dues(s)
    release_hold(s, hold)


@part
def web_stop(s, c, reading):
    """Follows ``WebStops._begin``."""
    restore = cause_falls(s, c, reading)
    look_for_web_dues(s)
    count_stop(s, s.c_station[c], s.c_number[c])
    i = new_stoppage(
        s,
        -1,
        s.c_station[c],
        s.c_number[c],
        s.c_working[c],
        s.c_people[c],
        s.c_priority[c],
        restore,
        c,
    )
    add_hold(s, i)


@part
def forced_web_stop(s, station, cause, length):
    """Follows ``WebStops.force``."""
    count_stop(s, station, cause)
    add_hold(s, new_stoppage(s, -1, station, cause, DOWN, 0, 1, length, -1))


@part
def spoil_by_stop(s, c):
    """Follows ``WebStops._spoil``."""
    s.w_spoiled_cuts += s.c_cuts[c]
    if s.c_pockets[c]:
        lost = s.p_on_belt
        s.p_on_belt = 0
        if s.p_full == 0:
            lost += s.p_cuts
            s.p_cuts = 0
        s.sheets_spoiled += lost * s.webs * s.lanes
    if s.c_web_um[c] >= 0:
        for stand in range(s.webs):
            length = min(left_on(s, stand), s.c_web_um[c])
            s.spoiled += length
            use_paper(s, USE_SPOILED, length)
            lose_paper(s, stand, length)
        reels_reached(s, s.w_x)
