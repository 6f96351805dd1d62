"""The best sequence of orders: reckoned with mean times, run on the same luck, tried on fresh runs.

Three steps, each with fewer sequences. **Reckoned**: every order takes the working hours that runs
of the first sequence show, a change-over its mean; releases and the calendar are kept. Up to
``TRIED_ALL`` orders all sequences are reckoned. Beyond, those one starts from (as written, by due
date, by least change-over) are mended by taking one order out and putting it in elsewhere and by
exchanging two, the best of all such steps first, until none helps or so many are reckoned: good,
not shown to be the best. **Run**: the best of these, on the luck that the study has. **Tried**: the
best of those on draws that had no part in the choice, against the first sequence.
"""

from __future__ import annotations

import heapq
import itertools
import math
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from linesim.scenario import Scenario
from linesim.scenario.goods import goods_of
from linesim.scenario.shifts import pauses
from linesim.scenario.units import HOUR
from linesim.statistics import Interval, Proportion, exact_proportion
from linesim.studies.differences import Difference, crossed, difference, interval_over, is_crossed
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner
from linesim.studies.sequences import Order, change_over_minutes, minutes_between, reordered

AIMS = {
    "late-orders": "fewest late orders",
    "lateness": "least total lateness",
    "finish": "the last order done soonest",
    "change-over": "least change-over time",
    "greatest-lateness": "least lateness of the latest order",
}
"""What a sequence may be best by; of equals the next of the first four tells."""
TRIED_ALL = 8
_MOST_RECKONED = 20_000
_RUN, _TRIED_AFRESH = 6, 4


@dataclass(frozen=True)
class Tried:
    """A sequence on fresh runs. ``None`` where runs ended before the orders were done."""

    order: Order
    change_over_min: float
    late_orders: Interval | None
    late_h: Interval | None
    last_h: Interval | None
    late_orders_against: Difference | None
    """This sequence less the first, with the same random numbers; None for the first itself."""
    late_h_against: Difference | None
    last_h_against: Difference | None
    best_in: Proportion
    """Of the runs, those in which none of the others is better."""


@dataclass(frozen=True)
class BestSequence:
    """The best sequence found, the first of those tried; the sequence as written is among them."""

    aim: str
    """Of ``AIMS``."""
    reckoned: int
    every: bool
    """All sequences there are were reckoned."""
    run: int
    """So many of them were run."""
    tried: tuple[Tried, ...]
    runs: int


def best_sequence(
    scenario: Scenario, runner: Runner, ways: Mapping[str, Order], aim: str
) -> BestSequence:
    """Search from ``ways``, of which the first is that of the file, for the best by ``aim``.

    Raises ``KeyError`` for an aim that is none of ``AIMS``.
    """
    if aim not in AIMS:
        raise KeyError(aim)
    first = next(iter(ways.values()))
    rows = runner.outcomes({"": reordered(scenario, first)})[""]
    reckoning = Reckoning(scenario, first, rows, aim, runner.settings.hours)
    every = len(first) <= TRIED_ALL
    if every:
        count = math.factorial(len(first))
        found = heapq.nsmallest(_RUN, itertools.permutations(sorted(first)), key=reckoning.key)
    else:
        known = mended(reckoning, ways.values())
        count = len(known)
        found = heapq.nsmallest(_RUN, known, key=lambda order: (known[order], order))
    run = list(dict.fromkeys([first, *ways.values(), *found]))
    outcomes = runner.outcomes({str(order): reordered(scenario, order) for order in run})
    means = {order: _mean(scenario, order, outcomes[str(order)], aim) for order in run}
    best = sorted(run, key=lambda order: (means[order], run.index(order)))[:_TRIED_AFRESH]
    tried = list(dict.fromkeys([*best, first]))
    fresh = runner.outcomes(
        {str(order): reordered(scenario, order) for order in tried}, first=len(rows), last=True
    )
    runs = {order: fresh[str(order)] for order in tried}
    level = runner.settings.level
    return BestSequence(
        aim=aim,
        reckoned=count,
        every=every,
        run=len(run),
        tried=tuple(_tried(scenario, order, first, runs, aim, level) for order in tried),
        runs=len(runs[first]),
    )


