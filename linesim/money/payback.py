"""Payback and present value: textbook arithmetic on equal yearly amounts.

Amounts fall due at the end of each year, the capital at the start of the first. Source: any
textbook of corporate finance, such as Brealey, Myers and Allen (from memory).

Any figure but the years may be an array of as many: so is then what is made of it.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np


def annuity_factor(rate: float, years: float) -> float:
    """Present value of 1 a year for ``years`` at ``rate`` a year: (1 - (1 + r)^-n) / r.

    Raises ``ValueError`` for a rate below 0 or years that are not above 0.

    >>> round(annuity_factor(0.08, 10), 4)
    6.7101
    """
    if np.ndim(rate):
        rates, at = np.unique(rate, return_inverse=True)
        factors: Any = np.array([annuity_factor(each, years) for each in rates.tolist()])
        found: float = factors[at]
        return found
    if not (math.isfinite(rate) and rate >= 0):
        raise ValueError(f"rate is {rate}; it must be 0 or more, such as 0.08")
    if not (math.isfinite(years) and years > 0):
        raise ValueError(f"years is {years}; it must be above 0")
    if rate < 1e-12:
        return years
    return -math.expm1(-years * math.log1p(rate)) / rate


def yearly_cost(capital: float, rate: float, years: float) -> float:
    """What has to come in each year to make up for the capital, no more and no less.

    >>> round(yearly_cost(1500, 0.08, 10), 2)
    223.54
    """
    return capital / annuity_factor(rate, years)


def net_present_value(capital: float, yearly: float, rate: float, years: float) -> float:
    """What a purchase is worth today: ``yearly`` for ``years``, less ``capital``.

    >>> round(net_present_value(100_000, 20_000, 0.08, 10))
    34202
    """
    return yearly * annuity_factor(rate, years) - capital


def simple_payback_years(capital: float, yearly: float) -> float | None:
    """Years until the yearly gain has brought the capital back, interest not counted.

    0 where nothing was spent; None where it never does, infinite in an array.
    """
    earning = np.asarray(yearly) > 0
    years = np.where(earning, capital / np.where(earning, yearly, 1.0), np.inf)
    found: float | None = none_if_infinite(np.where(np.asarray(capital) <= 0, 0.0, years))
    return found


def none_if_infinite(found: Any) -> Any:
    """A single figure, None where it is infinite; an array as it is."""
    if np.ndim(found):
        return found
    return None if np.isinf(found) else float(found)
