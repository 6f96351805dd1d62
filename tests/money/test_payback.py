"""Payback, present value, break-even, and how likely a purchase pays."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim import money
from linesim.money import Purchase, Uncertainty, Year

PLAN = Purchase(0.5, None, 100_000.0, 10_000.0, 600.0, 0.08, 10.0)


def test_annuity_of_a_textbook_table() -> None:
    """Annuity tables, 8 % for 10 years and 5 % for 20: 6.7101 and 12.4622."""
    assert round(money.annuity_factor(0.08, 10), 4) == 6.7101
    assert round(money.annuity_factor(0.05, 20), 4) == 12.4622


@given(st.floats(0, 0.5), st.integers(1, 40))
def test_the_annuity_is_the_sum_of_its_years(rate: float, years: int) -> None:
    by_year = math.fsum((1 + rate) ** -n for n in range(1, years + 1))
    assert money.annuity_factor(rate, years) == pytest.approx(by_year, rel=1e-9)


def test_what_never_pays_has_no_payback() -> None:
    assert money.simple_payback_years(1000, 0) is None
    assert money.simple_payback_years(1000, -5) is None
    assert money.simple_payback_years(0, -5) == 0


def test_at_the_break_even_demand_the_present_value_is_nothing() -> None:
    before, after = Year(1_000_000, 0), Year(1_200_000, 0)
    demand = money.break_even_demand(
        before.reams,
        after.reams,
        PLAN.contribution,
        PLAN.capital,
        PLAN.running_cost,
        PLAN.rate,
        PLAN.years,
    )
    assert demand is not None
    assert before.reams < demand < after.reams
    plan = Purchase(0.5, demand, PLAN.capital, PLAN.running_cost, 600.0, PLAN.rate, PLAN.years)
    gain = money.yearly_gain(before, after, plan)
    value = money.net_present_value(plan.capital, gain, plan.rate, plan.years)
    assert abs(value) < 1e-3


def test_no_demand_makes_up_for_a_gain_too_small() -> None:
    assert money.break_even_demand(1000, 1001, 0.5, 1e6, 0, 0.08, 10) is None


def test_what_nobody_buys_earns_nothing() -> None:
    before, after = Year(1_000_000, 0), Year(1_500_000, 0)
    met = Purchase(0.5, 900_000.0, 0.0, 0.0, 0.0, 0.08, 10.0)
    assert money.yearly_gain(before, after, met) == 0


def test_less_waste_for_each_ream_earns_even_where_demand_is_met() -> None:
    before, after = Year(1_000_000, 50_000), Year(1_000_000, 40_000)
    met = Purchase(0.5, 500_000.0, 0.0, 0.0, 600.0, 0.08, 10.0)
    assert money.yearly_gain(before, after, met) == pytest.approx(5 * 600)


def test_the_chance_is_certain_where_nothing_varies() -> None:
    before = [Year(1_000_000, 0)] * 5
    after = [Year(1_200_000, 0)] * 5
    gain = money.yearly_gain(before[0], after[0], PLAN)
    years = PLAN.capital / gain
    sure = money.chance_of_payback(before, after, PLAN, years * 1.01, Uncertainty(), draws=100)
    never = money.chance_of_payback(before, after, PLAN, years * 0.99, Uncertainty(), draws=100)
    assert (sure.paid_back, never.paid_back) == (1, 0)


def test_at_the_payback_time_the_chance_is_about_even_and_the_same_seed_repeats() -> None:
    before = [Year(1_000_000 + d, 0) for d in (-3000, 0, 3000, 1000, -1000, 500)]
    after = [Year(1_200_000 + d, 0) for d in (9000, -9000, 0, 4000, -4000, 1000)]
    gains = [money.yearly_gain(b, a, PLAN) for b, a in zip(before, after, strict=True)]
    years = PLAN.capital / (sum(gains) / len(gains))
    doubt = Uncertainty(contribution=0.1)
    first = money.chance_of_payback(before, after, PLAN, years, doubt, draws=4000)
    assert 0.44 < first.paid_back < 0.56
    assert first == money.chance_of_payback(before, after, PLAN, years, doubt, draws=4000)


def test_more_doubt_widens_the_range_of_values() -> None:
    before = [Year(1_000_000, 0), Year(1_010_000, 0)]
    after = [Year(1_200_000, 0), Year(1_205_000, 0)]
    wide = money.chance_of_payback(before, after, PLAN, 3, Uncertainty(capital=0.5), draws=2000)
    narrow = money.chance_of_payback(before, after, PLAN, 3, Uncertainty(), draws=2000)
    assert wide.high - wide.low > 2 * (narrow.high - narrow.low)


@pytest.mark.parametrize("value", [-0.1, 1.5, math.nan])
def test_an_uncertainty_beyond_reason_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="contribution"):
        Uncertainty(contribution=value)
