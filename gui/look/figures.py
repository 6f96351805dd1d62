"""Figures as they stand on screen: one decimal; what is known beyond it is in the tip."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal

_NUMBER = r"\d[\d,]*(?:\.\d+)?"
_FIGURE = re.compile(rf"(?P<value>{_NUMBER})(?: ± (?P<half>{_NUMBER}))?(?![\d.])")


def one_decimal(words: str) -> str:
    """The figures in these words with one decimal; those under 1 keep what they have.

    Intervals are rounded up, so that what is known lies in them as they are shown, too.

    >>> one_decimal("99.337 ± 0.024 %"), one_decimal("95.81 ± 0.15 %"), one_decimal("0.88 ± 0.02")
    ('99.3 ± 0.1 %', '95.8 ± 0.2 %', '0.88 ± 0.02')
    >>> one_decimal("1.45 min")
    '1.5 min'
    """
    return _FIGURE.sub(_rounded, words)


def _rounded(found: re.Match[str]) -> str:
    value, half = found["value"], found["half"]
    if "." not in value or _read(value) < 1:
        return found[0]
    # As people round, and not as the number nearest to these digits would be.
    words = f"{Decimal(value.replace(',', '')).quantize(Decimal('0.1'), ROUND_HALF_UP):,}"
    if half is None:
        return words
    most = math.ceil(round(10 * _read(half), 6)) / 10
    return f"{words} ± {most:,.1f}"


def _read(number: str) -> float:
    return float(number.replace(",", ""))
