"""What a stop that somebody forced did to a run: two runs with the same random numbers, compared.

The disturbed run is the undisturbed one with one stop more. Everything is of this one pair of
runs; how much it differs from shift to shift takes many pairs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from linesim.record.forgetting import forgetting
from linesim.record.products import products
from linesim.record.record import Column, Record
from linesim.record.ripple import Reached, StopEvent, reached_by, ripple, stop_events
from linesim.scenario import ForcedStop, Scenario


@dataclass(frozen=True)
class Disturbance:
    """What a forced stop did. Times in ns from the start of the run, lengths in ns."""

    station: str
    """Station as asked for; "wrapper" may stand for several."""
    cause: str
    asked_ns: int
    """When the stop was asked for, and for how long."""
    asked_length_ns: int
    began_ns: int | None
    """When the station stood for it. None where that is not to be seen: it stood already for
    something else, or as planned, or the run ended before."""
    ended_ns: int | None
    """When it stood for it no longer (or the run ended)."""
    reached: tuple[Reached, ...]
    """Stations that waited with this stop at the root of it, in the order in which they did.

    Causal: a station that ran but at another moment than in the undisturbed run is not here.
    ``after_ns`` counts from ``began_ns``.
    """
    bridge_full_ns: int | None
    """When the bridge first had no room for another set (or stood at its stop level) ...

    ... for longer than a set takes at rated speed, between the beginning of the stop and the end
    of the last wait for it, and at a moment at which it was not so in the undisturbed run.
    """
    bridge_empty_ns: int | None
    """The same for a bridge without a ream."""
    undisturbed_good_reams: int
    disturbed_good_reams: int
    """Good reams by the end of the run, from the books."""
    delay_ns: int
    """How much later than in the undisturbed run reams left the wrappers at the end of the run,
    planned stops not counted."""
    forgotten_ns: int | None
    """From when on the line did the same as in the undisturbed run, ``delay_ns`` later, to within
    one set and to the end of the run; None where it still differed near the end. See
    :mod:`linesim.record.forgetting`."""
    in_step_ns: int | None
    """From when on it first did so for twenty sets or more ..."""
    in_step_delay_ns: int
    """... and how much later it was then. Earlier than ``forgotten_ns`` where something, such as
    people or a pause by the clock, met it at another point of its work later on."""

    @property
    def reams_lost(self) -> int:
        """Good reams fewer by the end of the run; below 0 where chance made them more."""
        return self.undisturbed_good_reams - self.disturbed_good_reams

    @property
    def felt_until_ns(self) -> int | None:
        """End of the stop, or of the last wait for it."""
        if self.began_ns is None or self.ended_ns is None:
            return None
        return max([self.ended_ns, *(end for each in self.reached for end in each.ends_ns)])


def disturbance(undisturbed: Record, disturbed: Record, forced: ForcedStop) -> Disturbance:
    """Compare a run with the same run into which a stop was forced.

    Raises ``ValueError`` where the records have no history, or are not of the same scenario,
    random numbers and length from the start of the run (without warm-up).
    """
    _check_pair(undisturbed, disturbed)
    targets = _targets(disturbed, forced)
    asked, length = round(forced.at_h * 3600e9), round(forced.minutes * 60e9)
    events = [
        event
        for event in stop_events(disturbed)
        if event.station in targets
        and disturbed.causes[event.cause] == forced.cause
        and event.end_ns > asked
    ]
    if events:  # A planned stop may have cut it in parts; what begins after its time is another.
        latest = max(asked, min(event.start_ns for event in events)) + length
        events = [event for event in events if event.start_ns < latest]
    began = max(asked, min((e.start_ns for e in events), default=0)) if events else None
    ended = max(event.end_ns for event in events) if events else None
    after = forgetting(undisturbed, disturbed, ended if ended is not None else asked)
    found = Disturbance(
        station=forced.station,
        cause=forced.cause,
        asked_ns=asked,
        asked_length_ns=length,
        began_ns=began,
        ended_ns=ended,
        reached=_reached(disturbed, events, 0 if began is None else began),
        bridge_full_ns=None,
        bridge_empty_ns=None,
        undisturbed_good_reams=undisturbed.books.reams.good,
        disturbed_good_reams=disturbed.books.reams.good,
        delay_ns=after.delay_ns,
        forgotten_ns=after.from_ns,
        in_step_ns=after.in_step_ns,
        in_step_delay_ns=after.in_step_delay_ns,
    )
    if began is None or found.felt_until_ns is None:
        return found
    full, empty = _bridge(undisturbed, disturbed, began, found.felt_until_ns)
    return replace(found, bridge_full_ns=full, bridge_empty_ns=empty)


def rated_set_ns(scenario: Scenario) -> int:
    """Time in which a set is filled at rated speed, ns; with orders, of the slowest to fill."""
    times = (
        product.cuts_per_ream * product.sheet_length_mm / 1000 / product.web_speed_m_per_min * 60e9
        for product in products(scenario)
    )
    return max(map(round, times))


def _check_pair(undisturbed: Record, disturbed: Record) -> None:
    for record in (undisturbed, disturbed):
        if record.start_ns:
            raise ValueError("a disturbance is told from runs without warm-up")
    one, other = (
        (each.scenario, each.seed, each.replication, each.end_ns)
        for each in (undisturbed, disturbed)
    )
    if one != other:
        raise ValueError("the two records must be of the same scenario, random numbers and length")


def _targets(record: Record, forced: ForcedStop) -> list[int]:
    if forced.station in record.stations:
        return [record.station(forced.station)]
    if forced.station == "wrapper":
        return [record.station(wrapper.name) for wrapper in record.scenario.wrapper]
    raise ValueError(
        f"no station called {forced.station!r}; there are {', '.join(record.stations)}"
    )


def _reached(record: Record, events: list[StopEvent], began: int) -> tuple[Reached, ...]:
    waits = (
        (each.station, each.state, start, end)
        for event in events
        for each in ripple(record, event).reached
        for start, end in zip(each.starts_ns, each.ends_ns, strict=True)
    )
    return reached_by(waits, began)


def _bridge(before: Record, after: Record, began: int, until: int) -> tuple[int | None, int | None]:
    """Moments at which the bridge first ran full and empty, or None for each."""
    scenario = after.scenario
    reams = int(after.recorded.set_reams.max(initial=scenario.set_reams))
    room = 1 if scenario.bridge.when_full == "set_aside" else reams
    full = scenario.bridge_places - room + 1
    if scenario.bridge.stop_at_reams is not None:
        full = min(full, scenario.bridge.stop_at_reams)
    longer_than = rated_set_ns(scenario)

    def first(low: int, high: int) -> int | None:
        usual = _stretches(before, low, high, longer_than)
        starts, ends = _stretches(after, low, high, longer_than)
        for start, end in zip(starts, ends, strict=True):
            if end <= began or start > until:
                continue
            moment = max(int(start), began)
            if not bool(((usual[0] <= moment) & (moment < usual[1])).any()):
                return moment
        return None

    return first(full, 1 << 60), first(-(1 << 60), 0)


def _stretches(record: Record, low: int, high: int, longer_than: int) -> tuple[Column, Column]:
    """Starts and ends of all stretches with a bridge level from ``low`` to ``high``."""
    times, level = record.recorded.bridge_level()
    times = np.concatenate([[record.begun_ns], times]).astype(np.int64)
    inside = np.concatenate([[0], level]) >= low
    inside &= np.concatenate([[0], level]) <= high
    edges = np.diff(np.concatenate([[0], inside.astype(np.int8), [0]]))
    until = np.append(times, record.end_ns)
    starts, ends = until[np.flatnonzero(edges == 1)], until[np.flatnonzero(edges == -1)]
    long = ends - starts > longer_than
    return starts[long], ends[long]
