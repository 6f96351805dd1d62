"""What the accounts are told of the webs: each station's state, and whom it waits for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.accounts import (
    BLOCKED,
    NO_CAUSE,
    NO_ROOT,
    PLANNED,
    RUNNING,
    SLOWED,
    STARVED,
    cause_of,
    enter,
    root_at,
)
from linesim.line.history import note3
from linesim.line.machine import own_root
from linesim.line.stand import left_um
from linesim.line.stoppage import BY_LEVEL
from linesim.line.transfer import AT_BRIDGE
from linesim.line.web_motion import standing
from linesim.record.states import TRANSFER_PACE, Kind
from linesim.scenario import WEB_STATIONS

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site

CUTTER = WEB_STATIONS.index("cutter")
ON_WEBS = len(WEB_STATIONS)
"""Stations on the webs."""


@dataclass(slots=True)
class WebCauses:
    """Numbers of the causes for which webs are slower than rated, or wait."""

    run_up: int
    level: int
    splice: int
    pace: int
    pockets_full: int


def new_web_causes(site: Site) -> WebCauses:
    """The first causes of all."""
    number = site.causes.number
    return WebCauses(
        run_up=number("run-up", Kind.RATE),
        level=number("bridge level", Kind.RATE),
        splice=number("splice", Kind.SET_UP),
        pace=number(TRANSFER_PACE, Kind.RATE),
        pockets_full=number("pockets full", Kind.RATE),
    )


# -- rules ---------------------------------------------------------------------------------------


def show_webs(line: Line) -> None:
    """Enter the states of all stations on the webs."""
    root = _find_root(line)
    line.webs.root = root
    motion, now = line.webs.motion, line.now_ns
    if not standing(line):
        full = motion.change == 0.0 and motion.speed >= line.goods.speed
        state = RUNNING if full else SLOWED
        cause = NO_CAUSE if full else _slow_cause(line)
        for station in range(ON_WEBS):
            enter(line, station, now, state, cause, NO_ROOT)
    elif len(line.webs.holds) > 0:
        _show_standing(line, root)
    note_reels(line)


def _show_standing(line: Line, root: int) -> None:
    holds, now = line.webs.holds, line.now_ns
    for hold in holds:
        if hold.state == PLANNED:
            for station in range(ON_WEBS):
                enter(line, station, now, PLANNED, hold.cause, NO_ROOT)
            return
    first = holds[0]
    for station in range(ON_WEBS):
        own = first
        for hold in holds:
            if hold.station == station:
                own = hold
                break
        if own.station == station:
            enter(line, station, now, own.state, own.cause, NO_ROOT)
        elif first.state == BLOCKED or station < first.station:
            enter(line, station, now, BLOCKED, cause_of(root), root)
        else:
            enter(line, station, now, STARVED, cause_of(root), root)


def _find_root(line: Line) -> int:
    """Station and cause that whoever waits for the webs is really waiting for."""
    if not standing(line):
        return root_at(CUTTER, _slow_cause(line))
    if len(line.webs.holds) == 0:
        return root_at(CUTTER, NO_CAUSE)
    first = line.webs.holds[0]
    if first.state == BLOCKED:
        return _root_beyond(line)
    return root_at(max(first.station, 0), first.cause)


def _root_beyond(line: Line) -> int:
    """What holds up the end of the webs."""
    transfer = line.transfer
    if transfer.stands:
        return own_root(transfer)
    if len(line.webs.holds) > 0 and line.webs.holds[0].what == BY_LEVEL:
        return told.root_of_packing(line)
    if transfer.phase == AT_BRIDGE:
        return told.root_of_packing(line)
    return root_at(transfer.station, transfer.cannot)


def _slow_cause(line: Line) -> int:
    all_webs, causes, goods = line.webs, line.webs.why, line.goods
    if len(all_webs.holds) > 0:
        return all_webs.holds[0].cause
    if all_webs.motion.change > 0:
        return causes.run_up
    if told.splicing(line):
        return causes.splice
    by_level = all_webs.slow and told.level_speed(line) < goods.pace
    if all_webs.motion.change < 0 or by_level:
        return causes.level
    return causes.pace if goods.pace < goods.speed else NO_CAUSE


def note_reels(line: Line) -> None:
    """Note which reels came into use or lost paper."""
    if not line.keeps:
        return
    for stand in line.webs.unwind.stands:
        if stand.end_um != stand.shown_end_um:
            stand.shown_end_um = stand.end_um
            note3(line, line.history.reels, line.now_ns, stand.web, left_um(line, stand))
