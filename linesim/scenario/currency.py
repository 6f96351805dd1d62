"""Money in the scenario's one currency, wherever it is shown.

A unit says "money", as those of the fields do: "money/ream", "money a year". A sentence holds a
place for the currency, as the number patterns of Unicode CLDR do: "580,000 ± 16,000 ¤ a year". What
stands in for both is said here and nowhere else; a scenario that names no currency has "money" in
its units and nothing in its sentences.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from linesim.scenario.faults import value_at

CURRENCY = "¤"
"""Where a sentence names the currency."""
NAME = r"^[^\s\d¤]{1,12}$"
"""What a currency may be called."""


def in_currency(text: str, currency: str | None) -> str:
    """A sentence with the currency where it has a place for it.

    >>> in_currency("It earns 580 ¤ a year.", "EUR"), in_currency("It earns 580 ¤ a year.", None)
    ('It earns 580 EUR a year.', 'It earns 580 a year.')
    """
    if currency:
        return text.replace(CURRENCY, currency)
    return re.sub(f",? {CURRENCY}", "", text)


def unit_in(unit: str, currency: str | None) -> str:
    """A unit with the currency in place of "money".

    >>> unit_in("money/ream", "EUR"), unit_in("money/ream", None), unit_in("h/year", "EUR")
    ('EUR/ream', 'money/ream', 'h/year')
    """
    return re.sub(r"\bmoney\b", lambda _: currency, unit) if currency else unit


def currency_of(data: Any) -> str | None:
    """The currency that the unchecked values of a file name; None where they name none."""
    said = value_at(data, ("money", "currency")) if isinstance(data, Mapping) else None
    return said if isinstance(said, str) and re.fullmatch(NAME, said) else None