class Reckoning:
    """When orders would be done with mean times, in any sequence."""

    def __init__(
        self, scenario: Scenario, order: Order, rows: Sequence[Outcome], aim: str, hours: float
    ) -> None:
        """``rows`` are runs of the sequence ``order``; their hours bound what is reckoned."""
        self._aim = aim
        stands = pauses(scenario, round(4 * hours * HOUR))
        self._clock = _WorkingClock([(p.start / HOUR, p.end / HOUR) for p in stands])
        made = scenario.order
        goods = [goods_of(scenario, each) for each in made]
        self._between = [[minutes_between(scenario, a, b) / 60 for b in goods] for a in goods]
        self._same = [[a == b for b in goods] for a in goods]
        self._due = [scenario.due_h(each) for each in made]
        self._released = [self._clock.working(scenario.released_h(each)) for each in made]
        self._hours, self._behind = [0.0] * len(made), [0.0] * len(made)
        for place, n in enumerate(order):
            spans, behind = [], []
            for row in rows:
                times = row.orders[place]
                if times.begun_ns is not None and times.cut_ns is not None:
                    begun, cut = (
                        self._clock.working(t / HOUR) for t in (times.begun_ns, times.cut_ns)
                    )
                    spans.append(cut - begun)
                    if times.wrapped_ns is not None:
                        behind.append(self._clock.working(times.wrapped_ns / HOUR) - cut)
            self._hours[n] = sum(spans) / len(spans) if spans else hours
            self._behind[n] = max(0.0, sum(behind) / len(behind)) if behind else 0.0

    def done_h(self, order: Order) -> list[float]:
        """Hours after the start at which each of the sequence is done."""
        now, last, done = 0.0, -1, []
        for n in order:
            same = last < 0 or self._same[last][n]
            if not same:
                now += self._behind[last]
            now = max(now, self._released[n])
            if not same:
                now += self._between[last][n]
            now += self._hours[n]
            done.append(self._clock.at(now + self._behind[n]))
            last = n
        return done

    def key(self, order: Order) -> tuple[float, ...]:
        """The smaller, the better."""
        minutes = 60 * sum(self._between[a][b] for a, b in itertools.pairwise(order))
        due = [self._due[n] for n in order]
        return _rounded(_figures(self.done_h(order), due, minutes, self._aim))


class _WorkingClock:
    """Hours by the calendar, and of them those in which the line is meant to run."""

    def __init__(self, stands: Iterable[tuple[float, float]]) -> None:
        self._begins: list[float] = []
        self._worked: list[float] = []
        """Working hours before each stand ..."""
        self._stood: list[float] = []
        """... and the hours stood with it."""
        end = stood = 0.0
        for start, until in stands:
            start = max(start, end)
            if until > start:
                self._begins.append(start)
                self._worked.append(start - stood)
                stood += until - start
                self._stood.append(stood)
                end = until

    def at(self, worked: float) -> float:
        """By the calendar, when so many hours have been worked."""
        place = bisect_right(self._worked, worked - 1e-9)
        return worked + (self._stood[place - 1] if place else 0.0)

    def working(self, at: float) -> float:
        """Hours worked by then."""
        place = bisect_right(self._begins, at)
        if not place:
            return at
        return max(self._worked[place - 1], at - self._stood[place - 1])


def mended(reckoning: Reckoning, starts: Iterable[Order]) -> dict[Order, tuple[float, ...]]:
    """Everything reckoned on the way from each start to where no step helps, by sequence."""
    known: dict[Order, tuple[float, ...]] = {}

    def price(order: Order) -> tuple[float, ...]:
        if order not in known:
            known[order] = reckoning.key(order)
        return known[order]

    for start in starts:
        best, better = start, True
        while better and len(known) < _MOST_RECKONED:
            step = min(_steps(best), key=lambda order: (price(order), order))
            better = price(step) < price(best)
            best = step if better else best
    return known


