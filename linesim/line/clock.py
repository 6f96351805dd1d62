"""Simulated time: whole nanoseconds, and alarms that can be moved.

Whole numbers make the accounts exact. Alarms of one moment ring in the order of their ranks, the
part of the line furthest downstream first, so that what happens at a tie is a rule of the line
and not an accident of who set an alarm earlier.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.line import Line
from linesim.line.typed import Ref, Row, add, shorten

NEVER = 1 << 62

# Order in which things of one moment happen.
(
    RANK_CALENDAR,
    RANK_FORCED,
    RANK_JOB,  # people finish a job
    RANK_WRAPPING,
    RANK_BRIDGE,
    RANK_TRANSFER,
    RANK_WEB,
    RANK_PEOPLE,  # people are sent to jobs, when all of the moment have been asked for
) = range(8)


@dataclass(slots=True)
class Alarm:
    """Rings at the moment it is set to. Setting it again moves it."""

    rank: int
    what: int
    """What it rings for: see ``events``."""
    whose: int = 0
    """Number of the stop cause, stoppage, stand, ... whose alarm it is."""
    at_ns: int = NEVER
    turn: int = 0
    """Of two alarms of one moment and rank the one set earlier rings first."""
    place: int = -1
    """Where it is among those that are set; -1: it is not."""


@dataclass(slots=True)
class Alarms:
    """All alarms that are set, in no order."""

    pending: Row[Ref[Alarm]]
    turns: int = 0


def times(count: int, length: int) -> int:
    """So many times a length; NEVER where that is beyond all time."""
    return NEVER if float(count) * length >= NEVER else count * length


def set_alarm(line: Line, alarm: Alarm, at_ns: int) -> None:
    """Ring at ``at_ns`` (not in the past); ``NEVER`` calls it off."""
    if at_ns == alarm.at_ns:
        return
    alarm.at_ns = at_ns
    pending = line.alarms.pending
    if at_ns >= NEVER:
        if alarm.place >= 0:
            last = pending[len(pending) - 1]
            pending[alarm.place] = last
            last.place = alarm.place
            shorten(pending, len(pending) - 1)
            alarm.place = -1
        return
    if alarm.place < 0:
        alarm.place = len(pending)
        add(line, pending, alarm)
    alarm.turn = line.alarms.turns
    line.alarms.turns += 1


def next_alarm(line: Line) -> int:
    """Place of the alarm that rings next among those that are set; -1: none is."""
    best, at, rank, turn = -1, NEVER, 0, 0
    place = -1
    for alarm in line.alarms.pending:
        place += 1
        when = alarm.at_ns
        if when > at:
            continue
        later = alarm.rank > rank or (alarm.rank == rank and alarm.turn > turn)
        if best >= 0 and when == at and later:
            continue
        best, at, rank, turn = place, when, alarm.rank, alarm.turn
    return best


(
    WEBS,
    TRANSFER,
    BRIDGE,
    PACKING,
    WRAPPER,
    END_OF_LINE,
    PEOPLE,
    PAUSE_BEGINS,
    PAUSE_OVER,
    FORCED,
    CAUSE,
    RESTORED,
    PREPARED,
    REEL_REPLACED,
    REWRAPPED,
    REFILLED,
    TRUCK,
    FETCHED,
    LOOK_WHETHER_EMPTY,
    CHANGED_OVER,
    CUT_MORE,
    SPARE_PREPARED,
    REEL_BROUGHT,
    SHIFT_CHANGES,
    PEOPLE_ARRIVE,
) = range(25)
