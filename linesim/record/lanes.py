"""The sheeter's time as one row of spans, for a picture with one lane for it.

All parts of the web's way move as one. Their time is taken at the knives, as in
``linesim.record.accounts``: where the knives only wait for a stop of another part, the sheeter
itself stands, in that part's state and for its cause.
"""

from __future__ import annotations

import numpy as np

from linesim.record.accounts import knives
from linesim.record.record import Record, Spans
from linesim.record.ripple import OWN_STATES
from linesim.record.states import WAITING
from linesim.scenario import WEB_STATIONS


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
