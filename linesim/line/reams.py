"""The steps of a ream behind the bridge: taken, wrapped, brought to the outfeed, or spoiled.

Each step happens at a moment that is known; when it is due is the affair of ``packing``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.bridge import head_ready_ns, take_ream
from linesim.line.causes import REAMS, RUNNING_H
from linesim.line.clock import NEVER
from linesim.line.history import note, note3
from linesim.line.machine import fall
from linesim.line.outfeed import finish_outfeed, has_room, outfeed_takes
from linesim.line.typed import LATE
from linesim.line.wrapper import (
    Wrapper,
    begin_ream,
    drop_ream,
    fall_by_reams,
    finish_ream,
    spoils_beyond_this,
    spoilt,
    throw_away,
)

if TYPE_CHECKING:
    from linesim.line.line import Line


def start_ream(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    """The wrapper takes the first ream on the bridge."""
    told.wrapper_runs(line, wrapper, at_ns)
    begin_ream(line, wrapper, at_ns)
    take_ream(line)
    line.divert.turn = (wrapper.which + 1) % len(line.wrappers)


def wrapper_moves(line: Line, wrapper: Wrapper) -> None:
    """The ream in hand is wrapped, or a stop falls due before that."""
    if wrapper.stops_at_ns < wrapper.ends_ns:
        _at_this_moment(line, wrapper.stops_at_ns)
        reading = wrapper.run_ns + wrapper.stops_at_ns - wrapper.began_ns
        wrapper.stops_at_ns = NEVER
        # All that are due begin, then they spoil what they spoil.
        spoils = 0
        for cause in wrapper.causes:
            if cause.meter == RUNNING_H and reading >= cause.due:
                spoils += cause.spoils_reams
        fall(line, wrapper, RUNNING_H, reading)
        _spoil(line, wrapper, spoils)
        return
    finish_ream(wrapper)
    at = wrapper.ends_ns
    if line.keeps:
        note3(line, line.history.reams, wrapper.taken_ns, at, wrapper.which)
    if wrapper.done < wrapper.next_due:
        _deliver(line, wrapper, at)
        return
    _at_this_moment(line, at)
    more = spoils_beyond_this(wrapper)
    if spoilt(line, wrapper):
        if line.keeps:
            note(line, line.history.spoiled, at)
        _spoiled(line)
    else:
        _deliver(line, wrapper, at)
    fall_by_reams(line, wrapper)
    _spoil(line, wrapper, more)


def _deliver(line: Line, wrapper: Wrapper, at_ns: int) -> None:
    line.book.wrapped += 1
    _count_good(line, at_ns)
    told.ream_out(line, at_ns)
    if not line.has_outfeed:
        return
    if has_room(line):
        _bring_out(line, at_ns)
    else:
        wrapper.holding = True
        told.wrapper_is_blocked(line, wrapper, at_ns)


def saved(line: Line, product: int) -> None:
    """A spoiled ream has been wrapped again, of the product that was the so-manieth made."""
    _count_good(line, line.now_ns)
    told.ream_saved(line, product)


def _count_good(line: Line, at_ns: int) -> None:
    """One more good ream in its part of the counted time."""
    buckets = line.buckets
    if len(buckets) > 0 and at_ns >= line.buckets_from_ns:
        bucket = (at_ns - line.buckets_from_ns) // line.bucket_ns
        buckets[min(bucket, len(buckets) - 1)] += 1


def _spoiled(line: Line) -> None:
    told.bring(line)
    told.lose(line, 1)


def _spoil(line: Line, wrapper: Wrapper, reams: int) -> None:
    """A stop spoils reams: the one in hand, then those waiting before it on the bridge."""
    if reams > 0 and wrapper.busy:
        if line.keeps:
            note(line, line.history.off, wrapper.taken_ns)
        drop_ream(line, wrapper)
        _spoiled(line)
        reams -= 1
    while reams > 0 and head_ready_ns(line) <= line.now_ns:
        take_ream(line)
        if line.keeps:
            note(line, line.history.off, line.now_ns)
        throw_away(wrapper)
        _spoiled(line)
        reams -= 1


def _bring_out(line: Line, at_ns: int) -> None:
    outfeed = line.outfeed
    if not outfeed.busy and not outfeed.stands:
        told.outfeed_runs(line, at_ns)
    outfeed.waiting += 1
    outfeed_takes(line, at_ns)


def outfeed_moves(line: Line) -> None:
    """A ream leaves the line, or a stop falls due before that."""
    outfeed = line.outfeed
    if outfeed.stops_at_ns < outfeed.ends_ns:
        _at_this_moment(line, outfeed.stops_at_ns)
        reading = outfeed.run_ns + outfeed.stops_at_ns - outfeed.began_ns
        outfeed.stops_at_ns = NEVER
        fall(line, outfeed, RUNNING_H, reading)
        return
    at = outfeed.ends_ns
    finish_outfeed(outfeed)
    if outfeed.done >= outfeed.reams_due:
        _at_this_moment(line, at)
        fall(line, outfeed, REAMS, outfeed.done)
    outfeed_takes(line, at)
    room_on_outfeed(line, at)


def room_on_outfeed(line: Line, at_ns: int) -> None:
    """Wrappers that held a wrapped ream let go of it, as far as there is room."""
    for wrapper in line.wrappers:
        if wrapper.holding and has_room(line):
            wrapper.holding = False
            wrapper.idle_since_ns = at_ns
            if not wrapper.stands:
                told.wrapper_starves(line, wrapper, at_ns)
            _bring_out(line, at_ns)


def _at_this_moment(line: Line, at_ns: int) -> None:
    if at_ns != line.now_ns:
        line.fault = LATE
        return
    told.note_idle(line, at_ns)
