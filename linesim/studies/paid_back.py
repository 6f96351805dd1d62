"""In how many plants that agree with what is known a change of the line is paid back in time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.money import Year, net_present_value, yearly_cost, yearly_sum
from linesim.scenario import Scenario
from linesim.statistics import Bounds, share_of_plants
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants
from linesim.studies.worth import Known, Spending, prices_of, spending


@dataclass(frozen=True)
class PaidBack:
    """``in_time`` is the share of plants, and how sure it is.

    ``low`` and ``high`` are the middle 90 % of the present value.
    """

    in_time: Bounds
    low: float
    high: float
    a_year: NDArray[np.float64] = field(repr=False, compare=False)
    """In each plant, what it brings in a year less what its capital costs in each."""


def paid_back(
    scenario: Scenario,
    before: Sequence[Outcome],
    after: Sequence[Outcome],
    years: float,
    within_years: float,
    level: float,
    plants: Plants,
    **bought: int,
) -> PaidBack:
    """The change between paired runs, in plants; ``bought`` as :func:`purchase_of` has it."""
    spent = spending(years, **bought)
    return paid_back_by(scenario, before, after, spent, within_years, level, plants)


def paid_back_by(
    scenario: Scenario,
    before: Sequence[Outcome],
    after: Sequence[Outcome],
    spent: Spending,
    within_years: float,
    level: float,
    plants: Plants,
) -> PaidBack:
    """The same of a change that costs what ``spent`` says."""

    def margin(priced: Scenario, years_of: Sequence[Year]) -> Any:
        paid = spent(priced)
        yearly = yearly_sum(years_of[0], years_of[1], prices_of(priced), paid).total
        return yearly * within_years - paid.capital

    both = [plants.year(before), plants.year(after)]
    prices, paid = prices_of(plants.priced), spent(plants.priced)
    yearly = yearly_sum(both[0], both[1], prices, paid).total
    values = net_present_value(paid.capital, yearly, prices.rate, paid.years)
    known = Known(scenario, (before, after), level, None).interval(margin)
    assert known is not None
    margins = np.broadcast_to(margin(plants.priced, both), plants.count)
    low, high = np.quantile(values, [0.05, 0.95]).tolist()
    a_year = yearly - yearly_cost(paid.capital, prices.rate, paid.years)
    return PaidBack(
        share_of_plants(margins, known),
        low,
        high,
        np.broadcast_to(np.asarray(a_year, dtype=np.float64), plants.count),
    )
