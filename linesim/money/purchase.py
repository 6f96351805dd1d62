"""What a purchase changes in a year of the line."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.money.payback import sold


@dataclass(frozen=True)
class Year:
    """A year of a line, run all its hours: good reams, and paper wasted in kg."""

    reams: float
    waste_kg: float


@dataclass(frozen=True)
class Purchase:
    """Prices of what is decided. Money in the user's currency.

    ``contribution`` is a ream's price less everything that rises with each ream, its own paper
    included; ``waste_cost_per_t`` what a tonne of wasted paper costs less what it brings as pulp.
    """

    contribution: float
    demand: float | None
    capital: float
    running_cost: float
    waste_cost_per_t: float
    rate: float
    years: float


def yearly_gain(before: Year, after: Year, purchase: Purchase) -> float:
    """Money a year the purchase brings: more reams sold, other waste, less its running cost.

    A line that can make more than the market takes runs fewer hours, and wastes less by as much.

    >>> plan = Purchase(0.5, 1500.0, 0.0, 100.0, 1000.0, 0.0, 5)
    >>> yearly_gain(Year(1000, 200), Year(2000, 400), plan)
    50.0
    """
    margin = _margin(after, purchase) - _margin(before, purchase)
    return margin - purchase.running_cost


def _margin(year: Year, purchase: Purchase) -> float:
    reams = sold(year.reams, purchase.demand)
    share = reams / year.reams if year.reams > 0 else 1.0
    waste_t = year.waste_kg * share / 1000
    return reams * purchase.contribution - waste_t * purchase.waste_cost_per_t
