"""The lanes of a strip: whose spans each shows, and which of them are worth a colour."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

import linesim
from gui.strip.reduce import TimeIn
from linesim.record import LOUD, OWN_STATES, WAITING, Record, Ripple, Spans, State
from linesim.scenario import WEB_STATIONS

SHEETER = "sheeter"
KNIVES = "cutter"
BRIDGE = "bridge"
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Filter:
    """Which stops, and waits for them, have colour. ``cause`` None: all causes."""

    cause: str | None = None
    at_least_ns: int = 0

    def passes(self, record: Record, event: linesim.record.StopEvent) -> bool:
        """Whether a stop is among those looked at."""
        named = self.cause is None or record.causes[event.cause] == self.cause
        return named and event.length_ns >= self.at_least_ns


@dataclass
class Layer:
    """One look of a lane; ``quiet`` where nobody needs to act: a wait for a pace, or filtered."""

    state: State
    quiet: bool
    time: TimeIn


@dataclass
class Lane:
    """One station, or the sheeter, over time."""

    name: str
    """The station a stop made here is a stop of."""
    title: str
    stations: frozenset[int]
    spans: Spans
    part: bool = False
    layers: list[Layer] = field(default_factory=list)

    def row_at(self, t_ns: int) -> int | None:
        """Row of the lane's spans at a moment; None outside the run."""
        row = int(np.searchsorted(self.spans.start_ns, t_ns, side="right")) - 1
        if row < 0 or t_ns > int(self.spans.end_ns[row]):
            return None
        return row

    def words_at(self, record: Record, row: int) -> str:
        """What the station does there, and why."""
        spans = self.spans
        return linesim.report.state_words(
            record,
            State(spans.state[row]),
            int(spans.cause[row]),
            int(spans.root_station[row]),
            int(spans.root_cause[row]),
        )

    def stop_at(
        self, record: Record, events: tuple[linesim.record.StopEvent, ...], row: int
    ) -> linesim.record.StopEvent | None:
        """The stop shown there, or the one that is waited for; None where there is none."""
        spans = self.spans
        start, end = int(spans.start_ns[row]), int(spans.end_ns[row])
        station, cause = int(spans.root_station[row]), int(spans.root_cause[row])
        if spans.state[row] in OWN_STATES:
            cause = int(spans.cause[row])
            within = [
                e
                for e in events
                if e.cause == cause
                and e.start_ns < end
                and e.end_ns > start
                and e.station in self.stations
            ]
            return within[0] if within else None
        if spans.state[row] not in WAITING:
            return None
        return linesim.record.stop_behind(events, station, cause, start, end)

    def colour(self, record: Record, only: Filter) -> None:
        """Sort the spans into layers, the loudest first."""
        spans = self.spans
        own = np.isin(spans.state, OWN_STATES)
        waits = np.isin(spans.state, WAITING)
        pace = np.array([linesim.report.is_pace(record, c) for c in range(len(record.causes))])
        why = np.where(own, spans.cause, spans.root_cause)
        loud = own | (waits & ~pace[np.maximum(spans.root_cause, 0)])
        if only.cause is not None:
            loud &= np.array([c == only.cause for c in record.causes])[np.maximum(why, 0)]
        if only.at_least_ns:
            loud &= _length_of_run(spans, own) >= only.at_least_ns
        self.layers = [
            Layer(state, False, _time(spans, loud & (spans.state == state))) for state in LOUD
        ]
        quiet = ~loud & (own | waits)
        for state in (State.BLOCKED, State.STARVED):
            of_it = spans.state == state
            if state == State.BLOCKED:
                of_it = of_it | own
            self.layers.append(Layer(state, True, _time(spans, quiet & of_it)))
        for state in (State.SLOWED, State.PLANNED):
            self.layers.append(Layer(state, True, _time(spans, spans.state == state)))
        self.layers = [layer for layer in self.layers if len(layer.time)]


def _time(spans: Spans, rows: Mask) -> TimeIn:
    return TimeIn(spans.start_ns[rows], spans.end_ns[rows])


def _length_of_run(spans: Spans, own: Mask) -> NDArray[np.int64]:
    """Length of each span; spans of one stop have the length of the whole stop."""
    joined = own[1:] & own[:-1] & (spans.cause[1:] == spans.cause[:-1])
    first = np.flatnonzero(np.append(True, ~joined))
    if not len(own):
        return np.zeros(0, dtype=np.int64)
    run = np.cumsum(np.append(True, ~joined)) - 1
    ends = spans.end_ns[np.append(first[1:], len(own)) - 1]
    whole: NDArray[np.int64] = (ends - spans.start_ns[first])[run]
    return whole


def lanes_of(record: Record, with_parts: bool) -> list[Lane]:
    """The sheeter, its parts if asked for, and all other stations, as the paper moves."""
    assert record.history is not None
    spans = record.history.spans
    web = frozenset(n for n, name in enumerate(record.stations) if name in WEB_STATIONS)
    lanes = []
    if web:
        lanes.append(Lane(KNIVES, SHEETER, web, linesim.record.sheeter_spans(record)))
    for number, name in enumerate(record.stations):
        title = linesim.record.station_words(name)
        if number in web and not with_parts:
            continue
        own = frozenset([number])
        lanes.append(Lane(name, title, own, spans.of(number), part=number in web))
    return lanes


def lit(lane: Lane, ripple: Ripple) -> list[Layer]:
    """What of a stop and its ripple lies in the lane."""
    layers = []
    event = ripple.event
    if event.station in lane.stations:
        spans = lane.spans
        rows = (spans.start_ns < event.end_ns) & (spans.end_ns > event.start_ns)
        rows &= np.isin(spans.state, OWN_STATES) & (spans.cause == event.cause)
        for state in sorted(set(spans.state[rows].tolist())):
            found = _time(spans, rows & (spans.state == state))
            layers.append(Layer(State(state), False, found))
        if len(lane.stations) > 1:
            return layers
    of_lane = [r for r in ripple.reached if r.station in lane.stations]
    if len(lane.stations) > 1:
        of_lane = _as_one(of_lane)
    for each in of_lane:
        start = np.array(each.starts_ns, dtype=np.int64)
        end = np.array(each.ends_ns, dtype=np.int64)
        layers.append(Layer(each.state, False, TimeIn(start, end)))
    return layers


def _as_one(reached: list[linesim.record.Reached]) -> list[linesim.record.Reached]:
    """The sheeter's parts stand together: of each way of waiting, the part that waited most."""
    most: dict[State, linesim.record.Reached] = {}
    for each in reached:
        if each.state not in most or each.waited_ns > most[each.state].waited_ns:
            most[each.state] = each
    return list(most.values())
