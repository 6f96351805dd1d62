"""Money: what output earns, and whether a purchase pays. Plain arithmetic, no line in it.

>>> from linesim import money
>>> money.simple_payback_years(capital=450_000, yearly=150_000)
3.0
"""

from linesim.money.chances import PaybackChance, Uncertainty, chance_of_payback
from linesim.money.payback import (
    annuity_factor,
    break_even_demand,
    net_present_value,
    simple_payback_years,
    sold,
)
from linesim.money.purchase import Purchase, Year, yearly_gain

__all__ = [
    "PaybackChance",
    "Purchase",
    "Uncertainty",
    "Year",
    "annuity_factor",
    "break_even_demand",
    "chance_of_payback",
    "net_present_value",
    "simple_payback_years",
    "sold",
    "yearly_gain",
]
