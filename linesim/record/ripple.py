"""The stops of a run, and what each did to the stations around it.

A stop is a longest stretch in which a station stood for one cause of its own: down, being changed
over, waiting for people or for a reel. Planned stops are not among them: nobody waits for those.
What a stop did follows from the roots of the others' waiting: a wait whose root is this station
and this cause is the work of one of its stops.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.record.record import Column, Record
from linesim.record.states import State

OWN_STATES = (State.DOWN, State.CHANGEOVER, State.WAITING_PEOPLE, State.WAITING_REEL)
"""States in which a station stands for a cause of its own."""
LOUD = (*OWN_STATES, State.BLOCKED, State.STARVED)
"""States that nobody should overlook, the first of them least of all. Waits for another station's
pace are none of them."""


@dataclass(frozen=True)
class StopEvent:
    """One stop of one station. Times in ns; station and cause are numbers of the record.

    Two stops of one cause without a moment between them are one.
    """

    station: int
    cause: int
    start_ns: int
    end_ns: int

    @property
    def length_ns(self) -> int:
        return self.end_ns - self.start_ns


@dataclass(frozen=True)
class Reached:
    """A station that waited because of a stop, in one way (starved or blocked)."""

    station: int
    state: State
    after_ns: int
    """From the start of the stop to the first wait; 0 where the station waited already."""
    starts_ns: tuple[int, ...]
    ends_ns: tuple[int, ...]

    @property
    def waited_ns(self) -> int:
        return sum(self.ends_ns) - sum(self.starts_ns)


@dataclass(frozen=True)
class Ripple:
    """What one stop did; ``reached`` in the order in which it was felt, then as paper moves."""

    event: StopEvent
    reached: tuple[Reached, ...]


def stop_events(record: Record) -> tuple[StopEvent, ...]:
    """All stops in order of their start, then as the paper moves.

    Raises ``ValueError`` for a record without history.
    """
    spans = record.recorded.spans
    standing = np.flatnonzero(np.isin(spans.state, OWN_STATES))
    where = spans.station[standing]
    found: list[tuple[Column, ...]] = []
    for station in np.unique(where).tolist():
        own = standing[where == station]
        cause, start, end = spans.cause[own], spans.start_ns[own], spans.end_ns[own]
        new = np.append(True, (start[1:] != end[:-1]) | (cause[1:] != cause[:-1]))
        first = np.flatnonzero(new)
        last = np.append(first[1:], len(own)) - 1
        at = np.full(len(first), station, dtype=np.int64)
        found.append((at, cause[first].astype(np.int64), start[first], end[last]))
    if not found:
        return ()
    columns = [np.concatenate(parts) for parts in zip(*found, strict=True)]
    order = np.lexsort((columns[0], columns[2]))
    rows = zip(*(column[order].tolist() for column in columns), strict=True)
    return tuple(StopEvent(*row) for row in rows)


def ripple(record: Record, event: StopEvent, events: Sequence[StopEvent] | None = None) -> Ripple:
    """Which stations a stop starved or blocked, after how long, and for how long.

    ``events`` are the record's ``stop_events``, where the caller has them: it saves time.

    A wait belongs whole to one stop of its root: the one under way when it began; else the next
    one that begins before the wait is over (the station had just run out of work); else the last
    one before it (what it emptied or filled is still felt). Each wait is thus counted once.
    Raises ``ValueError`` for a record without history.
    """
    every = stop_events(record) if events is None else events
    same = _of_one_cause(every, event.station, event.cause)
    if event not in same:
        raise ValueError("this stop is not one of the record's")
    spans = record.recorded.spans
    waits = spans.waits_for(event.station, event.cause)
    owner = _owners(same, spans.start_ns[waits], spans.end_ns[waits])
    mine = waits[owner == same.index(event)]
    columns = (spans.station, spans.state, spans.start_ns, spans.end_ns)
    rows = zip(*(column[mine].tolist() for column in columns), strict=True)
    return Ripple(event, reached_by(rows, event.start_ns))


def reached_by(waits: Iterable[Sequence[int]], since_ns: int) -> tuple[Reached, ...]:
    """Waits (station, state, start, end) gathered by station and state, the first felt first."""
    gathered: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for station, state, start, end in waits:
        gathered.setdefault((station, state), []).append((start, end))
    found = []
    for (station, state), rows in gathered.items():
        rows.sort()
        starts, ends = zip(*rows, strict=True)
        after = max(0, starts[0] - since_ns)
        found.append(Reached(station, State(state), after, starts, ends))
    return tuple(sorted(found, key=lambda each: (each.after_ns, each.station)))


def stop_behind(
    events: Sequence[StopEvent], root_station: int, root_cause: int, start_ns: int, end_ns: int
) -> StopEvent | None:
    """The stop to which a wait with this root belongs, by the rule of :func:`ripple`.

    ``root_station`` and ``root_cause`` are places in the record's stations and causes. None where
    the root is no stop: a pace, a ramp, the calendar.
    """
    same = _of_one_cause(events, root_station, root_cause)
    if not same:
        return None
    return same[int(_owners(same, np.array([start_ns]), np.array([end_ns]))[0])]


def _of_one_cause(events: Sequence[StopEvent], station: int, cause: int) -> list[StopEvent]:
    return [e for e in events if e.station == station and e.cause == cause]


def _owners(same: Sequence[StopEvent], begin: Column, end: Column) -> NDArray[np.intp]:
    """Which of the stops of one cause each wait belongs to."""
    starts = np.array([e.start_ns for e in same], dtype=np.int64)
    ends = np.array([e.end_ns for e in same], dtype=np.int64)
    before = np.searchsorted(starts, begin, side="right") - 1
    under_way = (before >= 0) & (begin < ends[np.maximum(before, 0)])
    following = np.minimum(before + 1, len(same) - 1)
    comes = (before + 1 < len(same)) & (starts[following] < end)
    # Nothing before it and nothing to come while it lasts: the first is the nearest there is.
    return np.maximum(0, np.where(under_way, before, np.where(comes, before + 1, before)))
