"""Money: what a change of the line brings, and whether it pays. Plain arithmetic, no line in it.

>>> from linesim import money
>>> money.simple_payback_years(capital=450_000, yearly=150_000)
3.0
"""

from linesim.money.payback import (
    annuity_factor,
    net_present_value,
    simple_payback_years,
    yearly_cost,
)
from linesim.money.sensitivity import (
    INPUTS,
    Case,
    Input,
    InputName,
    Swing,
    break_even,
    tornado,
)
from linesim.money.yearly import (
    Prices,
    Purchase,
    Year,
    YearlySum,
    break_even_demand,
    present_value,
    sold,
    yearly_return,
    yearly_sum,
)

__all__ = [
    "INPUTS",
    "Case",
    "Input",
    "InputName",
    "Prices",
    "Purchase",
    "Swing",
    "Year",
    "YearlySum",
    "annuity_factor",
    "break_even",
    "break_even_demand",
    "net_present_value",
    "present_value",
    "simple_payback_years",
    "sold",
    "tornado",
    "yearly_cost",
    "yearly_return",
    "yearly_sum",
]
