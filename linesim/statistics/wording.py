"""Writing a figure with no more digits than its interval supports."""

import math
from decimal import ROUND_HALF_UP, Decimal

ROUNDING = 1e-12
"""A half width of so small a part of the mean is what arithmetic leaves of 0."""


def format_with_interval(mean: float, half_width: float) -> str:
    """The mean and its half width, both rounded to what the half width can bear.

    ``mean`` and ``half_width`` are in one unit, which is left to the caller to write. Two digits
    of the half width are kept where it begins with 1.0 to 3.5, one otherwise: the
    rounding rule of the Particle Data Group, *Review of Particle Physics*. A half width of 0
    (nothing varied but by the rounding of the arithmetic) leaves six digits of the mean, or all
    before the point if more.
    Raises ``ValueError`` where either is not finite or the half width is below 0.

    >>> format_with_interval(1831.7, 14.2)
    '1,832 ± 14'
    >>> format_with_interval(61.3249, 0.4271)
    '61.3 ± 0.4'
    >>> format_with_interval(1831.7, 57)
    '1,830 ± 60'
    """
    if not math.isfinite(mean):
        raise ValueError(f"mean is {mean}; it must be a finite number")
    if not (math.isfinite(half_width) and half_width >= 0):
        raise ValueError(f"half_width is {half_width}; it must be a finite number of 0 or more")
    if half_width <= ROUNDING * abs(mean):
        return f"{_six_digits(mean)} ± 0"
    last = last_digit(half_width)
    return f"{rounded(mean, last)} ± {rounded(half_width, last)}"


def last_digit(half_width: float) -> int:
    """The power of ten of the last digit that a half width above 0 can bear.

    >>> last_digit(14.2), last_digit(57), last_digit(0.4)
    (0, 1, -1)
    """
    width = Decimal(repr(float(half_width)))
    leading = width.scaleb(2 - width.adjusted())  # the first three digits, 100 to 999.9...
    # 95 and above rounds up to the next power of ten, and so begins with 1.0.
    exponent = width.adjusted() + (1 if leading >= 950 else 0)
    return exponent - (1 if leading < 355 or leading >= 950 else 0)


def _six_digits(value: float) -> str:
    last = min(0, Decimal(repr(float(value))).adjusted() - 5) if value else 0
    text = rounded(value, last)
    return text.rstrip("0").rstrip(".") if "." in text else text


def rounded(value: float, last: int) -> str:
    """*value* rounded to the digit worth 10**last, with thousands apart."""
    number = Decimal(repr(float(value))).quantize(Decimal((0, (1,), last)), ROUND_HALF_UP)
    text = f"{abs(number):,f}"
    return f"−{text}" if number < 0 else text


def counted(count: float, one: str, many: str = "") -> str:
    """A number of things: *one* is what a single one is called, *many* is by adding an s.

    >>> counted(1, "ream"), counted(1240, "ream"), counted(0.5, "min", "min")
    ('1 ream', '1,240 reams', '0.5 min')
    """
    return f"{count:,.10g} {one if count == 1 else many or one + 's'}"
