"""The present value against each input, and break-evens, by hand and by their laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linesim.money import (
    INPUTS,
    Case,
    Input,
    Prices,
    Purchase,
    Year,
    break_even,
    break_even_demand,
    tornado,
)

CASE = Case(
    before=Year(1_000_000, 40_000, 2_000),
    after=Year(1_200_000, 60_000, 5_000),
    prices=Prices(contribution=0.5, demand=None, waste_per_t=600.0, rate=0.0),
    purchase=Purchase(capital=200_000.0, running_cost=10_000.0, wages=15_000.0, years=5.0),
    hours=6_000.0,
    weeks=50.0,
    hourly_wages=15_000.0,
)
# 200,000 reams at 0.5, less 20 t at 600, 3,000 of parts, 15,000 and 10,000: 60,000 a year, so that
# five years without interest bring 300,000 for 200,000.
BREAK_EVENS = {
    "more_reams": (200_000 - 40_000) / 50,  # 20,000 a year less
    "more_waste": 20_000 + 20_000 / 0.6,
    "more_parts": 23_000.0,
    "contribution": 0.4,
    # All but the running cost goes with the hours: 70,000 now, and 50,000 are needed.
    "hours": 6_000 * 50 / 70,
    "capital": 300_000.0,
    "running_cost": 30_000.0,
    "wages": 35_000.0,
    "waste_price": 600 + 20_000 / 20,
    "rate": 0.1523823712,  # by numpy-financial 1.0.0: rate(5, 60_000, -200_000, 0)
    "years": 200 / 60,
}


@pytest.mark.parametrize("name", BREAK_EVENS)
def test_break_evens_by_hand(name: str) -> None:
    assert CASE.present_value == pytest.approx(100_000)
    found = break_even(CASE, name)  # type: ignore[arg-type]
    assert found == pytest.approx(BREAK_EVENS[name], rel=1e-6)


def test_the_widest_comes_first_with_what_it_makes_at_each_end() -> None:
    ends = {"contribution": (0.4, 0.6), "capital": (190_000.0, 260_000.0), "rate": (0.0, 0.1)}
    inputs = [Input(name, *between, "doubt") for name, between in ends.items()]  # type: ignore[arg-type]
    found = {swing.input.name: swing for swing in tornado(CASE, inputs)}
    assert list(found) == ["contribution", "rate", "capital"]
    assert found["contribution"].at_low == pytest.approx(0, abs=1e-6)
    assert found["contribution"].at_high == pytest.approx(200_000)
    assert (found["capital"].at_low, found["capital"].at_high) == (110_000, 40_000)
    # 3.790787 is the annuity of 5 years at 10 %.
    assert found["rate"].at_high == pytest.approx(60_000 * 3.790787 - 200_000, abs=0.1)
    assert found["contribution"].moved_by == pytest.approx(-0.2)
    assert found["rate"].moved_by is None


def test_where_nothing_brings_it_back_there_is_no_break_even() -> None:
    """It loses a hundred thousand of running cost a year, whatever paper costs."""
    lost = CASE.moved("running_cost", 100_000.0)
    assert lost.present_value == pytest.approx(-350_000)
    assert break_even(lost, "waste_price") is None
    assert break_even(lost, "capital") is None
    assert break_even(lost, "contribution") == pytest.approx(0.85)


def test_of_demand_it_is_what_the_sum_says() -> None:
    capped = CASE.moved("demand", 1_190_000.0)
    expected = break_even_demand(CASE.before, CASE.after, CASE.prices, CASE.purchase)
    assert break_even(capped, "demand") == pytest.approx(expected)


some = st.floats(0.2, 5)
cases = st.builds(
    lambda reams, price, capital, running, rate, years: Case(
        Year(1e6, 4e4, 2e3),
        Year(1e6 + 2e5 * reams, 6e4, 5e3),
        Prices(0.5 * price, 1.1e6, 600.0, 0.08 * rate),
        Purchase(2e5 * capital, 1e4 * running, 1.5e4, 5 * years),
        6_000.0,
        50.0,
    ),
    *[some] * 6,
)


@settings(max_examples=30)
@given(cases, st.sampled_from(INPUTS))
def test_at_its_break_even_nothing_is_left_and_a_move_there_and_back_is_none(
    case: Case, name: str
) -> None:
    value = case.value(name)  # type: ignore[arg-type]
    assert value is not None
    back = case.moved(name, value)  # type: ignore[arg-type]
    assert back.present_value == pytest.approx(case.present_value, abs=1e-3)
    even = break_even(case, name)  # type: ignore[arg-type]
    if even is None:
        return
    there = case.moved(name, even)  # type: ignore[arg-type]
    assert there.present_value == pytest.approx(0, abs=1.0)
    assert math.isfinite(even)


def test_what_pays_without_a_ream_more_has_no_break_even_of_reams() -> None:
    """The waste saved alone brings 30,000 a year: beyond no ream at all it is another change."""
    saving = CASE.moved("more_waste", -200_000.0)
    assert saving.moved("more_reams", 0.0).present_value > 0
    assert break_even(saving, "more_reams") is None
