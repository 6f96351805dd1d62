"""What a change of the line brings in a year: one sum, for every study, report and page.

Reams more that somebody buys, at their contribution; less paper more that becomes avoidable waste;
less wages; less energy and upkeep; less parts more that wear out. Capital is spent once and stands
beside it. No tax, no inflation.

Any figure may be an array of as many (one for each of many plants, say): so is then what is made of
it. What there is not, None for a single figure, is infinite in an array.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from linesim.money.payback import net_present_value, none_if_infinite


@dataclass(frozen=True)
class Year:
    """A year of a line, run all its hours.

    ``waste_kg`` is paper bought that ends in no ream and could have: edge trim and sheets above
    the count belong to the paper of a ream, which its contribution is net of. ``parts`` is the
    money for those that failed or were changed by plan.
    """

    reams: float
    waste_kg: float
    parts: float = 0.0


@dataclass(frozen=True)
class Prices:
    """What reams and paper are worth, in the user's currency.

    ``contribution`` is a ream's price less everything that rises with each ream, its own paper
    and wrapping included; ``demand`` the reams a year that somebody buys, None for all;
    ``waste_per_t`` what a tonne of wasted paper costs less what it brings as pulp; ``rate`` the
    discount rate a year.
    """

    contribution: float
    demand: float | None
    waste_per_t: float
    rate: float


@dataclass(frozen=True)
class Purchase:
    """What is spent: capital once, ``wages`` and ``running_cost`` (energy, upkeep) each year.

    Present values count over ``years``.
    """

    capital: float
    running_cost: float
    wages: float
    years: float


@dataclass(frozen=True)
class YearlySum:
    """The terms of the sum, as they are added up: what is spent is below 0.

    ``reams`` are sold more, ``waste_t`` tonnes of paper wasted more.
    """

    reams: float
    contribution: float
    waste_t: float
    waste: float
    wages: float
    running_cost: float
    parts: float

    @property
    def total(self) -> float:
        """Money a year."""
        return self.contribution + self.waste + self.wages + self.running_cost + self.parts


def sold(reams_per_year: float, demand: float | None) -> float:
    """What is sold: no more than is made, and no more than the market takes (None: all)."""
    return reams_per_year if demand is None else _single(np.minimum(reams_per_year, demand))


def yearly_sum(before: Year, after: Year, prices: Prices, purchase: Purchase) -> YearlySum:
    """What the purchase brings in a year, term by term.

    A line that can make more than the market takes runs fewer hours, wastes less by as much, and
    wears out fewer parts.

    >>> prices = Prices(contribution=0.5, demand=1500.0, waste_per_t=1000.0, rate=0.0)
    >>> found = yearly_sum(Year(1000, 250), Year(2000, 500), prices, Purchase(0, 100.0, 0, 5))
    >>> found.contribution, found.waste, found.running_cost, found.total
    (250.0, -125.0, -100.0, 25.0)
    """
    reams = sold(after.reams, prices.demand) - sold(before.reams, prices.demand)
    then, now = _share_run(after, prices), _share_run(before, prices)
    waste_t = _single((after.waste_kg * then - before.waste_kg * now) / 1000)
    return YearlySum(
        reams=reams,
        contribution=reams * prices.contribution,
        waste_t=waste_t,
        waste=-waste_t * prices.waste_per_t,
        wages=-purchase.wages,
        running_cost=-purchase.running_cost,
        parts=_single(before.parts * now - after.parts * then),
    )


def _share_run(year: Year, prices: Prices) -> Any:
    """Of the hours of a year, the share that makes what is sold."""
    made = np.where(np.asarray(year.reams) > 0, year.reams, 1.0)
    return np.where(np.asarray(year.reams) > 0, sold(year.reams, prices.demand) / made, 1.0)


def _single(values: Any) -> Any:
    """A single figure as such, an array as it is."""
    return values if np.ndim(values) else float(values)


def present_value(before: Year, after: Year, prices: Prices, purchase: Purchase) -> float:
    """What the purchase is worth today, what it costs taken off."""
    yearly = yearly_sum(before, after, prices, purchase).total
    return net_present_value(purchase.capital, yearly, prices.rate, purchase.years)


def yearly_return(before: Year, after: Year, prices: Prices, purchase: Purchase) -> float:
    """The yearly sum by the capital, 1 over the payback; infinite where nothing is bought."""
    capital: Any = np.asarray(purchase.capital)
    total = yearly_sum(before, after, prices, purchase).total
    found: float = _single(np.where(capital > 0, total / np.where(capital > 0, capital, 1), np.inf))
    return found


def break_even_demand(
    before: Year, after: Year, prices: Prices, purchase: Purchase
) -> float | None:
    """The least demand (reams a year) at which the present value has risen to nothing.

    The demand of ``prices`` is not looked at. None where even all that can be made, sold, is too
    little.

    >>> prices = Prices(contribution=2.0, demand=None, waste_per_t=0.0, rate=0.0)
    >>> break_even_demand(Year(1000, 0), Year(2000, 0), prices, Purchase(500, 100, 0, 5))
    1100.0
    """

    def worth(demand: float) -> float:
        asked = Prices(prices.contribution, demand, prices.waste_per_t, prices.rate)
        return present_value(before, after, asked, purchase)

    # Between no demand, what one of the two can make and what the other can, it is a straight line.
    less_made, more_made = (
        np.minimum(before.reams, after.reams),
        np.maximum(before.reams, after.reams),
    )
    found: Any = np.inf
    for low, high in pairwise((np.zeros_like(less_made), less_made, more_made)):
        less, more = np.asarray(worth(low)), np.asarray(worth(high))
        rises = (less <= 0) & (more >= 0) & (more > less)
        there = low + (high - low) * -less / np.where(rises, more - less, 1.0)
        found = np.where(np.isinf(found) & rises, there, found)
    demand: float | None = none_if_infinite(found)
    return demand
