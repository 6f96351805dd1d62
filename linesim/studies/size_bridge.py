"""How long a bridge pays: output, effectiveness and blocked hours against its places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from linesim.money import Purchase, Year, yearly_cost, yearly_sum
from linesim.scenario import Scenario
from linesim.scenario.buffers import BRIDGE
from linesim.statistics import Crossing, Interval
from linesim.studies.best_size import BestSize, Places, Rows, Sized, SizeRule, Sizing
from linesim.studies.bridge_theory import TwoStationModel, two_station_estimate
from linesim.studies.changes import with_bridge
from linesim.studies.differences import (
    Difference,
    between,
    beyond_runs,
    crossed,
    mean_of,
    runs_to_tell,
)
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner
from linesim.studies.worth import Known, prices_of


@dataclass(frozen=True)
class BridgePoint:
    """The line with so many places. Output in reams a week of the line (168 h)."""

    sized: Sized
    """Against the present bridge, with what it costs and is paid back in."""
    oee: Interval
    theory_reams_per_week: float | None

    @property
    def places(self) -> int:
        return self.sized.places[0]

    @property
    def metres(self) -> float:
        return self.sized.metres[0]

    @property
    def reams_per_week(self) -> Interval:
        return self.sized.reams_per_week

    @property
    def blocked_h_per_week(self) -> Interval:
        return self.sized.blocked_h[0]


@dataclass(frozen=True)
class BridgeStep:
    """What one more place brings between two points, reams a week each, same random numbers."""

    start: int
    end: int
    gain_per_place: Difference
    worth_per_place: Interval | None
    """Money a year that each place brings, before its cost."""
    pays: bool | None
    """True or False where the interval tells, None where it does not ..."""
    more_runs: int | None
    """... and how many more runs would; 0 where it tells, None for about a million or more, or
    where none does."""
    beyond_runs: float = 0.0
    """What is not known of the worth of a place, where that is why no run tells; in money a year or
    in reams a week, whichever decides."""


@dataclass(frozen=True)
class BridgeSize:
    """The curve, its steps and where it stops paying."""

    present: int
    points: tuple[BridgePoint, ...]
    steps: tuple[BridgeStep, ...]
    yearly_cost_per_place: float | None
    """None where the scenario has no money: then a share of the output decides."""
    asked_fraction: float
    pays_up_to: int | None
    """The last place that is shown to pay (with all before it not shown to fail)."""
    fails_beyond: int | None
    """From here on every step is shown not to pay."""
    theory: TwoStationModel
    best: BestSize
    """Which of the points is best, and what is not told from it."""
    runs: int
    hours: float


def size_bridge(
    scenario: Scenario, runner: Runner, places: Sequence[int], rule: SizeRule | None = None
) -> BridgeSize:
    """Run the line with each number of places, the present one too, with the same random numbers.

    Where the money is known (contribution per ream and cost of a place) a place pays if the yearly
    sum it brings is more than its cost spread over its life at the discount rate; where not, if it
    adds more than the asked fraction of the output. Demand that is met earns nothing more.
    """
    rule = rule or SizeRule()
    present = scenario.bridge_places
    sizes = sorted({present, *places})
    variants = {f"{n} places": with_bridge(scenario, n) for n in sizes}
    rows = runner.outcomes(variants)
    level = runner.settings.level
    theory = two_station_estimate(scenario)
    lines: dict[Places, Rows] = {(n,): rows[f"{n} places"] for n in sizes}
    best = Sizing(scenario, runner, [BRIDGE], lines, rule).judged()
    plants = plants_of(scenario, runner, lines[present,])
    points = tuple(
        BridgePoint(
            each,
            mean_of(lines[each.places], lambda o: o.measures["oee"], level),
            theory.reams_per_week(each.places[0]),
        )
        for each in best.sizes
    )
    steps = tuple(
        _step(
            scenario,
            a,
            b,
            lines[a.sized.places],
            lines[b.sized.places],
            level,
            rule.years if best.in_money else None,
            rule.asked_fraction,
            plants,
        )
        for a, b in pairwise(points)
    )
    return BridgeSize(
        present=present,
        points=points,
        steps=steps,
        yearly_cost_per_place=place_cost(scenario, rule.years) if best.in_money else None,
        asked_fraction=rule.asked_fraction,
        pays_up_to=_pays_up_to(steps),
        fails_beyond=_fails_beyond(steps),
        theory=theory,
        best=best,
        runs=best.runs,
        hours=best.hours,
    )


def place_cost(scenario: Scenario, years: float) -> float:
    """What a place that lasts so many years must bring in each, to make up for its cost."""
    return yearly_cost(scenario.money.ream_place_cost, scenario.money.discount_rate, years)


def _step(
    scenario: Scenario,
    a: BridgePoint,
    b: BridgePoint,
    rows_a: Sequence[Outcome],
    rows_b: Sequence[Outcome],
    level: float,
    years: float | None,
    asked: float,
    plants: Plants | None,
) -> BridgeStep:
    """What the step brings; ``years`` a place lasts, None where no money is known."""
    places = b.places - a.places
    gain = between(rows_b, rows_a, lambda o: o.reams_per_week / places, level)
    if years is None:
        bar = asked * a.reams_per_week.mean
        return _judged(a.places, b.places, gain, None, gain.interval, bar, crossed(rows_a))
    free = Purchase(0.0, 0.0, 0.0, years)
    known = Known(scenario, (rows_a, rows_b), level, plants)

    def worth(priced: Scenario, made: Sequence[Year]) -> Any:
        return yearly_sum(made[0], made[1], prices_of(priced), free).total / places

    def beyond_cost(priced: Scenario, made: Sequence[Year]) -> Any:
        return worth(priced, made) - place_cost(priced, years)

    earned, left = known.interval(worth), known.interval(beyond_cost)
    assert earned is not None
    assert left is not None
    judged = replace(earned, doubt=left.doubt)
    cost = place_cost(scenario, years)
    return _judged(a.places, b.places, gain, earned, judged, cost, crossed(rows_a))


def _judged(
    start: int,
    end: int,
    gain: Difference,
    earned: Interval | None,
    judged: Interval,
    bar: float,
    crossed: Crossing | None,
) -> BridgeStep:
    pays = _beats(judged, bar)
    more = runs_to_tell(judged, bar, crossed=crossed) if pays is None else 0
    beyond = judged.doubt if pays is None and beyond_runs(judged, bar) else 0.0
    return BridgeStep(start, end, gain, earned, pays, more, beyond)


def _beats(interval: Interval, bar: float) -> bool | None:
    if interval.low > bar:
        return True
    return False if interval.high < bar else None


def _pays_up_to(steps: Sequence[BridgeStep]) -> int | None:
    found = None
    for step in steps:
        if step.pays is False:
            break
        if step.pays:
            found = step.end
    return found


def _fails_beyond(steps: Sequence[BridgeStep]) -> int | None:
    found = None
    for step in reversed(steps):
        if step.pays is not False:
            break
        found = step.start
    return found
