"""One run of a line: a scenario and a seed in, a record out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from linesim.line.assembly import Line
from linesim.line.chance import Chance
from linesim.line.clock import HOUR
from linesim.line.run_in import begin_as_said, said_otherwise
from linesim.record import History, Kind, Record, Spans, State, StopTotal
from linesim.record.record import Column
from linesim.scenario import ForcedStop, Scenario

_SLICES = 200
"""Pieces of a run of which ``progress`` is told."""


def simulate(
    scenario: Scenario,
    *,
    seed: int = 1,
    replication: int = 0,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    history: bool = True,
    forced: Sequence[ForcedStop] = (),
    buckets: int = 0,
    progress: Callable[[float], bool] | None = None,
) -> Record:
    """Run a line for ``hours`` (a shift, unless given) after ``warm_up_h`` that are not counted.

    By the SimPy line, event by event; :func:`linesim.simulate`, which takes the same, says what
    each argument means.

    Raises ``ValueError`` for hours that are not above 0 or a forced stop at no known station.
    """
    start, end = span_of(scenario, hours, warm_up_h)
    line = Line(scenario, Chance(seed, replication), end_ns=end, keep=history, forced=tuple(forced))
    run_in = line.floor.run_in_ns
    start, end = start + run_in, end + run_in
    if buckets:
        line.count_buckets(buckets, start, end)
    if run_in:
        line.env.run_to(run_in)
        if said_otherwise(scenario):
            begin_as_said(line)
    if start:
        line.env.run_to(start)
        line.forget_warm_up()
    ran_to = run_in_slices(line.env.run_to, start, end, progress)
    line.close()
    return record_of(line, seed, replication, start, ran_to)


def span_of(scenario: Scenario, hours: float | None, warm_up_h: float) -> tuple[int, int]:
    """From when to when a run counts, ns; a shift unless ``hours`` are given.

    Raises ``ValueError`` for hours that are not above 0 or a warm-up below 0.
    """
    length = scenario.line.shift_hours if hours is None else hours
    start = round(warm_up_h * HOUR)
    end = start + round(length * HOUR)
    if end <= start or start < 0:
        raise ValueError(
            f"a run of {length} h after {warm_up_h} h: both must not be negative, "
            "and the run longer than 0"
        )
    return start, end


def run_in_slices(
    run_to: Callable[[int], object],
    start: int,
    end: int,
    progress: Callable[[float], bool] | None,
) -> int:
    """Run from ``start`` to ``end``, ns, telling ``progress`` on the way; how far it came, ns."""
    if progress is None:
        run_to(end)
        return end
    for part in range(1, _SLICES + 1):
        until = start + (end - start) * part // _SLICES
        run_to(until)
        if not progress(part / _SLICES) and part < _SLICES:
            return until
    return end


def record_of(line: Line, seed: int, replication: int, start: int, end: int) -> Record:
    """The record of a line whose run is over, counted from ``start`` to ``end``, ns.

    Both are of the line's own time; the record's begins when the run-in is over.
    """
    ledger, run_in = line.ledger, line.floor.run_in_ns
    own = (State.DOWN, State.CHANGEOVER, State.WAITING_PEOPLE, State.WAITING_REEL)
    own_states = frozenset(int(state) for state in own)
    stood: dict[tuple[int, int], int] = {}
    for (station, state, cause, _, _), ns in ledger.sums.items():
        if state in own_states:
            stood[station, cause] = stood.get((station, cause), 0) + ns
    stops = sorted(set(stood) | set(ledger.stop_count))
    return Record(
        scenario=line.floor.scenario,
        seed=seed,
        replication=replication,
        start_ns=start - run_in,
        end_ns=end - run_in,
        stations=ledger.stations,
        causes=tuple(ledger.causes),
        cause_kinds=tuple(Kind(kind) for kind in ledger.kinds),
        sums=dict(sorted(ledger.sums.items())),
        losses=tuple(tuple(row) for row in ledger.losses),
        stops=tuple(
            StopTotal(s, c, ledger.stop_count.get((s, c), 0), stood.get((s, c), 0))
            for s, c in stops
        ),
        books=line.floor.books,
        wrapped_by=line.wrapped_by(),
        good_per_bucket=tuple(line.buckets),
        orders=line.orders.done(),
        history=_history(line) if line.floor.keep else None,
        supplies=line.supplies(),
        products=tuple(line.products.parts),
        taken_out=line.taken_out(),
        begun_ns=-run_in,
    )


def _history(line: Line) -> History:
    run_in = line.floor.run_in_ns
    spans = Spans(*line.ledger.span_columns())
    spans = replace(spans, start_ns=spans.start_ns - run_in, end_ns=spans.end_ns - run_in)

    def moments(values: Iterable[int]) -> Column:
        return np.array(values, dtype=np.int64) - run_in

    def rows(values: Sequence[tuple[int, ...]], width: int) -> list[Column]:
        table = np.array(values, dtype=np.int64).reshape(-1, width)
        return [table[:, i].copy() for i in range(width)]

    placed = rows(line.bridge.placed_rows, 3)
    reels = rows(line.webs.states.reel_rows, 3)
    speed = line.webs.motion.rows
    reams = line.packing.steps
    return History(
        spans=spans,
        set_full_ns=placed[0] - run_in,
        set_placed_ns=placed[1] - run_in,
        set_reams=placed[2],
        ream_start_ns=moments(reams.start_rows),
        ream_end_ns=moments(reams.end_rows),
        ream_wrapper=np.array(reams.wrapper_rows, dtype=np.int8),
        ream_off_ns=moments([*reams.off_rows, *reams.in_hand_since()]),
        ream_spoiled_ns=moments(reams.spoiled_rows),
        ream_saved_ns=moments(reams.rework.saved_rows),
        speed_ns=moments([row[0] for row in speed]),
        speed_um=np.array([row[1] for row in speed], dtype=np.int64),
        speed_um_per_ns=np.array([row[2] for row in speed], dtype=np.float64),
        speed_change_um_per_ns2=np.array([row[3] for row in speed], dtype=np.float64),
        reel_ns=reels[0] - run_in,
        reel_web=reels[1].astype(np.int16),
        reel_left_um=reels[2],
    )
