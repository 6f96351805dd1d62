"""Good reams over time, what the nameplate promised meanwhile, and the gap by loss.

The promise is that of the line's effectiveness: the station that is slowest for the product being
made, at its planned speed all through the planned busy time. The gap between promise and good
reams is booked over that station's spans by the same rules as the run's own accounts, so that at
the end each loss is what the staircase of :mod:`linesim.record.effectiveness` shows, to the
nanosecond.

Breakdowns, set-up and minor stops are known from moment to moment. What remains of the gap while
the station runs - reduced speed, rejects, and work still on the line - is one band here: where
paper is rejected is not recorded by the moment. The staircase splits it at the end of the run.

A standstill is minor or a breakdown by its whole length. Where one begins at the very moment at
which another ended, the spans show one; should the run's own account have judged the two apart,
the curves of these two losses come to the account's figure at the end of the run only. The
shares of several wrappers are rounded likewise. How long a station has waited while it worked at a
neighbour's pace is known of all such time together, and shared out by length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.record.capacity import WRAPPERS, slowest
from linesim.record.effectiveness import line_effectiveness, relieved, shares_of
from linesim.record.products import products
from linesim.record.record import Column, History, Part, Record, Spans, repeated
from linesim.record.states import WAITING, Kind, Loss, State

GAP_STEPS = (
    "breakdowns",
    "set-up and adjustment",
    "idling and minor stops",
    "speed, rejects, other",
)
_STANDING = {GAP_STEPS[0]: Loss.BREAKDOWN, GAP_STEPS[1]: Loss.SET_UP, GAP_STEPS[2]: Loss.MINOR}
_NS_PER_MIN = 60_000_000_000
Moments = NDArray[np.int64]


@dataclass(frozen=True)
class Outflow:
    """Good reams of a run over time, promise and gap. Times in ns; arrays are read only."""

    station: str
    """The station with the lowest planned speed, which the promise is taken from."""
    rated_reams_per_min: float
    """Its planned speed; over several products, the mean for what was made."""
    good_ns: Column
    """When a good ream left the wrappers or the rework table: the n-th entry is the n-th ream."""
    times_ns: Column
    """Moments from the start of counting to the end of the run, at which the losses change ..."""
    lost_ns: dict[Loss, Column]
    """... and ns of the station booked under each loss by then; straight lines in between."""
    reams: dict[Loss, NDArray[np.float64]]
    """The same as reams of what was made then, at their planned speed."""

    def good(self, at_ns: Moments) -> NDArray[np.int64]:
        return np.searchsorted(self.good_ns, at_ns, side="right").astype(np.int64)

    def promised(self, at_ns: Moments) -> NDArray[np.float64]:
        """Reams that planned speed all through the planned busy time would have made by then."""
        return self._promised(self._lost_by(at_ns))

    def gap(self, at_ns: Moments) -> dict[str, NDArray[np.float64]]:
        """Reams missing to the promise by these moments, by ``GAP_STEPS``; they add up to it.

        The last step is what remains: it falls below 0 where the line lives on work that entered
        it before.
        """
        lost = self._lost_by(at_ns)
        found = {step: lost[loss] for step, loss in _STANDING.items()}
        found[GAP_STEPS[3]] = self._promised(lost) - self.good(at_ns) - sum(found.values())
        return found

    def _promised(self, lost: dict[Loss, NDArray[np.float64]]) -> NDArray[np.float64]:
        kinds = (reams for loss, reams in lost.items() if loss != Loss.PLANNED)
        return np.asarray(sum(kinds), dtype=np.float64)

    def _lost_by(self, at_ns: Moments) -> dict[Loss, NDArray[np.float64]]:
        # As np.interp, which would turn the whole columns into floats at every call.
        times = self.times_ns
        end = np.minimum(np.searchsorted(times, at_ns, side="right"), len(times) - 1)
        begin = np.maximum(0, end - 1)
        into = np.clip(at_ns, times[0], times[-1]) - times[begin]
        part = into / np.maximum(1, times[end] - times[begin])
        return {
            loss: np.asarray(lost[begin] + part * (lost[end] - lost[begin]), dtype=np.float64)
            for loss, lost in self.reams.items()
        }


def reams_behind(record: Record, other: Record, at_ns: Moments) -> NDArray[np.int64]:
    """Good reams that the first run has fewer than the other by these moments.

    Raises ``ValueError`` for a record without history.
    """
    ahead, own = (
        np.searchsorted(_good(each, each.recorded), at_ns, side="right") for each in (other, record)
    )
    return (ahead - own).astype(np.int64)


def outflow(record: Record) -> Outflow:
    """Good reams, promise and gap of a run. Raises ``ValueError`` for a record without history."""
    good = _good(record, record.recorded)
    at_end, made_of = line_effectiveness(record), products(record.scenario)
    times = np.array([record.start_ns])
    lost = {loss: np.zeros(1, dtype=np.int64) for loss in Loss}
    reams = {loss: np.zeros(1) for loss in Loss}
    row = {
        Loss.PLANNED: at_end.planned_stop_ns,
        Loss.BREAKDOWN: at_end.breakdown_ns,
        Loss.SET_UP: at_end.set_up_ns,
        Loss.MINOR: at_end.minor_ns,
    }
    row[Loss.PRODUCING] = at_end.total_ns - sum(row.values())
    booked: dict[int, _Booked] = {}
    parts = record.parts
    for part in parts:
        station, speed = slowest(record.scenario, made_of[part.order])
        own_times, own = _together(record, part, station, booked)
        times = np.concatenate([times, own_times[1:]])
        for loss, ns in own.items():
            ns = lost[loss][-1] + ns
            if part is parts[-1]:
                ns[-1] = row[loss]
            by_part = (ns[1:] - lost[loss][-1]) * (speed / _NS_PER_MIN)
            lost[loss] = np.concatenate([lost[loss], ns[1:]])
            reams[loss] = np.concatenate([reams[loss], reams[loss][-1] + by_part])
    names = at_end.name.removeprefix("line, by its ")
    return Outflow(names, at_end.rated_reams_per_min, good, times, lost, reams)


def _good(record: Record, history: History) -> Column:
    """Moments of good reams in order: finished and not spoiled, or saved by hand."""
    values, counts = np.unique(history.ream_end_ns, return_counts=True)
    spoiled, many = np.unique(history.ream_spoiled_ns, return_counts=True)
    counts[np.searchsorted(values, spoiled)] -= many
    moments = np.concatenate([repeated(values, counts), history.ream_saved_ns])
    uncounted = record.start_ns > record.begun_ns
    return np.sort(moments[moments > record.start_ns] if uncounted else moments)


_Booked = tuple[Column, dict[Loss, Column]]
"""Ends of a station's spans, and ns by loss booked by then."""


