"""Payback and present value against flows one by one, and rates of return found elsewhere."""

from __future__ import annotations

import itertools
import math

import pytest

from linesim.money import (
    Case,
    Prices,
    Purchase,
    Year,
    annuity_factor,
    break_even,
    break_even_demand,
    net_present_value,
    present_value,
    simple_payback_years,
    yearly_cost,
)

CASES = list(itertools.product([0.0, 0.03, 0.08, 0.25], [1, 4, 10, 25]))


# Internal rates of return of 400,000 that earns 70,000 in each of so many years, by
# numpy-financial 1.0.0 (irr).
INTERNAL_RATES = {7: 0.0534709555855617, 10: 0.11725483657177249, 25: 0.1716661920254916}


# Annuity factors as finance handbooks print them: R. A. Brealey, S. C. Myers and F. Allen,
# Principles of Corporate Finance, appendix, present value of an annuity (from memory).
PRINTED = {(0.08, 10): 6.710, (0.10, 5): 3.791, (0.06, 20): 11.470, (0.12, 15): 6.811}

# 150,000 that earns 37,000 in each of 10 years at 8 %, by numpy-financial 1.0.0: pv, pmt, rate and
# nper.
WORTH, A_YEAR, RATE, PERIODS = (
    98_273.01176083359,
    22_354.423304561304,
    0.21000177683216797,
    5.09403306,
)


def valued(rate: float, flows: list[float]) -> float:
    """The first flow now, each of the others a year later."""
    return math.fsum(flow / (1 + rate) ** year for year, flow in enumerate(flows))


@pytest.mark.parametrize(("rate", "years"), CASES)
def test_a_yearly_amount_is_worth_what_an_annuity_is(rate: float, years: int) -> None:
    expected = valued(rate, [0.0] + [1.0] * years)
    assert annuity_factor(rate, years) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("rate", "years"), CASES)
def test_present_value_is_that_of_the_flows_one_by_one(rate: float, years: int) -> None:
    expected = valued(rate, [-400_000.0] + [70_000.0] * years)
    assert net_present_value(400_000, 70_000, rate, years) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("years", INTERNAL_RATES)
def test_at_the_internal_rate_a_purchase_is_worth_nothing(years: int) -> None:
    rate = INTERNAL_RATES[years]
    assert net_present_value(400_000, 70_000, rate, years) == pytest.approx(0, abs=1e-3)
    # Dearer money makes it a loss, cheaper money a gain.
    assert net_present_value(400_000, 70_000, rate + 0.01, years) < 0
    assert net_present_value(400_000, 70_000, rate - 0.01, years) > 0


@pytest.mark.parametrize(("capital", "yearly"), [(400_000, 70_000), (120, 50), (1, 3)])
def test_payback_without_interest_is_the_number_of_payments(capital: float, yearly: float) -> None:
    assert simple_payback_years(capital, yearly) * yearly == pytest.approx(capital, rel=1e-12)


@pytest.mark.parametrize("demand", [None, 1_080_000.0])
def test_a_purchase_is_worth_its_flows_and_nothing_at_break_even(demand: float | None) -> None:
    before, after = Year(1_000_000, 40_000), Year(1_150_000, 60_000)
    prices = Prices(contribution=0.4, demand=demand, waste_per_t=650.0, rate=0.08)
    plan = Purchase(capital=150_000.0, running_cost=6_000.0, wages=4_000.0, years=10)

    def flows(most: float) -> list[float]:
        reams = [min(year.reams, most) for year in (before, after)]
        tonnes = [
            n / year.reams * year.waste_kg / 1000
            for n, year in zip(reams, (before, after), strict=True)
        ]
        a_year = (reams[1] - reams[0]) * 0.4 - (tonnes[1] - tonnes[0]) * 650 - 6_000 - 4_000
        return [-150_000.0] + [a_year] * 10

    theirs = valued(0.08, flows(demand or 2e6))
    assert present_value(before, after, prices, plan) == pytest.approx(theirs, abs=1e-6)
    even = break_even_demand(before, after, prices, plan)
    assert even is not None
    assert valued(0.08, flows(even)) == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize(("rate", "years"), PRINTED)
def test_annuities_are_those_that_handbooks_print(rate: float, years: int) -> None:
    assert round(annuity_factor(rate, years), 3) == pytest.approx(PRINTED[rate, years], abs=6e-4)


def test_a_case_and_its_break_evens_are_what_another_library_finds() -> None:
    # 150,000 reams at 0.4, less 20 t at 650, less 10,000.
    case = Case(
        Year(1_000_000, 40_000),
        Year(1_150_000, 60_000),
        Prices(contribution=0.4, demand=None, waste_per_t=650.0, rate=0.08),
        Purchase(capital=150_000.0, running_cost=6_000.0, wages=4_000.0, years=10),
        hours=6000.0,
        weeks=50.0,
    )
    assert case.present_value == pytest.approx(WORTH)
    assert yearly_cost(150_000, 0.08, 10) == pytest.approx(A_YEAR)
    assert break_even(case, "rate") == pytest.approx(RATE)
    assert break_even(case, "years") == pytest.approx(PERIODS)
    # What has to come in a year is 22,354: so much less may each ream bring.
    assert break_even(case, "contribution") == pytest.approx(0.4 - (37_000 - A_YEAR) / 150_000)
    assert break_even(case, "capital") == pytest.approx(150_000 + WORTH)
