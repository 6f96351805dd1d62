"""How long a bridge pays: output, effectiveness and blocked hours against its places."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from linesim.money import Purchase, Year, yearly_sum
from linesim.record.capacity import SHEETER
from linesim.scenario import Scenario
from linesim.scenario.buffers import bridge_of
from linesim.statistics import Choice, Crossing, Interval
from linesim.studies.bridge_choice import best_length, place_cost
from linesim.studies.bridge_theory import TwoStationModel, two_station_estimate
from linesim.studies.changes import with_bridge
from linesim.studies.differences import (
    Difference,
    between,
    beyond_runs,
    crossed,
    mean_of,
    reams,
    runs_to_tell,
)
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner
from linesim.studies.worth import Known, Market, Worth, market_of, prices_of, worth_of

POINTS = 15
_STANDSTILLS = 16


@dataclass(frozen=True)
class BridgePoint:
    """The line with so many places. Output in reams a week of the line (168 h)."""

    places: int
    reams_per_week: Interval
    oee: Interval
    blocked_h_per_week: Interval
    theory_reams_per_week: float | None
    against_present: Difference | None
    """Reams a week more than with the present bridge, same draws; None where that was not run."""
    worth: Worth | None
    """What lengthening the present bridge to it brings; None where it is no longer, or no money is
    known."""


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
    choice: Choice | None
    """Which of the points is best, in plants that agree with what is known: by what it brings in a
    year less what its places cost, or by what it makes less the share asked of each place. None
    where nothing is doubted."""
    market: Market | None
    """None where the present bridge was not run."""
    runs: int
    hours: float


def least_places(scenario: Scenario) -> int:
    """One set of reams: fewer places hold up every set."""
    return scenario.most_set_reams


def places_to_try(scenario: Scenario, points: int = POINTS) -> tuple[int, ...]:
    """Places from one set upwards, closer at the short end; the present size is one of them.

    The last point is six times the bridge, or what the sheeter makes in sixteen mean standstills
    of a wrapper if that is more, but no longer than there is room for. Raises ``ValueError`` for
    fewer than three points.
    """
    if points < 3:
        raise ValueError(f"{points} points make no curve; 3 or more are needed")
    least = least_places(scenario)
    theory = two_station_estimate(scenario)
    swallowed = 0.0
    if theory.first is not None and theory.second is not None:
        swallowed = _STANDSTILLS * theory.second.mean_time_to_repair * theory.first.speed
    most = max(6 * scenario.bridge_places, round(swallowed), 24 * least)
    most = max(least, min(most, bridge_of(scenario).most))
    ratio = (most / least) ** (1 / (points - 1))
    found = sorted({round(least * ratio**n) for n in range(points)})
    if len(found) < 3:
        return tuple(sorted({*found, scenario.bridge_places}))
    nearest = min(found[1:-1], key=lambda n: abs(math.log(n / scenario.bridge_places)))
    return tuple(sorted({scenario.bridge_places, *(n for n in found if n != nearest)}))


def size_bridge(
    scenario: Scenario,
    runner: Runner,
    places: Sequence[int],
    *,
    asked_fraction: float = 0.0005,
    years: float = 10.0,
) -> BridgeSize:
    """Run the line with each number of places with the same random numbers.

    Where the money is known (contribution per ream and cost of a place) a place pays if the yearly
    sum it brings is more than its cost spread over ``years`` at the discount rate; where not, if it
    adds more than ``asked_fraction`` of the output. Demand that is met earns nothing more.
    """
    sizes = sorted({*places})
    variants = {f"{n} places": with_bridge(scenario, n) for n in sizes}
    rows = runner.outcomes(variants)
    level = runner.settings.level
    theory = two_station_estimate(scenario)
    present = rows.get(f"{scenario.bridge_places} places")
    money = scenario.money
    known = money.contribution_per_ream > 0 and money.ream_place_cost > 0
    cost = place_cost(scenario, years) if known else None

    first = next(iter(rows.values()))
    plants = plants_of(scenario, runner, first)

    def worth(places: int) -> Worth | None:
        more = places - scenario.bridge_places
        if present is None or not known or more <= 0:
            return None
        after = rows[f"{places} places"]
        return worth_of(scenario, present, after, years, level, plants, bridge=more)

    points = tuple(
        BridgePoint(
            n,
            mean_of(rows[f"{n} places"], reams, level),
            mean_of(rows[f"{n} places"], lambda o: o.measures["oee"], level),
            mean_of(rows[f"{n} places"], lambda o: o.blocked_h(SHEETER) / o.hours * 168, level),
            theory.reams_per_week(n),
            None if present is None else between(rows[f"{n} places"], present, reams, level),
            worth(n),
        )
        for n in sizes
    )
    steps = tuple(
        _step(
            scenario,
            a,
            b,
            rows[f"{a.places} places"],
            rows[f"{b.places} places"],
            level,
            years if known else None,
            asked_fraction,
            plants,
        )
        for a, b in pairwise(points)
    )
    return BridgeSize(
        present=scenario.bridge_places,
        points=points,
        steps=steps,
        yearly_cost_per_place=cost,
        asked_fraction=asked_fraction,
        pays_up_to=_pays_up_to(steps),
        fails_beyond=_fails_beyond(steps),
        theory=theory,
        choice=best_length(
            [each.places for each in points],
            [rows[f"{each.places} places"] for each in points],
            years if known else None,
            asked_fraction,
            plants,
        ),
        market=None if present is None else market_of(scenario, present, level, plants),
        runs=len(first),
        hours=runner.settings.hours,
    )


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