def _steps(order: Order) -> Iterable[Order]:
    """The sequence with one order put in elsewhere, or two exchanged."""
    count = len(order)
    for a in range(count):
        rest = order[:a] + order[a + 1 :]
        for b in range(count):
            if b != a:
                yield (*rest[:b], order[a], *rest[b:])
    for a, b in itertools.combinations(range(count), 2):
        yield (*order[:a], order[b], *order[a + 1 : b], order[a], *order[b + 1 :])


def _figures(
    done: Sequence[float], due: Sequence[float | None], minutes: float, aim: str
) -> tuple[float, ...]:
    """What the aim asks for, then what tells between equals; the smaller, the better."""
    late = [at - by for at, by in zip(done, due, strict=True) if by is not None]
    found = {
        "late-orders": float(sum(each > 0 for each in late)),
        "lateness": sum(each for each in late if each > 0),
        "finish": max(done),
        "change-over": minutes,
    }
    # Below 0 where every order is early.
    own = max(late, default=0.0) if aim == "greatest-lateness" else found[aim]
    return (own, *found.values())


def _rounded(figures: Iterable[float]) -> tuple[float, ...]:
    """So that sums in another order are no difference."""
    return tuple(round(each, 6) if math.isfinite(each) else each for each in figures)


def _values(scenario: Scenario, order: Order, row: Outcome, aim: str) -> tuple[float, ...]:
    """The figures of one run; an order that is not done is done never."""
    done = [math.inf if t.wrapped_ns is None else t.wrapped_ns / HOUR for t in row.orders]
    due = [scenario.due_h(scenario.order[n]) for n in order]
    return _figures(done, due, change_over_minutes(scenario, order), aim)


def _mean(scenario: Scenario, order: Order, rows: Sequence[Outcome], aim: str) -> tuple[float, ...]:
    keys = [_values(scenario, order, row, aim) for row in rows]
    return _rounded(sum(column) / len(keys) for column in zip(*keys, strict=True))


def _tried(
    scenario: Scenario,
    order: Order,
    first: Order,
    runs: Mapping[Order, Sequence[Outcome]],
    aim: str,
    level: float,
) -> Tried:
    rows, dated = runs[order], any(scenario.due_h(each) is not None for each in scenario.order)
    keys = {o: [_values(scenario, o, row, aim) for row in rows_] for o, rows_ in runs.items()}
    best = sum(all(keys[order][k] <= other[k] for other in keys.values()) for k in range(len(rows)))
    late_orders, late_h, last_h = (
        _compared(rows, keys[order], keys[first], place, level, order == first)
        for place in (1, 2, 3)
    )
    return Tried(
        order=order,
        change_over_min=change_over_minutes(scenario, order),
        late_orders=late_orders[0] if dated else None,
        late_h=late_h[0] if dated else None,
        last_h=last_h[0],
        late_orders_against=late_orders[1] if dated else None,
        late_h_against=late_h[1] if dated else None,
        last_h_against=last_h[1],
        best_in=exact_proportion(best, len(rows), level, crossed=is_crossed(rows)),
    )


def _compared(
    rows: Sequence[Outcome],
    mine: Sequence[tuple[float, ...]],
    first: Sequence[tuple[float, ...]],
    place: int,
    level: float,
    same: bool,
) -> tuple[Interval | None, Difference | None]:
    """A figure of a sequence, and what it is more than that of the first."""
    own, others = [key[place] for key in mine], [key[place] for key in first]
    if not all(map(math.isfinite, (*own, *others))):
        return None, None
    against = None if same else difference(own, others, level, crossed=crossed(rows))
    return interval_over(rows, own, level, least=0), against
