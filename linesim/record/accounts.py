"""Where the time of a station went, by state and by cause, for people to read.

The parts that move as one with the webs have accounts of their own. Together they are the
sheeter, whose time is taken at the knives: where the knives only wait for another part of the
web's way, that is the sheeter's own stop, and it is booked under that part's states. So are the
spans of the sheeter, for a picture with one lane for it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from linesim.record.capacity import SHEETER
from linesim.record.record import Record, Spans
from linesim.record.ripple import OWN_STATES
from linesim.record.states import PRODUCING, WAITING, State, wait_words
from linesim.scenario import WEB_STATIONS

KNIVES = "cutter"
SLOWED_FOR = "slowed: "
"""What the label of slowed time begins with, before what it was slowed for."""
_OwnTime = dict[tuple[int, int], dict[State, int]]
"""By station and cause: time in the station's own stops, by state, ns."""


@dataclass
class Account:
    """Time of one station in ns, by state (its words) and by what it was lost for."""

    station: str
    part_of_sheeter: bool = False
    by_state: dict[str, int] = field(default_factory=lambda: {each.words: 0 for each in State})
    by_cause: dict[str, int] = field(default_factory=dict)
    """All time in which the station did not run at rated speed; with running time, the run."""

    def book(self, state: State, label: str, ns: int) -> None:
        self.by_state[state.words] += ns
        if state != State.RUNNING:
            self.by_cause[label] = self.by_cause.get(label, 0) + ns


def knives(record: Record) -> int:
    """Number of the station whose account stands for the sheeter."""
    return record.station(SHEETER if SHEETER in record.stations else KNIVES)


def station_accounts(record: Record) -> tuple[Account, ...]:
    """The sheeter and every station of the record, in the order of the paper."""
    accounts = [Account(name, name in WEB_STATIONS) for name in record.stations]
    for (station, number, cause, root_station, root_cause), ns in sorted(record.sums.items()):
        state = State(number)
        label = _label(record, state, cause, root_station, root_cause)
        accounts[station].book(state, label, ns)
    if SHEETER in record.stations:
        return tuple(accounts)
    return (_sheeter(record), *accounts)


def _label(record: Record, state: State, cause: int, root_station: int, root_cause: int) -> str:
    if state == State.SLOWED:
        return f"{SLOWED_FOR}{record.causes[cause]}" if record.causes[cause] else state.words
    if state not in WAITING:
        return record.causes[cause] or state.words
    if root_station < 0:
        return state.words
    reason = record.causes[root_cause] if root_cause >= 0 else ""
    return wait_words(state, record.stations[root_station], reason)


def _sheeter(record: Record) -> Account:
    web = {n for n, name in enumerate(record.stations) if name in WEB_STATIONS}
    account = Account(SHEETER)
    at = knives(record)
    own_time = _own_time(record)
    for (station, number, cause, root_station, root_cause), ns in sorted(record.sums.items()):
        if station != at:
            continue
        state = State(number)
        if state in WAITING and root_station in web:
            name = record.causes[root_cause] if root_cause >= 0 else ""
            for own, part in _as_at_root(own_time.get((root_station, root_cause), {}), ns):
                account.book(own, name or own.words, part)
        else:
            account.book(state, _label(record, state, cause, root_station, root_cause), ns)
    return account


def _own_time(record: Record) -> _OwnTime:
    found: _OwnTime = {}
    for (station, number, cause, _, _), ns in record.sums.items():
        state = State(number)
        if state not in WAITING and state not in PRODUCING:
            by_state = found.setdefault((station, cause), {})
            by_state[state] = by_state.get(state, 0) + ns
    return found


def _as_at_root(own: dict[State, int], ns: int) -> list[tuple[State, int]]:
    """Split ``ns`` of waiting as the station waited for split its own time for the cause."""
    whole = sum(own.values())
    if not whole:
        return [(State.DOWN, ns)]
    parts = [(state, ns * own[state] // whole) for state in sorted(own)]
    rest = ns - sum(part for _, part in parts)
    return [(parts[0][0], parts[0][1] + rest), *parts[1:]]


def sheeter_spans(record: Record) -> Spans:
    """Gapless spans of the sheeter in order of time; the root of its own stops is the part.

    Rows carry the knives' station number. Raises ``ValueError`` for a record without history.
    """
    spans = record.recorded.spans
    at_knives = spans.of(knives(record))
    if not len(at_knives.start_ns):
        return at_knives
    stood = np.flatnonzero(np.isin(spans.state, OWN_STATES))
    stops = {
        part: stood[spans.station[stood] == part]
        for part, name in enumerate(record.stations)
        if name in WEB_STATIONS and part != knives(record)
    }
    moments = [spans.start_ns[rows] for rows in stops.values()]
    moments += [spans.end_ns[rows] for rows in stops.values()]
    edges = np.unique(np.concatenate([at_knives.start_ns, *moments]))
    edges = edges[edges < at_knives.end_ns[-1]]
    row = np.maximum(0, np.searchsorted(at_knives.start_ns, edges, side="right") - 1)
    columns = {
        name: getattr(at_knives, name)[row].copy()
        for name in ("state", "cause", "root_station", "root_cause")
    }
    waits = np.isin(columns["state"], WAITING)
    for part, rows in stops.items():
        if not len(rows):
            continue
        there = np.searchsorted(spans.start_ns[rows], edges, side="right") - 1
        at = rows[np.maximum(there, 0)]
        mine = waits & (there >= 0) & (edges < spans.end_ns[at])
        mine &= at_knives.root_station[row] == part
        columns["state"][mine] = spans.state[at][mine]
        columns["cause"][mine] = spans.cause[at][mine]
        columns["root_cause"][mine] = spans.cause[at][mine]
    changed = np.append(True, np.any([c[1:] != c[:-1] for c in columns.values()], axis=0))
    first = np.flatnonzero(changed)
    start = edges[first]
    return Spans(
        np.full(len(first), knives(record), dtype=np.int16),
        columns["state"][first],
        columns["cause"][first],
        columns["root_station"][first],
        columns["root_cause"][first],
        start,
        np.append(start[1:], at_knives.end_ns[-1]),
    )
