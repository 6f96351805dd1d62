"""What a hidden line would have written down: its stops, and its reams shift by shift."""

from __future__ import annotations

import datetime as dt
import re

from linesim.fast import simulate
from linesim.plant.running_meter import Planned
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.record import Record
from linesim.record.ripple import stop_events
from linesim.scenario import Scenario

BEGAN = dt.datetime(2026, 3, 2, 6)
SHIFT_H = 8


def watched(scenario: Scenario, *, shifts: int, seed: int) -> Record:
    """Shifts of the line, one after the other, with every stop."""
    return simulate(scenario, seed=seed, hours=shifts * SHIFT_H, buckets=shifts)


def log_of(record: Record) -> StopLog:
    """Every stop as it was: nobody waits to write it down, and nobody errs."""
    stops = []
    for n, event in enumerate(stop_events(record)):
        start = BEGAN + dt.timedelta(microseconds=(event.start_ns - record.start_ns) // 1000)
        end = start + dt.timedelta(microseconds=event.length_ns // 1000)
        cause = re.sub(r" \(web \d+\)$", "", record.causes[event.cause])
        station = record.stations[event.station].replace("_", " ")
        stops.append(CleanStop(n, start, end, station, cause))
    return StopLog("hidden", "", {}, len(stops), tuple(stops), (), (), ())


def reams_of(record: Record) -> tuple[Planned, ...]:
    """Good reams of each shift, and no kilometres."""
    length = dt.timedelta(hours=SHIFT_H)
    starts = [BEGAN + n * length for n in range(len(record.good_per_bucket))]
    reams = zip(starts, record.good_per_bucket, strict=True)
    return tuple(Planned(start, start + length, good) for start, good in reams)
