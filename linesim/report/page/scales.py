"""Scales of the charts: round ticks and where a value stands."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Scale:
    """Values from ``low`` to ``high`` laid out from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value stands; beyond the ends it stands at the end."""
        part = (value - self.low) / (self.high - self.low)
        return self.start + (self.end - self.start) * min(1.0, max(0.0, part))


def ticks(low: float, high: float, about: int = 5) -> tuple[float, ...]:
    """Round values (1, 2 or 5 times a power of ten apart) that take in ``low`` and ``high``.

    >>> ticks(0, 47)
    (0.0, 10.0, 20.0, 30.0, 40.0, 50.0)
    """
    if not high > low:
        high = low + (abs(low) or 1.0)
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(f * power for f in (1, 2, 5, 10) if f * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(number * step for number in range(first, last + 1))


def tick_text(value: float, step: float) -> str:
    """A tick with no more digits than its step has.

    >>> tick_text(330000.0, 5000.0), tick_text(0.5, 0.25)
    ('330,000', '0.50')
    """
    decimals = 0
    while decimals < 6 and abs(round(step, decimals) - step) > 1e-9 * step:
        decimals += 1
    text = f"{abs(value):,.{decimals}f}"
    return f"−{text}" if value < 0 and float(text.replace(",", "")) else text
