"""What a station's meter showed at any moment of the plant's log: hours, kilometres or reams.

A meter moves only in planned time and not while its own station stands. Without production counts
it is planned hours less stops. With counts, reams are the plant's own, kilometres are too or follow
from reams, and hours of moving follow from them by the scenario's pace: waiting (starved, blocked)
is then left out, which no stop log shows. Within a shift a count is spread evenly over the time the
station did not stop.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.plant.pace import Pace, rated_pace
from linesim.plant.production import ProductionCount
from linesim.plant.stop_log import CleanStop
from linesim.record.capacity import line_rates
from linesim.scenario import Scenario
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.stops import WEB_STATIONS

UNITS = {
    "every_running_h": "h",
    "every_clock_h": "h",
    "every_web_km": "km",
    "every_cuts": "cuts",
    "every_reams": "reams",
}


@dataclass(frozen=True)
class Planned:
    """A stretch in which the line was meant to run, and its counts where the plant has them."""

    start: dt.datetime
    end: dt.datetime
    reams: int | None = None
    web_km: float | None = None

    @property
    def hours(self) -> float:
        return (self.end - self.start).total_seconds() / 3600


@dataclass(frozen=True)
class Meter:
    """``readings`` at ``moments`` (s since the first), with straight lines between."""

    field: str
    zero: dt.datetime
    moments: NDArray[np.float64]
    readings: NDArray[np.float64]

    @property
    def total(self) -> float:
        return float(self.readings[-1])

    @property
    def unit(self) -> str:
        return UNITS[self.field]

    def at(self, moment: dt.datetime) -> float:
        seconds = (moment - self.zero).total_seconds()
        return float(np.interp(seconds, self.moments, self.readings))


def planned_from_counts(counts: Iterable[ProductionCount]) -> tuple[Planned, ...]:
    return tuple(Planned(c.start, c.end, c.good_reams, c.web_km) for c in counts)


def planned_by_day(
    first: dt.datetime, last: dt.datetime, hours_per_day: float, day_starts: dt.time
) -> tuple[Planned, ...]:
    """So many hours from the same time each day that has part of the log in it."""
    found = []
    day = first.date() - dt.timedelta(days=1)
    while day <= last.date():
        start = dt.datetime.combine(day, day_starts)
        end = start + dt.timedelta(hours=hours_per_day)
        if end > first and start <= last:
            found.append(Planned(start, end))
        day += dt.timedelta(days=1)
    return tuple(found)


def stands_with(station: str | None) -> frozenset[str]:
    """Stations that move as one with it."""
    if station is None:
        return frozenset()
    return frozenset(WEB_STATIONS) if station in WEB_STATIONS else frozenset({station})


def has_counts_for(field: str, planned: Sequence[Planned], scenario: Scenario | None) -> bool:
    if field == "every_reams":
        return all(each.reams is not None for each in planned)
    if field in ("every_web_km", "every_cuts"):
        counted = all(each.web_km is not None for each in planned)
        known = counted or all(each.reams is not None for each in planned)
        return known if scenario is not None else counted and field == "every_web_km"
    return field in ("every_running_h", "every_clock_h")


def meter(
    field: str,
    station: str | None,
    planned: Sequence[Planned],
    own_stops: Iterable[CleanStop],
    scenario: Scenario | None = None,
    pace: Pace | None = None,
) -> Meter:
    """The meter *field* of *station*, which did not move in *own_stops*.

    *pace* is by geometry and rated speed unless given. Raises ``ValueError`` where the counts do
    not move that meter.
    """
    if not planned or not has_counts_for(field, planned, scenario):
        raise ValueError(f"no counts for {field}")
    if pace is None and scenario is not None:
        pace = rated_pace(scenario)
    zero = planned[0].start
    stands = [] if field == "every_clock_h" else sorted((s.start, s.end) for s in own_stops)
    points: list[tuple[dt.datetime, float]] = []
    for each in planned:
        pieces = _moving(each, stands)
        moving_h = sum((b - a).total_seconds() for a, b in pieces) / 3600
        amount = _amount(field, station, each, moving_h, scenario, pace)
        points.append((each.start, 0.0))
        for begin, end in pieces:
            more = amount * (end - begin).total_seconds() / 3600 / moving_h
            points += [(begin, 0.0), (end, more)]
        points.append((each.end, 0.0))
    seconds = [(moment - zero).total_seconds() for moment, _ in points]
    readings = np.cumsum([more for _, more in points])
    return Meter(field, zero, np.maximum.accumulate(seconds), readings)


def hours_come_from_counts(
    station: str | None, planned: Sequence[Planned], scenario: Scenario | None
) -> bool:
    """Whether hours of moving are counts over pace, so that waiting is left out.

    The bridge moves all the time it does not stop by itself, so it needs no counts.
    """
    if scenario is None or station is None:
        return False
    if station in WEB_STATIONS:
        return has_counts_for("every_web_km", planned, scenario)
    known = station == "bridge" or reams_per_h(station, scenario) is not None
    known = known or bool(wrappers_of(station, scenario))
    return known and all(each.reams is not None for each in planned)


def wrappers_of(station: str | None, scenario: Scenario | None) -> tuple[str, ...]:
    """The wrappers that a station means: "wrapper" each of them by itself. Empty: none of them."""
    names = () if scenario is None else tuple(each.name for each in scenario.wrapper)
    return names if station == "wrapper" else tuple(name for name in names if name == station)


def reams_per_h(station: str, scenario: Scenario) -> float | None:
    """Reams that a station behind the webs makes in an hour in which it moves; None: not known.

    Of several wrappers the counts do not say which made what: that is for the :class:`Pace`. What
    is behind them is fed at their pace.
    """
    wrapping = sum(wrapper.rate_reams_per_min for wrapper in scenario.wrapper)
    if station == "transfer":
        hand = scenario.transfer
        if hand is None:
            return None
        moves = (hand.pick_s, hand.carry_s, hand.place_s, hand.return_s)
        cycle_s = float(sum(move.average() for move in moves))
        return scenario.slitter.lanes * 3600 / cycle_s
    if station in END_OF_LINE:
        places = list(scenario.end_places)
        up_to = places[: places.index(station) + 1] if station in places else []
        rated = {rate.station: rate.rated for rate in line_rates(scenario)}
        # Several packers work side by side: each makes its part of this.
        beside = len(scenario.end_places[station]) if up_to else 1
        return 60 * min([wrapping, *(rated[place] for place in up_to)]) / beside
    if len(scenario.wrapper) == 1 and station in ("wrapper", scenario.wrapper[0].name):
        return 60 * wrapping
    return None


def _moving(
    each: Planned, stands: Sequence[tuple[dt.datetime, dt.datetime]]
) -> list[tuple[dt.datetime, dt.datetime]]:
    pieces, reached = [], each.start
    for begin, end in stands:
        if end > each.start and begin < each.end:
            if begin > reached:
                pieces.append((reached, begin))
            reached = max(reached, min(end, each.end))
    return [*pieces, (reached, each.end)] if reached < each.end else pieces


def _web_km(each: Planned, pace: Pace | None) -> float:
    """Kilometres of one web: counted, or what the reams took."""
    if each.web_km is not None or pace is None:
        return float(each.web_km or 0)
    return float(each.reams or 0) * pace.km_per_ream


def _amount(
    field: str,
    station: str | None,
    each: Planned,
    moving_h: float,
    scenario: Scenario | None,
    pace: Pace | None,
) -> float:
    wrappers = wrappers_of(station, scenario)
    packers = scenario.end_places.get(station or "", ()) if scenario is not None else ()
    # Each wrapper has a meter of its own, and where one stands the others do not; so has a packer.
    most = moving_h + max(0, len(wrappers) - 1, len(packers) - 1) * each.hours
    if field == "every_reams":
        share = _share(wrappers, scenario, pace) if wrappers else _share_packed(station, scenario)
        return float(each.reams or 0) * share
    if field == "every_web_km":
        return _web_km(each, pace)
    if field == "every_cuts":
        assert pace is not None
        return _web_km(each, pace) / pace.km_per_cut
    if (
        field == "every_running_h"
        and scenario is not None
        and station is not None
        and station != "bridge"
        and hours_come_from_counts(station, [each], scenario)
    ):
        assert pace is not None
        if station in WEB_STATIONS:
            hours = _web_km(each, pace) * pace.h_per_km
        elif len(scenario.wrapper) > 1 and wrappers:
            hours = float(each.reams or 0) * sum(pace.wrapping_h[name] for name in wrappers)
        else:
            hours = float(each.reams or 0) / (reams_per_h(station, scenario) or math.inf)
        return min(hours, most)
    return most


def _share_packed(station: str | None, scenario: Scenario | None) -> float:
    """Of all reams, the share that one of several carton packers packs, by its rated speed."""
    ends = scenario.end_of_line if scenario is not None else {}
    if station not in ends:
        return 1.0
    beside = [each for each in ends.values() if each.place == ends[station].place]
    return ends[station].pace_reams_per_min / sum(each.pace_reams_per_min for each in beside)


def _share(wrappers: Sequence[str], scenario: Scenario | None, pace: Pace | None) -> float:
    """Of all reams, the share that these wrappers wrap."""
    assert scenario is not None
    assert pace is not None
    made = {w.name: pace.wrapping_h[w.name] * w.rate_reams_per_min for w in scenario.wrapper}
    return sum(made[name] for name in wrappers) / (sum(made.values()) or 1.0)
