"""A wearing part changed by plan against run to failure: what each interval of the plan gives."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from linesim.money import Purchase
from linesim.record.capacity import (
    SHEETER,
    slowest_net,
    station_rates,
    stops_per_min,
    web_m_per_ream,
)
from linesim.record.states import PRODUCING
from linesim.scenario import WEB_STATIONS, Scenario, Stop
from linesim.scenario.changed_law import with_mean
from linesim.scenario.field_descriptions import descriptions
from linesim.scenario.stops import PART_PRICES
from linesim.scenario.units import HOUR, MINUTE
from linesim.statistics import Interval
from linesim.studies.age_replacement import AgeReplacement
from linesim.studies.changes import Data, changed
from linesim.studies.differences import Difference, between, jackknifed, mean_of, reams
from linesim.studies.outcome import Outcome
from linesim.studies.parts_used import part_stops
from linesim.studies.plants import plants_of
from linesim.studies.runner import Runner
from linesim.studies.worth import Market, Worth, market_of, worth_by, years_in

_ROUND_THE_BEST = (0.5, 0.7, 0.85, 1.0, 1.2, 1.5, 2.0)
_ROUND_THE_MEAN = (0.2, 0.35, 0.5, 0.7, 1.0, 1.4)
WEEK_H = 168
_EXAMPLES = 3
_FREE = Purchase(0.0, 0.0, 0.0, 1.0)


class PlanError(ValueError):
    """A cause of which no plan can be tried; says why, and what would be right."""


@dataclass(frozen=True)
class Plan:
    """The line with the part changed every so much; ``every`` is None where it runs to failure.

    Figures are of a week of 168 h. ``lost_min`` are minutes at the station for each hour that it
    runs (each hour of the clock, for what falls due by it), waiting for people included;
    ``formula_min`` is the closed form at rated speed, None at a station that has none.
    """

    every: float | None
    reams_per_week: Interval
    failures: Interval
    changes: Interval
    lost_h: Interval
    parts: Interval | None
    """Money a year for its parts; None where they have no price."""
    sum: Worth | None
    """What it brings in a year against run to failure, parts, reams and waste; None: no price."""
    lost_min: Interval
    formula_min: float | None
    gain: Difference | None
    """Reams a week more than run to failure; None for that itself."""
    short: Difference | None
    """Reams a week short of the best plan; None for that itself."""

    @property
    def worth(self) -> Interval | None:
        """Money a year more than run to failure; None: no price."""
        return None if self.sum is None else self.sum.yearly


@dataclass(frozen=True)
class MoneyOfPlans:
    """Which plan is best in money, by the runs and by the closed form."""

    best: Plan
    formula: AgeReplacement
    """In money for each unit of the interval."""
    formula_every: float | None
    """None: no plan pays."""
    market: Market
    minute: float
    """Money for a minute in which the station stands, in the closed form."""


@dataclass(frozen=True)
class PlannedChanges:
    """All plans tried, from often to never."""

    stop: Stop
    unit: str
    """Of the intervals."""
    plans: tuple[Plan, ...]
    best: Plan
    alike: tuple[Plan, ...]
    """Plans not told from the best."""
    present: Plan
    gain_on_present: Difference | None
    """Best less present; None where that is the best."""
    formula: AgeReplacement
    formula_every: float | None
    """Best by the closed form; None: no plan pays."""
    seen: int
    """Stops of the part in all runs of the best plan."""
    money: MoneyOfPlans | None
    """None where its parts have no price."""

    @property
    def one(self) -> str:
        """One of the unit."""
        return self.unit.removesuffix("s")


def wearing_part(scenario: Scenario, name: str | None) -> int:
    """The place of a stop cause by its name, or by ``cause at station``.

    None: the only one that says what a change by plan takes. Raises ``PlanError``.
    """
    found = [
        n
        for n, stop in enumerate(scenario.stop)
        if (stop.change_min is not None if name is None else name in _names(stop))
    ]
    if len(found) == 1:
        return found[0]
    if name is None:
        said = "several stop causes have" if found else "no stop cause has"
        failing = [stop for stop in scenario.stop if not stop.planned]
        chosen = [scenario.stop[n] for n in found] or failing
        names = list(dict.fromkeys(stop.cause for stop in chosen))[:_EXAMPLES]
        such = f", such as {' or '.join(names)}" if names else ""
        raise PlanError(
            f"{said} a time of a planned change (change_min in [[stop]]): name the cause{such}"
        )
    if found:
        ways = " or ".join(f'"{name} at {scenario.stop[n].station}"' for n in found)
        raise PlanError(f"{name!r} stops more than one station; right would be {ways}")
    known = ", ".join(dict.fromkeys(stop.cause for stop in scenario.stop)) or "none at all"
    raise PlanError(f"the scenario has no stop cause {name!r}; there are: {known}")


def part_names(scenario: Scenario) -> list[str]:
    """The names by which :func:`wearing_part` finds what can fail, each its own."""
    names = [_names(stop) for stop in scenario.stop if not stop.planned]
    causes = [cause for cause, _ in names]
    return [cause if causes.count(cause) == 1 else at for cause, at in names]


def _names(stop: Stop) -> tuple[str, str]:
    return stop.cause, f"{stop.cause} at {stop.station}"


def with_change_min(scenario: Scenario, place: int, minutes: float | None) -> Scenario:
    """The line in which a change by plan takes so long; as the scenario says where None.

    Raises ``PlanError`` for a cause that no plan can prevent.
    """
    stop = scenario.stop[place]
    if stop.planned:
        raise PlanError(
            f"{stop.cause!r} is planned work and does not fail: give planned = false, with interval"
            " and time to restore of a failure"
        )
    if minutes is None:
        if stop.change_min is None:
            raise PlanError(
                f"how long a planned change of {stop.cause!r} takes is not given, neither here nor"
                " as change_min in [[stop]]"
            )
        return scenario
    law = minutes if stop.change_min is None else with_mean(stop.change_min, minutes)
    return changed(scenario, lambda data: data["stop"][place].update(change_min=law))


def with_plan(scenario: Scenario, place: int, every: float | None) -> Scenario:
    """The line with the part changed every so much; None: it runs to failure."""

    def change(data: Data) -> None:
        stop = data["stop"][place]
        stop.pop("changed_every", None)
        if every is not None:
            stop["changed_every"] = every

    return changed(scenario, change)


def plans_to_try(scenario: Scenario, place: int) -> list[float]:
    """Intervals from often to rarely: round the best by the closed form, else round the mean."""
    stop = scenario.stop[place]
    best = formula_of(stop).best_age()
    parts: Sequence[float] = _ROUND_THE_MEAN if best is None else _ROUND_THE_BEST
    middle = stop.interval.average() if best is None else best
    tried = {_rounded_down(middle * part) for part in parts}
    if has_price(stop):
        in_money = money_formula_of(stop, minute_price(scenario, stop)).best_age()
        tried |= {_rounded_down(in_money)} if in_money is not None else set()
    return sorted(tried)


def _rounded_down(value: float) -> float:
    """To three digits. Down: a part that never varies is best changed just before it fails."""
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return float(f"{math.floor(value / step) * step:.3g}")


def formula_of(stop: Stop) -> AgeReplacement:
    """The closed form, in minutes at the station for each unit of the interval."""
    planned = stop.change_min.average() if stop.change_min is not None else 0.0
    return AgeReplacement(stop.interval, planned, stop.restore_min.average())


def has_price(stop: Stop) -> bool:
    """Whether it is said what its parts cost."""
    return any(getattr(stop, name) is not None for name in PART_PRICES)


def money_formula_of(stop: Stop, minute: float) -> AgeReplacement:
    """The closed form in money: parts, and minutes at the station at ``minute`` each."""
    time = formula_of(stop)
    return AgeReplacement(
        stop.interval,
        (stop.change_price or 0.0) + minute * time.planned,
        (stop.failure_price or 0.0) + minute * time.failed,
    )


def minute_price(scenario: Scenario, stop: Stop) -> float:
    """What a minute of the station costs in reams that the line then does not make.

    As many as the station makes in it, and no more than the line does by its lowest net rate.
    """
    single = {rate.station: rate.rated for rate in station_rates(scenario)}
    station = SHEETER if stop.station in WEB_STATIONS else stop.station
    own = single.get(scenario.stations_called(station)[0], math.inf)
    return scenario.money.contribution_per_ream * min(own, slowest_net(scenario).net)


def formula_min(scenario: Scenario, stop: Stop, every: float | None) -> float | None:
    """Minutes lost by the closed form in an hour in which the station runs at rated speed.

    None at a station that sets no pace of its own, unless the interval is in hours.
    """
    units, copies = 1.0, scenario.unwind.webs if stop.per_web else 1
    if stop.meter not in ("every_running_h", "every_clock_h"):
        rates = {rate.station: rate.rated for rate in station_rates(scenario)}
        rates["wrapper"] = rates[scenario.wrapper[0].name]
        rated = rates.get(SHEETER if stop.station in WEB_STATIONS else stop.station)
        if rated is None:
            return None
        speed = rated * web_m_per_ream(scenario) / scenario.unwind.webs
        units = 60 * stops_per_min(scenario, stop, rated, speed) * stop.mean_between
    return copies * units * formula_of(stop).lost_per_unit(every)


@dataclass(frozen=True)
class _Stops:
    """Stops of the part in one run, all its stations and webs together."""

    failures: int
    changes: int
    lost_ns: int
    of_h: float
    """Hours that the station ran; of the clock, where it falls due by that."""
    a_week: float
    """What turns a figure of the run into one of a week."""


def _stops_in(scenario: Scenario, stop: Stop, run: Outcome) -> _Stops:
    stations, found = scenario.stations_called(stop.station), part_stops(scenario, stop, run.stops)
    of_h = len(stations) * run.hours
    if stop.meter != "every_clock_h":
        states = [run.state_hours[station] for station in stations]
        of_h = sum(hours[state.words] for hours in states for state in PRODUCING)
    return _Stops(found.failures, found.changes, found.lost_ns, of_h, WEEK_H / run.hours)


def plan_changes(
    scenario: Scenario, runner: Runner, place: int, intervals: Sequence[float]
) -> PlannedChanges:
    """Try every interval, the present plan and run to failure, always on the same draws."""
    stop, level = scenario.stop[place], runner.settings.level
    present = stop.changed_every
    every: list[float | None] = [*sorted({*intervals, *([present] if present else [])}), None]
    variants = {_name(each): with_plan(scenario, place, each) for each in every}
    rows = runner.outcomes(variants, last=True)
    best = max(every, key=lambda each: mean_of(rows[_name(each)], reams, level).mean)
    never, priced = rows[_name(None)], has_price(stop)
    plants = plants_of(scenario, runner, never) if priced else None

    def parts(run: Outcome) -> float:
        """What the parts of this cause cost in a year of such runs."""
        found = part_stops(scenario, stop, run.stops)
        cost = found.failures * (stop.failure_price or 0.0)
        return (cost + found.changes * (stop.change_price or 0.0)) * years_in(scenario, run)

    def plan(each: float | None) -> Plan:
        made = rows[_name(each)]

        def a_week(pick: Callable[[_Stops], float]) -> Interval:
            def figure(run: Outcome) -> float:
                found = _stops_in(scenario, stop, run)
                return pick(found) * found.a_week

            return mean_of(made, figure, level)

        return Plan(
            every=each,
            reams_per_week=mean_of(made, reams, level),
            failures=a_week(lambda stops: stops.failures),
            changes=a_week(lambda stops: stops.changes),
            lost_h=a_week(lambda stops: stops.lost_ns / HOUR),
            parts=mean_of(made, parts, level) if priced else None,
            sum=worth_by(scenario, never, made, lambda _: _FREE, level, plants) if priced else None,
            lost_min=_lost_min([_stops_in(scenario, stop, run) for run in made], made, level),
            formula_min=formula_min(scenario, stop, each),
            gain=None if each is None else between(made, never, reams, level),
            short=None if each == best else between(rows[_name(best)], made, reams, level),
        )

    plans = {each: plan(each) for each in every}
    seen = [_stops_in(scenario, stop, run) for run in rows[_name(best)]]
    return PlannedChanges(
        stop=stop,
        unit=descriptions(Stop)[stop.meter].unit,
        plans=tuple(plans.values()),
        best=plans[best],
        alike=tuple(p for p in plans.values() if p.short is not None and not p.short.shown),
        present=plans[present],
        gain_on_present=plans[present].short,
        formula=formula_of(stop),
        formula_every=formula_of(stop).best_age(),
        seen=sum(each.failures + each.changes for each in seen),
        money=_money(scenario, stop, plans.values(), market_of(scenario, never, level, plants))
        if priced
        else None,
    )


def _money(scenario: Scenario, stop: Stop, plans: Iterable[Plan], market: Market) -> MoneyOfPlans:
    minute = minute_price(scenario, stop)
    formula = money_formula_of(stop, minute)
    best = max(plans, key=lambda plan: plan.worth.mean if plan.worth is not None else 0.0)
    return MoneyOfPlans(best, formula, formula.best_age(), market, minute)


def _lost_min(stops: Sequence[_Stops], rows: Sequence[Outcome], level: float) -> Interval:
    """Minutes lost for each hour, of all runs together."""

    def figure(runs: Sequence[int]) -> float:
        hours = sum(stops[run].of_h for run in runs)
        return sum(stops[run].lost_ns for run in runs) / MINUTE / hours if hours else 0.0

    return jackknifed(rows, figure, level, least=0)


def _name(every: float | None) -> str:
    return "to failure" if every is None else f"every {every!r}"
