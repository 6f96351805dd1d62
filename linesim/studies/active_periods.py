"""Which station is the momentary bottleneck: the one with the longest active period.

Source: C. Roser, M. Nakano and M. Tanaka, *A practical bottleneck detection method*,
Proceedings of the Winter Simulation Conference (2001). A station is active while it is neither
starved nor blocked: working, down, being changed over, waiting for people. At any moment the
station whose active period under way is the longest of all (taken over the whole period) is the
momentary bottleneck; where the period of one ends after the next one's has begun, the
bottleneck shifts, and the overlap is nobody's alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from linesim.record import WAITING, Record, Spans
from linesim.record.accounts import knives
from linesim.record.capacity import SHEETER, TRANSFER, WRAPPERS
from linesim.record.states import State
from linesim.scenario import WEB_STATIONS

Period = tuple[int, int]
"""Start and end of an active period, ns."""


def active_shares(record: Record) -> dict[str, float]:
    """Share of the counted time in which each station was the sole momentary bottleneck.

    Several wrappers, or carton packers, count as one station, active while any of them is. Raises
    ``ValueError`` for a record without history.
    """
    spans = record.recorded.spans
    web = [n for n, name in enumerate(record.stations) if name in WEB_STATIONS]
    sheeter = [knives(record)]
    members = {SHEETER: sheeter, TRANSFER: [record.stations.index(TRANSFER)]}
    members[WRAPPERS] = [record.stations.index(w.name) for w in record.scenario.wrapper]
    for place, names in record.scenario.end_places.items():
        members[place] = [record.stations.index(name) for name in names]
    periods = {
        name: _together([_active(spans.of(n), web if name == SHEETER else []) for n in numbers])
        for name, numbers in members.items()
    }
    sole = sole_bottleneck_ns(periods)
    length = record.end_ns - record.start_ns
    return {name: sole[name] / length for name in members}


def sole_bottleneck_ns(periods: Mapping[str, Sequence[Period]]) -> dict[str, int]:
    """Time in ns in which each station alone was the momentary bottleneck.

    ``periods`` are the active periods of each station, in order, without overlap. From one
    bottleneck the next is the station whose active period, begun before the end of the present
    one and lasting beyond it, is the longest.

    >>> sole_bottleneck_ns({"a": [(0, 10)], "b": [(8, 30)]})
    {'a': 8, 'b': 20}
    """
    rows = [
        (start, end, name) for name, each in periods.items() for start, end in each if end > start
    ]
    chain = _chain(rows)
    sole = dict.fromkeys(periods, 0)
    for number, (start, end, name) in enumerate(chain):
        begins = max(start, chain[number - 1][1]) if number else start
        ends = min(end, chain[number + 1][0]) if number + 1 < len(chain) else end
        sole[name] += max(0, ends - begins)
    return sole


def _chain(rows: list[tuple[int, int, str]]) -> list[tuple[int, int, str]]:
    """The bottlenecks in turn. Where nobody is active, it begins anew with the next period."""
    rows = sorted(rows)
    chain: list[tuple[int, int, str]] = []
    at = 0
    open_rows: list[tuple[int, int, str]] = []
    while True:
        now = chain[-1][1] if chain else -1
        while at < len(rows) and rows[at][0] <= now:
            open_rows.append(rows[at])
            at += 1
        open_rows = [row for row in open_rows if row[1] > now]
        if open_rows:
            chain.append(max(open_rows, key=lambda row: (row[1] - row[0], -row[0], row[2])))
            continue
        if at == len(rows):
            return chain
        first = rows[at][0]
        begun = [row for row in rows[at:] if row[0] == first]
        chain.append(max(begun, key=lambda row: (row[1] - row[0], row[2])))


def _active(spans: Spans, own_roots: Sequence[int]) -> list[Period]:
    """Periods in which a station did not wait for another one."""
    state, root = spans.state, spans.root_station
    # A sheeter that waits for a part of itself, or any station off shift, is no other's victim;
    # one that works at another's pace waits for it after every piece.
    paced = (state == State.SLOWED) & (root >= 0)
    waits = np.isin(state, WAITING) & ~np.isin(root, own_roots)
    active = ~(paced | waits | (state == State.PLANNED))
    start, end = spans.start_ns[active], spans.end_ns[active]
    parted = start[1:] != end[:-1]
    starts = start[np.concatenate([[True], parted])] if len(start) else start
    ends = end[np.concatenate([parted, [True]])] if len(end) else end
    return list(zip(starts.tolist(), ends.tolist(), strict=True))


def _together(each: Sequence[list[Period]]) -> list[Period]:
    merged: list[Period] = []
    for start, end in sorted(period for periods in each for period in periods):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged
