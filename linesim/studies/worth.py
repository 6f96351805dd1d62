"""What a change of the line is worth in money, from runs with and without it on the same draws."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from linesim.money import (
    Case,
    Input,
    InputName,
    Prices,
    Purchase,
    Swing,
    Year,
    break_even_demand,
    present_value,
    tornado,
    yearly_return,
    yearly_sum,
)
from linesim.scenario import Scenario
from linesim.scenario.buffers import buffers_of
from linesim.scenario.wages import yearly_wages
from linesim.statistics import Bounds, Interval
from linesim.studies.differences import all_and_each_left_out, from_left_out
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants
from linesim.studies.runner import WEEK_H
from linesim.studies.sensitivity import inputs_of


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
    parts: Interval
    """For parts of stop causes."""
    yearly: Interval
    present_value: Interval
    payback_years: Bounds | None
    """None where the runs do not show that it is ever paid back."""
    break_even_demand: Interval | None
    """Reams a year; None where no demand makes it break even, or some of the runs say so."""
    case: Case | None = None
    """None where nobody asks what it hangs on."""
    inputs: tuple[Input, ...] = ()
    """Of the sum, with the ends between which each is taken to lie."""

    @cached_property
    def swings(self) -> tuple[Swing, ...]:
        """What each input alone does to the present value, the widest first."""
        return () if self.case is None else tornado(self.case, self.inputs)


@dataclass(frozen=True)
class Market:
    """What the line can make in a year, and what is bought of it; demand None: all."""

    reams_per_year: Interval
    demand: float | None
    hours_per_year: float
    met_in: float | None = None
    """The share of plants in which nothing more can be sold; None where nothing is doubted."""

    @property
    def met(self) -> bool:
        """Whether nothing more can be sold, as stated."""
        return self.demand is not None and self.reams_per_year.mean >= self.demand


def prices_of(scenario: Scenario) -> Prices:
    """What reams and paper are worth in the scenario."""
    money = scenario.money
    waste = np.maximum(0.0, money.paper_cost_per_t - money.repulp_value_per_t)
    return Prices(
        money.contribution_per_ream,
        money.demand_reams_per_year,
        waste if np.ndim(waste) else float(waste),
        money.discount_rate,
    )


def purchase_of(
    scenario: Scenario,
    years: float,
    *,
    wrappers: int = 0,
    packers: int = 0,
    people: int = 0,
    **places: int,
) -> Purchase | None:
    """What so many more of each cost; None where one of them has no price.

    ``places`` go by the names of their buffers: ``bridge=20``.
    """
    money = scenario.money
    if (
        (wrappers and not np.any(money.wrapper_price))
        or (packers and not np.any(money.carton_packer_price))
        or (people and not np.any(yearly_wages(scenario)))
    ):
        return None
    capital, running = wrappers * money.wrapper_price, wrappers * money.wrapper_cost_per_year
    if packers and money.carton_packer_price is not None:
        capital = capital + packers * money.carton_packer_price
    if packers and money.carton_packer_cost_per_year is not None:
        running = running + packers * money.carton_packer_cost_per_year
    fixed = 0.0 if money.buffer_fixed_cost is None else money.buffer_fixed_cost
    buffers = buffers_of(scenario)
    for name, more in places.items():
        if not more:
            continue
        price = getattr(money, buffers[name].place_cost)
        if not np.any(price):
            return None
        capital = capital + more * price + fixed
    return Purchase(
        capital=capital,
        running_cost=running,
        wages=people * yearly_wages(scenario),
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
        sum(row.parts_cost * n for row, n in zip(rows, years, strict=True)),
    )


def market_of(
    scenario: Scenario, rows: Sequence[Outcome], level: float, plants: Plants | None = None
) -> Market:
    """What the line of these runs makes in a year, against what is bought."""
    money = scenario.money

    def made(prices: Scenario, years: Sequence[Year]) -> Any:
        return years[0].reams

    reams = Known(scenario, (rows,), level, plants).interval(made)
    assert reams is not None
    met_in = None
    if plants is not None and money.demand_reams_per_year is not None:
        met = plants.year(rows).reams >= np.asarray(plants.priced.money.demand_reams_per_year)
        met_in = float(met.mean())
    return Market(reams, money.demand_reams_per_year, money.hours_per_year, met_in)


class Known:
    """Figures of years of lines with their intervals; all rows are of runs on the same draws.

    ``scenario`` has the prices as stated, ``plants`` those that are doubted.
    """

    def __init__(
        self,
        scenario: Scenario,
        lines: Sequence[Sequence[Outcome]],
        level: float,
        plants: Plants | None,
    ) -> None:
        self._scenario, self._rows, self._level, self._plants = scenario, lines[0], level, plants
        sets = all_and_each_left_out(len(self._rows))
        found = [[year_of(scenario, [rows[n] for n in which]) for which in sets] for rows in lines]
        self._years = [years_as_one(years) for years in found]
        self._as_run = [years[0] for years in found]

    def interval(
        self, figure: Callable[[Scenario, Sequence[Year]], Any], *, of_runs: bool = False
    ) -> Interval | None:
        """Interval of what ``figure`` makes of prices and years; None where some runs have none.

        It is given arrays, and makes one. Luck, and what is not known of the line, by the
        jackknife; what is not known of prices by drawing them, left out ``of_runs``.
        """
        every = np.asarray(figure(self._scenario, self._years))
        if not np.isfinite(every).all():
            return None
        whole, *parts = np.broadcast_to(every, len(self._rows) + 1).tolist()
        found = from_left_out(self._rows, whole, parts, self._level)
        if self._plants is None or not self._plants.prices or of_runs:
            return found
        doubt = self._plants.half_width_of_prices(figure, self._as_run, self._level)
        if not doubt < math.inf:
            return None
        prices = self._plants.by_price(figure, self._as_run)
        return replace(found, doubt=math.hypot(found.doubt, doubt), prices=prices)


def years_as_one(years: Sequence[Year]) -> Year:
    reams: Any = np.array([year.reams for year in years])
    waste_kg: Any = np.array([year.waste_kg for year in years])
    parts: Any = np.array([year.parts for year in years])
    return Year(reams, waste_kg, parts)


def worth_of(
    scenario: Scenario,
    before: Sequence[Outcome],
    after: Sequence[Outcome],
    years: float,
    level: float,
    plants: Plants | None = None,
    **bought: int,
) -> Worth | None:
    """The yearly sum of a change; ``scenario`` has the prices, runs are paired.

    ``bought`` as :func:`purchase_of` has it; None where one of them has no price.
    """
    if purchase_of(scenario, years, **bought) is None:
        return None
    return worth_by(scenario, before, after, spending(years, **bought), level, plants)


Spending = Callable[[Scenario], Purchase]
"""What a change costs, at the prices of the scenario it is given."""


def spending(years: float, **bought: int) -> Spending:
    """So many more of each, all with a price."""

    def spent(priced: Scenario) -> Purchase:
        found = purchase_of(priced, years, **bought)
        assert found is not None
        return found

    return spent


def worth_by(
    scenario: Scenario,
    before: Sequence[Outcome],
    after: Sequence[Outcome],
    spent: Spending,
    level: float,
    plants: Plants | None = None,
) -> Worth:
    """The yearly sum of a change that costs what ``spent`` says; else as :func:`worth_of`."""
    known = Known(scenario, (before, after), level, plants)

    def maybe(figure: Callable[[Year, Year, Prices, Purchase], Any]) -> Interval | None:
        def found(priced: Scenario, years_of: Sequence[Year]) -> Any:
            return figure(years_of[0], years_of[1], prices_of(priced), spent(priced))

        return known.interval(found)

    def term(name: str) -> Interval:
        found = maybe(lambda *given: getattr(yearly_sum(*given), name))
        assert found is not None
        return found

    def case_at(priced: Scenario) -> Case:
        bought = spent(priced)
        by_hour = 0.0 if priced.money.person_cost_per_year else bought.wages
        return Case(
            year_of(scenario, before),
            year_of(scenario, after),
            prices_of(priced),
            bought,
            priced.money.hours_per_year,
            float(np.mean([years_in(scenario, row) * row.hours / WEEK_H for row in before])),
            by_hour,
        )

    value = maybe(present_value)
    assert value is not None
    more = _more(known, case_at(scenario).weeks)
    doubts = () if plants is None else plants.prices
    return Worth(
        purchase=spent(scenario),
        reams=term("reams"),
        contribution=term("contribution"),
        waste_t=term("waste_t"),
        waste=term("waste"),
        parts=term("parts"),
        yearly=term("total"),
        present_value=value,
        payback_years=_paid_back_in(spent(scenario).capital, term("total"), maybe(yearly_return)),
        break_even_demand=maybe(break_even_demand),
        case=case_at(scenario),
        inputs=tuple(inputs_of(scenario, case_at, doubts, more)),
    )


def _paid_back_in(capital: float, yearly: Interval, by_capital: Interval | None) -> Bounds | None:
    """Years, from the ends of what a year brings ``by_capital``.

    A mean and a spread of years would not do: what may bring next to nothing may be paid back very
    late, and is never paid back before it is bought.
    """
    if yearly.low <= 0:
        return None
    if not capital:
        return Bounds(0.0, 0.0, 0.0, yearly.level, yearly.n)
    if by_capital is None or by_capital.low <= 0:
        return None
    mean, soonest, latest = (
        1 / each for each in (by_capital.mean, by_capital.high, by_capital.low)
    )
    return Bounds(mean, soonest, latest, yearly.level, yearly.n)


def _more(known: Known, weeks: float) -> dict[InputName, Interval]:
    """What the runs say is made in a week more, wasted and worn in a year more."""
    figures: dict[InputName, Callable[[Year], Any]] = {
        "more_reams": lambda year: year.reams / weeks,
        "more_waste": lambda year: year.waste_kg,
        "more_parts": lambda year: year.parts,
    }
    found: dict[InputName, Interval] = {}
    for name, of in figures.items():

        def more(_: Scenario, years: Sequence[Year], of: Callable[[Year], Any] = of) -> Any:
            return of(years[1]) - of(years[0])

        interval = known.interval(more, of_runs=True)
        if interval is not None and math.isfinite(interval.both):
            found[name] = interval
    return found
