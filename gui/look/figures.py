"""Figures as they stand on screen: one decimal; what is known beyond it is in the tip."""

from __future__ import annotations

import math
import re

_FIGURE = re.compile(r"(?P<sign>± ?)?(?P<whole>\d[\d,]*)\.(?P<rest>\d{2,})(?![\d.])")


def one_decimal(words: str) -> str:
    """The figures in these words with one decimal; those under 1 keep what they have.

    Intervals are rounded up; one that is next to nothing says that it is less.

    >>> one_decimal("99.337 ± 0.024 %"), one_decimal("95.81 ± 0.15 %"), one_decimal("0.05")
    ('99.3 ± <0.1 %', '95.8 ± 0.2 %', '0.05')
    """
    return _FIGURE.sub(_rounded, words)


def _rounded(found: re.Match[str]) -> str:
    value = float(f"{found['whole'].replace(',', '')}.{found['rest']}")
    sign = found["sign"]
    if sign is None:
        return found[0] if value < 1 else f"{value:,.1f}"
    return f"{sign}<0.1" if value < 0.05 else f"{sign}{math.ceil(round(10 * value, 6)) / 10:,.1f}"
