"""What a change of the line is worth in money, from runs with and without it on the same draws."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.money import (
    Prices,
    Purchase,
    Year,
    break_even_demand,
    payback_years,
    present_value,
    yearly_sum,
)
from linesim.scenario import Scenario
from linesim.statistics import Interval
from linesim.studies.differences import jackknifed
from linesim.studies.outcome import Outcome


@dataclass(frozen=True)
class Worth:
    """The yearly sum of a change, term by term, and what it makes of the capital.

    Terms are added up: what is spent is below 0. A year are the hours that the line is manned.
    """

    purchase: Purchase
    reams: Interval
    """Sold more."""
    contribution: Interval
    waste_t: Interval
    """Tonnes of avoidable waste more."""
    waste: Interval
    yearly: Interval
    present_value: Interval
    payback_years: Interval | None
    """None where it is never paid back, or some of the runs alone say so."""
    break_even_demand: Interval | None
    """Reams a year; None where no demand makes it break even, or some of the runs say so."""


@dataclass(frozen=True)
class Market:
    """What the line can make in a year, and what is bought of it; demand None: all."""

    reams_per_year: Interval
    demand: float | None
    hours_per_year: float

    @property
    def met(self) -> bool:
        """Whether nothing more can be sold."""
        return self.demand is not None and self.reams_per_year.mean >= self.demand


def prices_of(scenario: Scenario) -> Prices:
    """What reams and paper are worth in the scenario."""
    money = scenario.money
    waste = max(0.0, money.paper_cost_per_t - money.repulp_value_per_t)
    return Prices(
        money.contribution_per_ream, money.demand_reams_per_year, waste, money.discount_rate
    )


def purchase_of(
    scenario: Scenario, years: float, *, places: int = 0, wrappers: int = 0, people: int = 0
) -> Purchase | None:
    """What so many more of each cost; None where one of them has no price."""
    money = scenario.money
    if (
        (places and not money.ream_place_cost)
        or (wrappers and not money.wrapper_price)
        or (people and not money.person_cost_per_year)
    ):
        return None
    return Purchase(
        capital=places * money.ream_place_cost + wrappers * money.wrapper_price,
        running_cost=wrappers * money.wrapper_cost_per_year,
        wages=people * money.person_cost_per_year,
        years=years,
    )


def years_in(scenario: Scenario, outcome: Outcome) -> float:
    """How many such runs are a year of the line: the hours it is manned in each."""
    manned = outcome.manned_hours
    return scenario.money.hours_per_year / manned if manned else 0.0


def year_of(scenario: Scenario, rows: Sequence[Outcome]) -> Year:
    """The year that runs are the mean of. Demand cuts off a year's sales, not each run's."""
    years = [years_in(scenario, row) / len(rows) for row in rows]
    return Year(
        sum(row.good_reams * n for row, n in zip(rows, years, strict=True)),
        sum(row.avoidable_waste_kg * n for row, n in zip(rows, years, strict=True)),
    )


def market_of(scenario: Scenario, rows: Sequence[Outcome], level: float) -> Market:
    """What the line of these runs makes in a year, against what is bought."""

    def made(which: Sequence[int]) -> float:
        return year_of(scenario, [rows[n] for n in which]).reams

    money = scenario.money
    reams = jackknifed(rows, made, level)
    return Market(reams, money.demand_reams_per_year, money.hours_per_year)


def worth_of(
    scenario: Scenario,
    before: Sequence[Outcome],
    after: Sequence[Outcome],
    purchase: Purchase,
    level: float,
) -> Worth:
    """The yearly sum of a change; ``scenario`` has the prices, runs are paired."""
    prices, every = prices_of(scenario), range(len(before))
    sets = [every, *([n for n in every if n != out] for out in every)]
    years = {
        tuple(which): tuple(year_of(scenario, [rows[n] for n in which]) for rows in (before, after))
        for which in sets
    }

    def known(figure: Callable[[Year, Year], float]) -> Interval:
        return jackknifed(before, lambda which: figure(*years[tuple(which)]), level)

    def where_there_is_one(figure: Callable[..., float | None]) -> Interval | None:
        found = [figure(*pair, prices, purchase) for pair in years.values()]
        if any(each is None for each in found):
            return None
        return known(lambda b, a: figure(b, a, prices, purchase) or 0.0)

    return Worth(
        purchase=purchase,
        reams=known(lambda b, a: yearly_sum(b, a, prices, purchase).reams),
        contribution=known(lambda b, a: yearly_sum(b, a, prices, purchase).contribution),
        waste_t=known(lambda b, a: yearly_sum(b, a, prices, purchase).waste_t),
        waste=known(lambda b, a: yearly_sum(b, a, prices, purchase).waste),
        yearly=known(lambda b, a: yearly_sum(b, a, prices, purchase).total),
        present_value=known(lambda b, a: present_value(b, a, prices, purchase)),
        payback_years=where_there_is_one(payback_years),
        break_even_demand=where_there_is_one(break_even_demand),
    )
