"""Where a line of text must not be broken."""

from __future__ import annotations

import re

_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|s|mm|m|kg|t|%|µm|g/m²|[A-Z]{3})(?![\w/]))")


def unbroken(text: str) -> str:
    """The text with no line broken within a figure: its interval, its short unit, "p = 0.6".

    Three large letters behind a figure are a currency.

    >>> unbroken("76.7 ± 1.6 % of 20 reams") == "76.7\\u00a0±\\u00a01.6\\u00a0% of 20 reams"
    True
    >>> unbroken("300 ± 20 EUR a year") == "300\\u00a0±\\u00a020\\u00a0EUR a year"
    True
    """
    text = text.replace(" ± ", "\u00a0±\u00a0").replace("p = ", "p\u00a0=\u00a0")
    return _UNIT.sub("\u00a0", text)
