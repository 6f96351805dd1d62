"""Writing a figure with no more digits than its interval supports."""

import math
from decimal import ROUND_HALF_UP, Decimal

ROUNDING = 1e-12
"""A half width of so small a part of the mean is what arithmetic leaves of 0."""


def format_with_interval(
    mean: float, half_width: float, doubt: float = 0.0, least: float = -math.inf
) -> str:
    """The mean and its half width, both rounded to what the half width can bear.

    With a ``doubt``, the half width of what is not known, that is the second: "± luck ± doubt", and
    the mean is rounded to what both together bear. Where they reach below the ``least`` that the
    figure can be, the ends of the interval are written instead.

    ``mean`` and ``half_width`` are in one unit, which is left to the caller to write. Two digits
    of the half width are kept where it begins with 1.0 to 3.5, one otherwise: the
    rounding rule of the Particle Data Group, *Review of Particle Physics*. A half width of 0 (the
    same in every run, but for the rounding of the arithmetic) is not written, and leaves whole
    numbers whole and three digits of others; nor is an infinite one, of a single run. Raises
    ``ValueError`` for a mean that is not finite or a half width below 0.

    >>> format_with_interval(1831.7, 14.2), format_with_interval(1831.7, 57)
    ('1,832 ± 14', '1,830 ± 60')
    >>> format_with_interval(61.3249, 0.4271), format_with_interval(61.3249, math.inf)
    ('61.3 ± 0.4', '61.3')
    >>> format_with_interval(1.428571, 0), format_with_interval(12345, 0)
    ('1.43', '12,345')
    >>> format_with_interval(321_234, 1_230, 5_960), format_with_interval(50, 0, 4)
    ('321,000 ± 1,200 ± 6,000', '50 ± 0 ± 4')
    >>> format_with_interval(2.1, 5.6, least=0), format_with_interval(0.84, 0.91, 0.2, least=0)
    ('2 (0–8)', '0.8 (0–1.8)')
    >>> format_with_interval(230, 310, least=-9), format_with_interval(200, 400, least=-9)
    ('230 (−10 to 540)', '200 (0–600)')
    """
    if not math.isfinite(mean):
        raise ValueError(f"mean is {mean}; it must be a finite number")
    if not half_width >= 0:
        raise ValueError(f"half_width is {half_width}; it must be 0 or more")
    if half_width == math.inf:
        return rough(mean)
    both = math.hypot(half_width, doubt)
    if mean - both < least:
        last = last_digit(both)
        low = rounded(least, last) if round(least, -last) else "0"
        between = " to " if low.startswith("−") else "–"
        return f"{rounded(mean, last)} ({low}{between}{rounded(mean + both, last)})"
    if doubt > ROUNDING * abs(mean):
        last = last_digit(both)
        parts = (rounded(mean, last), half_width_text(half_width), half_width_text(doubt))
        return " ± ".join(parts)
    if half_width <= ROUNDING * abs(mean):
        whole = math.isclose(mean, round(mean), rel_tol=ROUNDING)
        return rounded(mean, 0) if whole else rough(mean)
    last = last_digit(half_width)
    return f"{rounded(mean, last)} ± {rounded(half_width, last)}"


def half_width_text(half_width: float) -> str:
    """A half width by itself, as fine as it can bear.

    >>> half_width_text(5_960), half_width_text(0)
    ('6,000', '0')
    """
    return rounded(half_width, last_digit(half_width)) if half_width else "0"


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


def rounded(value: float, last: int) -> str:
    """*value* rounded to the digit worth 10**last, with thousands apart."""
    number = Decimal(repr(float(value))).quantize(Decimal((0, (1,), last)), ROUND_HALF_UP)
    text = f"{abs(number):,f}"
    return f"−{text}" if number < 0 else text


def rough(value: float, digits: int = 3) -> str:
    """A figure without an interval: three digits (or *digits*), whole where more stand before it.

    >>> rough(1831.7), rough(4.9896), rough(0.1234), rough(-605.2)
    ('1,832', '4.99', '0.123', '−605')
    >>> rough(0.49, 2), rough(9.96, 2), rough(3.7, 2)
    ('0.49', '10', '3.7')
    """
    if value == 0 or not math.isfinite(value):
        return f"{value:.0f}"
    if value < 0:
        return f"−{rough(-value, digits)}"
    before = math.floor(math.log10(float(f"{value:.{digits - 1}e}"))) + 1
    text = f"{value:,.{min(digits, max(0, digits - before))}f}"
    return text if float(text.replace(",", "")) else f"{value:.1e}"


def counted(count: float, one: str, many: str = "") -> str:
    """A number of things: *one* is what a single one is called, *many* is by adding an s.

    >>> counted(1, "ream"), counted(1240, "ream"), counted(0.5, "min", "min")
    ('1 ream', '1,240 reams', '0.5 min')
    """
    return f"{count:,.10g} {one if count == 1 else many or one + 's'}"
