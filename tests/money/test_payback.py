"""Payback and present value of equal yearly amounts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim import money


def test_annuity_of_a_textbook_table() -> None:
    """Annuity tables, 8 % for 10 years and 5 % for 20: 6.7101 and 12.4622."""
    assert round(money.annuity_factor(0.08, 10), 4) == 6.7101
    assert round(money.annuity_factor(0.05, 20), 4) == 12.4622


@given(st.floats(0, 0.5), st.integers(1, 40))
def test_the_annuity_is_the_sum_of_its_years(rate: float, years: int) -> None:
    by_year = math.fsum((1 + rate) ** -n for n in range(1, years + 1))
    assert money.annuity_factor(rate, years) == pytest.approx(by_year, rel=1e-9)


@given(st.floats(1, 1e7), st.floats(0, 0.5), st.integers(1, 40))
def test_the_yearly_cost_of_a_purchase_is_worth_its_capital(
    capital: float, rate: float, years: int
) -> None:
    yearly = money.yearly_cost(capital, rate, years)
    assert money.net_present_value(capital, yearly, rate, years) == pytest.approx(
        0, abs=1e-9 * capital
    )


def test_what_never_pays_has_no_payback() -> None:
    assert money.simple_payback_years(1000, 0) is None
    assert money.simple_payback_years(1000, -5) is None
    assert money.simple_payback_years(0, -5) == 0
