"""Refusing impossible measures in words that say what would be possible."""

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


def whole_from_one(name: str, value: int) -> None:
    """Raise ``ValueError`` unless *value* is a whole number of at least 1."""
    if isinstance(value, bool) or not isinstance(value, Integral) or value < 1:
        raise ValueError(f"{name} is {value}; it must be a whole number, 1 or more")
