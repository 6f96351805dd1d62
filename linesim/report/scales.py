"""Round numbers along an axis, and where on paper they stand."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Scale:
    """Values from ``low`` to ``high``, drawn from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def at(self, value: float) -> float:
        """Where a value stands; values beyond the ends stand beyond them."""
        low, high, what = self.low, self.high, value
        if self.logarithmic:
            low, high, what = math.log(low), math.log(high), math.log(max(value, 1e-300))
        return self.start + (self.end - self.start) * (what - low) / (high - low)

    def value(self, at: float) -> float:
        """What stands there; beyond the ends, what would.

        >>> Scale(0, 100, 20, 40).value(25)
        25.0
        >>> round(Scale(5, 500, 0, 2, True).value(1))
        50
        """
        part = (at - self.start) / (self.end - self.start)
        if self.logarithmic:
            return self.low * math.exp(part * math.log(self.high / self.low))
        return self.low + (self.high - self.low) * part

    def ticks(self, most: int) -> list[float]:
        """Round values within, about as many as asked, but two where there is room between them.

        >>> Scale(0, 100, 0, 1).ticks(5)
        [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]
        >>> Scale(297, 343, 0, 1).ticks(2)
        [300.0, 320.0, 340.0]
        >>> Scale(5, 300, 0, 1, True).ticks(6)
        [5.0, 10.0, 20.0, 50.0, 100.0, 200.0]
        >>> Scale(22, 29, 0, 1, True).ticks(4)
        [22.0, 24.0, 26.0, 28.0]
        """
        if self.logarithmic:
            powers = self._powers(most)
            # Few of them or none stand between near ends.
            if len(powers) > 1:
                return powers
        step = _round_up((self.high - self.low) / max(1, most))
        found = self._multiples(step)
        # A single number says nothing of the scale.
        for _ in range(3):
            if len(found) < 2:
                step = _round_up(step / 3)
                found = self._multiples(step)
        return found[:: max(1, math.ceil(len(found) / (most + 1)))]

    def _multiples(self, step: float) -> list[float]:
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [n * step for n in range(first, last + 1)]

    def _powers(self, most: int) -> list[float]:
        powers = range(math.floor(math.log10(self.low)), math.ceil(math.log10(self.high)) + 1)
        for factors in ((1, 2, 5), (1, 3), (1,)):
            found = [f * 10.0**n for n in powers for f in factors]
            found = [each for each in found if self.low <= each * 1.000001 <= self.high * 1.00001]
            if len(found) <= max(most, 3):
                break
        return found


def _round_up(step: float) -> float:
    power = 10.0 ** math.floor(math.log10(step))
    for factor in (1, 2, 5, 10):
        if step <= factor * power * (1 + 1e-9):
            return factor * power
    return 10 * power


def tick_text(value: float, ticks: list[float]) -> str:
    """The number ``value`` as one of ``ticks``, with no more places than their steps need.

    >>> tick_text(0.5, [0.0, 0.5, 1.0]), tick_text(12000.0, [0.0, 12000.0])
    ('0.5', '12,000')
    """
    steps = [abs(b - a) for a, b in itertools.pairwise(ticks) if b != a]
    step = min(steps, default=abs(value) or 1.0)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{value:,.{places}f}"
    return "0" if float(text.replace(",", "")) == 0 else text.replace("-", "−")
