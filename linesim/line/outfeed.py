"""The outfeed (boxing or pallets): a small buffer and a station that empties it.

Fed by a wrapper that is slower than itself it waits a moment before every ream. That is work at
the wrapper's pace, one span; the accounts tell its work and its waits apart.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.causes import Cause, new_causes
from linesim.line.clock import NEVER, OUTFEED, RANK_WRAPPING, times
from linesim.line.line import Line, Site
from linesim.line.machine import Worker, stops_of, work_on
from linesim.line.typed import Row
from linesim.scenario.units import MINUTE


@dataclass(slots=True, kw_only=True)
class Outfeed(Worker):
    """One station with reams waiting before it; ``packing`` moves it on."""

    room: int
    """Reams that can wait."""
    cycle_ns: int
    waiting: int = 0


def new_outfeed(site: Site) -> Outfeed:
    """An idle outfeed; one that is not there has no station."""
    table = site.scenario.outfeed
    station = len(site.stations) - 1
    no_causes: Row[Cause] = Row("stop causes", 0)
    causes = no_causes if table is None else new_causes(site, station, RANK_WRAPPING)
    return Outfeed(
        what=OUTFEED,
        station=station,
        causes=causes,
        stops=stops_of(site, station, causes),
        room=0 if table is None else table.buffer_reams,
        cycle_ns=0 if table is None else round(MINUTE / table.rate_reams_per_min),
    )


def has_room(line: Line) -> bool:
    """One more ream may wait, or be taken at once."""
    outfeed = line.outfeed
    return outfeed.waiting < outfeed.room or (not outfeed.busy and not outfeed.stands)


def outfeed_takes(line: Line, at_ns: int) -> None:
    """Begin the next ream, if one waits and nothing stands."""
    outfeed = line.outfeed
    if outfeed.busy or outfeed.stands or outfeed.waiting == 0:
        return
    outfeed.waiting -= 1
    work_on(outfeed, at_ns, outfeed.cycle_ns)


def earliest_stop_ns(line: Line, now_ns: int) -> int:
    """No stop of its own falls due before this, however fast reams come."""
    outfeed = line.outfeed
    at = outfeed.stops_at_ns if outfeed.busy else NEVER
    if outfeed.running_due_ns == NEVER and outfeed.reams_due == NEVER:
        return at
    base, run, left = now_ns, outfeed.run_ns, outfeed.reams_due - outfeed.done
    if outfeed.busy:
        base = outfeed.ends_ns
        run += outfeed.ends_ns - outfeed.began_ns
        left -= 1
    by_time = base + max(0, outfeed.running_due_ns - run)
    return min(at, by_time, base + times(max(0, left), outfeed.cycle_ns))
