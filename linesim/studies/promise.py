"""When each order is done, how likely it is late, and what another sequence would give."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from linesim.scenario import Scenario
from linesim.scenario.units import HOUR
from linesim.statistics import (
    Interval,
    Proportion,
    Quantile,
    exact_proportion,
    quantile_of,
)
from linesim.studies.best_sequence import BestSequence
from linesim.studies.differences import (
    Difference,
    crossed,
    difference,
    interval_over,
    is_crossed,
    share_not_known,
)
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner
from linesim.studies.sequences import Order, change_over_minutes, hours_to_be_safe, reordered
from linesim.studies.supplies_needed import PaperNeed, RollNeed, paper_needs, roll_needs

SHARES = (0.1, 0.5, 0.9)
_MOST_DOUBLINGS = 3


@dataclass(frozen=True)
class OrderPromise:
    """One order in the first sequence. Hours after the run starts."""

    name: str
    reams: int
    due_h: float | None
    done_h: tuple[Quantile, ...]
    """Last ream wrapped: 10th, 50th and 90th percentile."""
    late: Proportion | None
    """Chance that it is late; None where it has no due time, or the runs end before that."""
    unfinished: int
    """Runs that ended before it was done."""


@dataclass(frozen=True)
class SequenceFigures:
    """What a sequence gives. ``None`` where runs ended before the orders were done."""

    name: str
    order: Order
    change_over_min: float
    """Mean minutes of all its change-overs, from the scenario alone."""
    late_h: Interval | None
    """Hours late, all orders with a due time together."""
    late_orders: Interval | None
    last_h: Interval | None
    """Hours until the last order is done."""
    late_h_against: Difference | None
    """This sequence less the first, with the same random numbers; None for the first."""
    last_h_against: Difference | None
    same_as: str | None
    """Name of an earlier sequence that is the same."""


@dataclass(frozen=True)
class Promise:
    """Everything, for the first sequence in detail."""

    orders: tuple[OrderPromise, ...]
    sequences: tuple[SequenceFigures, ...]
    paper: tuple[PaperNeed, ...]
    rolls: tuple[RollNeed, ...]
    hours: float
    runs: int
    level: float
    not_known: float | None
    """Of the variance of when the last order is done, the share of what is not known of the line;
    None where nothing is doubted, or runs ended before."""
    crossed: bool
    """Whether the runs are of plants that agree with what is known."""
    best: BestSequence | None = None
    """The best sequence found; None where none was looked for."""


def promise(
    scenario: Scenario,
    runner: Runner,
    sequences: Mapping[str, Order],
    *,
    find_hours: bool = True,
) -> Promise:
    """Run every sequence with the same random numbers; the first is told in detail.

    With ``find_hours`` runs are as long as the orders should need and, where one was not enough,
    twice as long. Raises ``ValueError`` for a scenario without orders.
    """
    if not scenario.order:
        raise ValueError("the scenario has no [[order]]: there is nothing to promise")
    variants = {name: reordered(scenario, order) for name, order in sequences.items()}
    if find_hours:
        hours = max(hours_to_be_safe(scenario, order) for order in sequences.values())
        runner.settings = replace(runner.settings, hours=hours)
    for doubling in range(_MOST_DOUBLINGS + 1):
        rows = runner.outcomes(variants)
        done = all(t.wrapped_ns is not None for o in _every(rows) for t in o.orders)
        if done or not find_hours or runner.interrupted or doubling == _MOST_DOUBLINGS:
            break
        runner.settings = replace(runner.settings, hours=2 * runner.settings.hours)
    level, hours = runner.settings.level, runner.settings.hours
    first = next(iter(sequences))
    last = [_last_h(outcome) for outcome in rows[first]]
    return Promise(
        orders=tuple(
            _order(variants[first], rows[first], place, hours, level)
            for place in range(len(scenario.order))
        ),
        sequences=tuple(_sequence(scenario, name, sequences, rows, level) for name in sequences),
        paper=paper_needs(rows[first], level),
        rolls=roll_needs(variants[first], rows[first], level),
        hours=hours,
        runs=len(rows[first]),
        level=level,
        not_known=None
        if None in last
        else share_not_known(rows[first], [each or 0 for each in last]),
        crossed=is_crossed(rows[first]),
    )


def _every(rows: Mapping[str, Sequence[Outcome]]) -> list[Outcome]:
    return [outcome for each in rows.values() for outcome in each]


def _hours(ns: int | None) -> float | None:
    return None if ns is None else ns / HOUR


def _order(
    scenario: Scenario, rows: Sequence[Outcome], place: int, hours: float, level: float
) -> OrderPromise:
    order = scenario.order[place]
    due_h = scenario.due_h(order)
    done = [_hours(outcome.orders[place].wrapped_ns) for outcome in rows]
    late = None
    # Where the run ends before the due time, an unfinished order may yet be in time.
    if due_h is not None and (due_h <= hours or None not in done):
        count = sum(1 for at in done if at is None or at > due_h)
        late = exact_proportion(count, len(done), level, crossed=is_crossed(rows))
    return OrderPromise(
        order.name,
        order.reams,
        due_h,
        tuple(quantile_of(done, share, level, crossed=is_crossed(rows)) for share in SHARES),
        late,
        done.count(None),
    )


def _sequence(
    scenario: Scenario,
    name: str,
    sequences: Mapping[str, Order],
    rows: Mapping[str, Sequence[Outcome]],
    level: float,
) -> SequenceFigures:
    first = next(iter(sequences))
    order = sequences[name]
    due = {
        key: [scenario.due_h(scenario.order[n]) for n in sequences[key]] for key in (name, first)
    }
    late = [_late_h(outcome, due[name]) for outcome in rows[name]]
    last = [_last_h(outcome) for outcome in rows[name]]
    late_first = [_late_h(outcome, due[first]) for outcome in rows[first]]
    last_first = [_last_h(outcome) for outcome in rows[first]]
    runs = rows[name]
    dated = any(each is not None for each in due[name])
    earlier = list(sequences)[: list(sequences).index(name)]
    return SequenceFigures(
        name=name,
        order=order,
        change_over_min=change_over_minutes(scenario, order),
        late_h=_interval(runs, late, level) if dated else None,
        late_orders=_interval(runs, [_late_orders(o, due[name]) for o in runs], level)
        if dated
        else None,
        last_h=_interval(runs, last, level),
        late_h_against=_against(runs, late, late_first, level) if dated and name != first else None,
        last_h_against=_against(runs, last, last_first, level) if name != first else None,
        same_as=next((key for key in earlier if sequences[key] == order), None),
    )


def _late_h(outcome: Outcome, due: Sequence[float | None]) -> float | None:
    total = 0.0
    for times, due_h in zip(outcome.orders, due, strict=True):
        if due_h is None:
            continue
        if times.wrapped_ns is None:
            return None
        total += max(0.0, times.wrapped_ns / HOUR - due_h)
    return total


def _late_orders(outcome: Outcome, due: Sequence[float | None]) -> float | None:
    if _late_h(outcome, due) is None:
        return None
    return float(
        sum(
            due_h is not None and times.wrapped_ns is not None and times.wrapped_ns / HOUR > due_h
            for times, due_h in zip(outcome.orders, due, strict=True)
        )
    )


def _last_h(outcome: Outcome) -> float | None:
    ends = [times.wrapped_ns for times in outcome.orders]
    return None if None in ends else max(end for end in ends if end is not None) / HOUR


def _interval(
    runs: Sequence[Outcome], values: Sequence[float | None], level: float
) -> Interval | None:
    known = [value for value in values if value is not None]
    return interval_over(runs, known, level, least=0) if len(known) == len(values) else None


def _against(
    runs: Sequence[Outcome],
    mine: Sequence[float | None],
    first: Sequence[float | None],
    level: float,
) -> Difference | None:
    if None in mine or None in first:
        return None
    return difference(
        [value for value in mine if value is not None],
        [value for value in first if value is not None],
        level,
        crossed=crossed(runs),
    )
