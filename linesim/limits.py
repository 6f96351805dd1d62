"""Refusing numbers that no formula covers, in words that say what would be possible."""

import math
from numbers import Integral


def above_zero(name: str, value: float) -> None:
    """Raise ``ValueError`` unless *value* is a finite number above 0."""
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name} is {value}; it must be a finite number above 0")


def zero_or_more(name: str, value: float) -> None:
    """Raise ``ValueError`` unless *value* is a finite number of at least 0."""
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{name} is {value}; it must be a finite number of 0 or more")


def whole_from(name: str, value: int, least: int) -> None:
    """Raise ``ValueError`` unless *value* is a whole number of at least *least*."""
    if isinstance(value, bool) or not isinstance(value, Integral) or value < least:
        raise ValueError(f"{name} is {value}; it must be a whole number, {least} or more")
