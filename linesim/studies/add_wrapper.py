"""Does one more wrapper pay, and what cheaper things would do as much?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.money import (
    PaybackChance,
    Purchase,
    Uncertainty,
    Year,
    break_even_demand,
    chance_of_payback,
    net_present_value,
    simple_payback_years,
    yearly_gain,
)
from linesim.scenario import Scenario
from linesim.statistics import Interval, student_interval
from linesim.studies.changes import (
    ready_for_more_wrappers,
    with_another_wrapper,
    with_bridge,
    with_faster_roll_changes,
    with_more_people,
)
from linesim.studies.differences import Difference, between, jackknifed, mean_of
from linesim.studies.outcome import Outcome
from linesim.studies.pattern import held_by
from linesim.studies.runner import Runner

AS_IT_IS = "as it is"
ONE_MORE = "one more wrapper"

LONGER = 1.5
ROLL_FACTOR = 0.5


@dataclass(frozen=True)
class Payback:
    """The money of one purchase, a year's line being the hours of a year it is manned."""

    capital: float
    yearly: Interval
    """What it brings in a year, running cost taken off."""
    payback_years: Interval | None
    """None where it is never paid back, or some of the runs alone say so."""
    present_value: Interval
    chance: PaybackChance
    within_years: float
    years: float
    break_even_demand: Interval | None
    """Reams a year; None where no demand makes it break even, or some of the runs say so."""


@dataclass(frozen=True)
class Option:
    """One thing to change, against the line as it is; output in reams a week of the line."""

    name: str
    reams_per_week: Interval
    gain: Difference
    held_by: str
    """The station the others wait for (pattern of waiting)."""
    payback: Payback | None
    """None where its price is not known."""


@dataclass(frozen=True)
class AddWrapper:
    """The answer: first option is the wrapper, the others are cheaper things."""

    now: Interval
    held_now_by: str
    options: tuple[Option, ...]
    utilisation: dict[str, Interval]
    """Share of time each wrapper works, with the added one."""
    demand_met: bool
    """Whether the market's demand is met already: then nothing more is sold."""
    reams_per_year_now: Interval
    hours_per_year: float
    uncertainty: Uncertainty
    runs: int


def add_wrapper(
    scenario: Scenario,
    runner: Runner,
    *,
    within_years: float = 3.0,
    years: float = 10.0,
    uncertainty: Uncertainty | None = None,
) -> AddWrapper:
    """Run the line with and without, and with cheaper things, all on the same luck.

    ``years`` is the life over which present values count; the chance is that of being paid back
    within ``within_years``.
    """
    doubt = uncertainty if uncertainty is not None else Uncertainty()
    level = runner.settings.level
    base = ready_for_more_wrappers(scenario)
    longer = max(base.bridge_places + 1, round(base.bridge_places * LONGER))
    prices: dict[str, tuple[float, float] | None] = {
        ONE_MORE: (base.money.wrapper_price, base.money.wrapper_cost_per_year)
        if base.money.wrapper_price > 0
        else None,
    }
    variants = {AS_IT_IS: base, ONE_MORE: with_another_wrapper(base)}
    bridge = f"a bridge of {longer} places instead of {base.bridge_places}"
    variants[bridge] = with_bridge(base, longer)
    prices[bridge] = (
        (base.money.ream_place_cost * (longer - base.bridge_places), 0.0)
        if base.money.ream_place_cost > 0
        else None
    )
    if any(wrapper.roll_length_m is not None for wrapper in base.wrapper):
        variants["roll changes in half the time"] = with_faster_roll_changes(base, ROLL_FACTOR)
    variants["one more person"] = with_more_people(base, 1)
    rows = runner.outcomes(variants)
    now = rows[AS_IT_IS]
    options = tuple(
        Option(
            name,
            mean_of(rows[name], lambda o: o.reams_per_week, level),
            between(rows[name], now, lambda o: o.reams_per_week, level),
            held_by(rows[name]),
            _payback(base, now, rows[name], price, within_years, years, doubt, runner)
            if (price := prices.get(name)) is not None and base.money.contribution_per_ream > 0
            else None,
        )
        for name in variants
        if name != AS_IT_IS
    )
    demand = base.money.demand_reams_per_year
    per_year = student_interval([_year(base, o).reams for o in now], level)
    return AddWrapper(
        now=mean_of(now, lambda o: o.reams_per_week, level),
        held_now_by=held_by(now),
        options=options,
        utilisation={
            wrapper.name: student_interval(
                [_working(o, wrapper.name) for o in rows[ONE_MORE]], level
            )
            for wrapper in variants[ONE_MORE].wrapper
        },
        demand_met=demand is not None and per_year.mean >= demand,
        reams_per_year_now=per_year,
        hours_per_year=base.money.hours_per_year,
        uncertainty=doubt,
        runs=len(now),
    )


def _working(outcome: Outcome, name: str) -> float:
    states = outcome.state_hours[name]
    return (states["running"] + states["slowed"]) / outcome.hours


def _year(scenario: Scenario, outcome: Outcome) -> Year:
    share = scenario.money.hours_per_year / outcome.hours
    return Year(outcome.good_reams * share, outcome.waste_kg * share)


def _mean(years: Sequence[Year], which: Sequence[int]) -> Year:
    count = len(which)
    return Year(
        sum(years[n].reams for n in which) / count, sum(years[n].waste_kg for n in which) / count
    )


def _payback(
    scenario: Scenario,
    now: Sequence[Outcome],
    then: Sequence[Outcome],
    price: tuple[float, float],
    within_years: float,
    years: float,
    doubt: Uncertainty,
    runner: Runner,
) -> Payback:
    money = scenario.money
    capital, running_cost = price
    plan = Purchase(
        money.contribution_per_ream,
        money.demand_reams_per_year,
        capital,
        running_cost,
        money.paper_cost_per_t - money.repulp_value_per_t,
        money.discount_rate,
        years,
    )
    before = [_year(scenario, outcome) for outcome in now]
    after = [_year(scenario, outcome) for outcome in then]
    count = len(before)

    def gain(which: Sequence[int]) -> float:
        # Demand cuts off a year's sales, not each run's.
        return yearly_gain(_mean(before, which), _mean(after, which), plan)

    def back(which: Sequence[int]) -> float | None:
        return simple_payback_years(capital, gain(which))

    def worth(which: Sequence[int]) -> float:
        return net_present_value(capital, gain(which), plan.rate, years)

    def even(which: Sequence[int]) -> float | None:
        return break_even_demand(
            _mean(before, which).reams,
            _mean(after, which).reams,
            plan.contribution,
            capital,
            running_cost,
            plan.rate,
            years,
        )

    level = runner.settings.level
    return Payback(
        capital=capital,
        yearly=jackknifed(count, gain, level),
        payback_years=_where_known(count, back, level),
        present_value=jackknifed(count, worth, level),
        chance=chance_of_payback(
            before, after, plan, within_years, doubt, seed=runner.settings.seed
        ),
        within_years=within_years,
        years=years,
        break_even_demand=_where_known(count, even, level),
    )


def _where_known(
    count: int, figure: Callable[[Sequence[int]], float | None], level: float
) -> Interval | None:
    """Interval of a figure that there is only where the purchase pays; None where it may not."""
    every = range(count)
    if any(figure([n for n in every if n != out]) is None for out in every):
        return None
    if figure(every) is None:
        return None
    return jackknifed(count, lambda which: figure(which) or 0.0, level)
