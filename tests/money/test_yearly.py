"""The yearly sum, by hand and by its laws."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from linesim import money
from linesim.money import Prices, Purchase, Year

PRICES = Prices(contribution=0.5, demand=None, waste_per_t=600.0, rate=0.08)
PLAN = Purchase(capital=100_000.0, running_cost=10_000.0, wages=0.0, years=10.0)


def test_the_sum_by_hand() -> None:
    """Of 1,000,000 and 1,200,000 reams the market takes 1,100,000; each year has its waste."""
    prices = Prices(contribution=0.5, demand=1_100_000.0, waste_per_t=600.0, rate=0.08)
    plan = Purchase(capital=100_000.0, running_cost=10_000.0, wages=5_000.0, years=10.0)
    before, after = Year(1_000_000, 50_000, 3_000), Year(1_200_000, 72_000, 6_000)
    found = money.yearly_sum(before, after, prices, plan)
    assert found.reams == 100_000
    assert found.contribution == 50_000
    # 72 t for 1,200,000 reams are 66 t for 1,100,000: 16 t more at 600.
    assert found.waste_t == pytest.approx(16)
    assert found.waste == pytest.approx(-9_600)
    assert (found.wages, found.running_cost) == (-5_000, -10_000)
    # Parts of 6,000 for 1,200,000 reams are 5,500 for 1,100,000: 2,500 more.
    assert found.parts == pytest.approx(-2_500)
    assert found.total == pytest.approx(22_900)


amounts = st.floats(0, 1e7)
years = st.builds(Year, st.floats(1, 1e7), st.floats(0, 1e6), st.floats(0, 1e6))
prices = st.builds(Prices, st.floats(0.01, 10), st.none(), st.floats(0, 2000), st.floats(0, 0.3))
purchases = st.builds(Purchase, amounts, amounts, amounts, st.floats(1, 30))


@given(years, years, prices, purchases)
def test_at_the_break_even_demand_the_present_value_is_nothing(
    before: Year, after: Year, prices: Prices, plan: Purchase
) -> None:
    demand = money.break_even_demand(before, after, prices, plan)
    if demand is None:
        # Not even where all is sold that can be made.
        assert money.present_value(before, after, prices, plan) <= 0 or plan.capital == 0
        return
    at = money.present_value(before, after, replace(prices, demand=demand), plan)
    size = plan.capital + (plan.running_cost + plan.wages) * plan.years
    made = max(before.reams, after.reams) * prices.contribution * plan.years
    assert abs(at) <= 1e-9 * (size + made + 1)


@given(years, years, prices, purchases)
def test_a_little_more_demand_than_break_even_pays(
    before: Year, after: Year, prices: Prices, plan: Purchase
) -> None:
    demand = money.break_even_demand(before, after, prices, plan)
    assume(demand is not None and demand < 0.99 * max(before.reams, after.reams))
    assert demand is not None
    more = replace(prices, demand=demand * 1.001 + 1e-3)
    # Only where the purchase makes less than there was, more demand than it meets is a loss.
    if after.reams >= before.reams:
        assert money.present_value(before, after, more, plan) >= -1e-3


@given(years, years, years, prices)
def test_two_steps_bring_what_one_brings(
    first: Year, second: Year, third: Year, prices: Prices
) -> None:
    free = Purchase(0.0, 0.0, 0.0, 10.0)
    steps = (
        money.yearly_sum(first, second, prices, free).total
        + money.yearly_sum(second, third, prices, free).total
    )
    once = money.yearly_sum(first, third, prices, free).total
    assert steps == pytest.approx(once, rel=1e-9, abs=1e-3)


def test_waste_puts_the_break_even_up() -> None:
    before, after = Year(1_000_000, 10_000), Year(1_200_000, 30_000)
    dear = money.break_even_demand(before, after, PRICES, PLAN)
    free = money.break_even_demand(before, after, replace(PRICES, waste_per_t=0), PLAN)
    assert dear is not None
    assert free is not None
    # By hand, without: 100,000 / 6.7101 + 10,000 a year are 49,806 reams.
    assert free == pytest.approx(1_000_000 + (100_000 / 6.71008 + 10_000) / 0.5, rel=1e-6)
    # With: each ream after bears 25 g at 0.6 a kg, and the 10 t before are saved.
    needed = 100_000 / 6.71008 + 10_000
    assert dear == pytest.approx((needed + 1_000_000 * 0.5 - 6_000) / (0.5 - 0.015), rel=1e-6)


def test_no_demand_makes_up_for_a_gain_too_small() -> None:
    plan = Purchase(1e6, 0.0, 0.0, 10.0)
    assert money.break_even_demand(Year(1000, 0), Year(1001, 0), PRICES, plan) is None


def test_what_nobody_buys_earns_nothing() -> None:
    before, after = Year(1_000_000, 0), Year(1_500_000, 0)
    met = replace(PRICES, demand=900_000.0)
    assert money.yearly_sum(before, after, met, PLAN).total == -10_000


def test_less_waste_for_each_ream_earns_even_where_demand_is_met() -> None:
    before, after = Year(1_000_000, 50_000), Year(1_000_000, 40_000)
    met = replace(PRICES, demand=500_000.0)
    assert money.yearly_sum(before, after, met, PLAN).waste == pytest.approx(5 * 600)


@pytest.mark.parametrize("demand", [None, 1_100_000.0])
def test_arrays_give_what_their_figures_give_one_by_one(demand: float | None) -> None:
    """Demand met or not, a line that makes nothing, one that never pays, a capital of nothing."""
    made: Any = np.array([1_000_000.0, 0.0, 1_300_000.0, 1_000_000.0])
    then: Any = np.array([1_200_000.0, 1_150_000.0, 1_250_000.0, 1_400_000.0])
    capital: Any = np.array([100_000.0, 900_000.0, 50_000.0, 0.0])
    rate: Any = np.array([0.08, 0.0, 0.12, 0.05])
    market: Any = None if demand is None else np.full(4, demand)
    prices = Prices(contribution=0.5, demand=market, waste_per_t=600.0, rate=rate)
    plan = Purchase(capital, 10_000.0, 0.0, 10.0)
    given = Year(made, made / 20), Year(then, then / 25), prices, plan
    sums = money.yearly_sum(*given)
    values = money.present_value(*given)
    back: Any = money.yearly_return(*given)
    even: Any = money.break_even_demand(*given)
    for n in range(4):
        alone = Prices(0.5, demand, 600.0, float(rate[n]))
        spent = Purchase(float(capital[n]), 10_000.0, 0.0, 10.0)
        one = Year(made[n].item(), made[n].item() / 20), Year(then[n].item(), then[n].item() / 25)
        assert np.broadcast_to(sums.total, 4)[n] == money.yearly_sum(*one, alone, spent).total
        assert np.broadcast_to(values, 4)[n] == money.present_value(*one, alone, spent)
        for many, single in ((back, money.yearly_return), (even, money.break_even_demand)):
            assert many[n] == (math.inf if (found := single(*one, alone, spent)) is None else found)
    assert (back == math.inf).any()