def _together(record: Record, part: Part, station: str, booked: dict[int, _Booked]) -> _Booked:
    """What is booked in one part of the run for the station that sets the pace in it."""
    shares = {number: float(share) for number, share in shares_of(record, station).items()}
    for number in shares:
        if number not in booked:
            booked[number] = _booked(record, number)
    within = {number: _within(booked[number], part) for number in shares}
    if len(within) == 1:
        return next(iter(within.values()))
    times = np.unique(np.concatenate([own for own, _ in within.values()]))
    curves = {
        number: [np.interp(times, own, ns[loss]) for loss in Loss]
        for number, (own, ns) in within.items()
    }
    row = [sum(shares[n] * curve[loss] for n, curve in curves.items()) for loss in Loss]
    if station == WRAPPERS and record.scenario.divert.rule == "hot_standby":
        others = [curve[Loss.PRODUCING] for n, curve in curves.items() if not shares[n]]
        row = relieved(row, sum(others))
    return times, {loss: np.rint(row[loss]).astype(np.int64) for loss in Loss}


def _within(booked: _Booked, part: Part) -> _Booked:
    """The same from the beginning of a part of the run to its end."""
    times, lost = booked
    if (part.start_ns, part.end_ns) == (times[0], times[-1]):
        return times, lost
    inside = times[(times > part.start_ns) & (times < part.end_ns)]
    own = np.concatenate([[part.start_ns], inside, [part.end_ns]])
    cut = {loss: np.rint(np.interp(own, times, ns)).astype(np.int64) for loss, ns in lost.items()}
    return own, {loss: ns - ns[0] for loss, ns in cut.items()}


def _booked(record: Record, station: int) -> _Booked:
    """Ends of a station's spans, and ns by loss booked by then, as the run's ledger does."""
    spans = record.recorded.spans.of(station)
    length = spans.end_ns - spans.start_ns
    losses = _losses(record, spans, length)
    times = np.concatenate([[record.start_ns], spans.end_ns])
    by_loss = {
        loss: np.concatenate([[0], np.cumsum(np.where(losses == loss, length, 0))]) for loss in Loss
    }
    waited = _waited_at_pace(record, station, spans, length)
    by_loss[Loss.PRODUCING] -= waited
    by_loss[Loss.MINOR] += waited
    return times, by_loss


def _waited_at_pace(record: Record, station: int, spans: Spans, length: Column) -> Column:
    """What a station has waited by then in spans in which it worked at a neighbour's pace.

    The account knows it of all of them together: each has its share by its length.
    """
    paced = np.where((spans.state == State.SLOWED) & (spans.root_station >= 0), length, 0)
    whole = int(paced.sum())
    starved = sum(v for k, v in record.sums.items() if k[:2] == (station, State.STARVED))
    waited = starved - int(length[spans.state == State.STARVED].sum())
    share = waited / whole if whole else 0.0
    return np.concatenate([[0], np.rint(np.cumsum(paced) * share)]).astype(np.int64)


def _losses(record: Record, spans: Spans, length: Column) -> NDArray[np.int8]:
    """The loss each span counts under. Whether a stop is minor goes by the whole standstill."""
    kinds = np.array([int(kind) for kind in record.cause_kinds], dtype=np.int8)
    waits = np.isin(spans.state, WAITING)
    kind = kinds[np.where(waits & (spans.root_cause >= 0), spans.root_cause, spans.cause)]
    standing = spans.state > State.SLOWED
    planned = spans.state == State.PLANNED
    begins = standing & np.append(True, ~standing[:-1])
    number = np.cumsum(begins) - 1
    first = np.flatnonzero(begins)
    stood = np.zeros(1, dtype=np.int64)
    if len(first):
        stood = np.add.reduceat(np.where(standing & ~planned, length, 0), first)
    minor_ns = round(record.scenario.line.minor_stop_minutes * _NS_PER_MIN)
    long = stood[np.maximum(number, 0)] >= minor_ns
    found = np.full(len(length), int(Loss.MINOR), dtype=np.int8)
    found[(kind == Kind.STOP) & long] = Loss.BREAKDOWN
    found[kind == Kind.SET_UP] = Loss.SET_UP
    found[planned | ((kind == Kind.CALENDAR) & waits)] = Loss.PLANNED
    found[~standing] = Loss.PRODUCING
    return found
