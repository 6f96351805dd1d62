"""Scales of charts: what stands where, round numbers along an axis, and how far it reaches."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from linesim.report import spans_much


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
        """What stands there; beyond the ends, what would."""
        part = (at - self.start) / (self.end - self.start)
        if self.logarithmic:
            return self.low * math.exp(part * math.log(self.high / self.low))
        return self.low + (self.high - self.low) * part

    def ticks(self, most: int) -> list[float]:
        """Round values within, about as many as asked, but two where there is room between them."""
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
    """The number ``value`` as one of ``ticks``, with no more places than their steps need."""
    steps = [abs(b - a) for a, b in itertools.pairwise(ticks) if b != a]
    step = min(steps, default=abs(value) or 1.0)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{value:,.{places}f}"
    return "0" if float(text.replace(",", "")) == 0 else text.replace("-", "−")


def along(values: Iterable[float], start: float, end: float) -> Scale:
    """A scale for the values of a field, logarithmic where they span much."""
    found = sorted(values)
    low, high = found[0], found[-1]
    if spans_much(found):
        room = (high / low) ** 0.03
        return Scale(low / room, high * room, start, end, logarithmic=True)
    room = 0.04 * (high - low) or max(abs(high), 1.0) * 0.5
    return Scale(low - room, high + room, start, end)


def upwards(
    means: Iterable[float], ends: Iterable[float], start: float, end: float, *, zero: bool = False
) -> Scale:
    """A scale for figures; ``ends`` are those of their intervals.

    Intervals of very few runs are far wider than the figures differ: they are cut off rather than
    flatten everything else. Curves that come near 0 begin there; with ``zero``, as of bars and of
    gains, it stands among them, and so do ends below it.
    """
    middle = sorted(means)
    low, high = (middle[0], middle[-1]) if middle else (0.0, 1.0)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    reach = max(high - low, 0.02 * max(abs(low), abs(high)))
    ends = list(ends)
    reach = reach or max((abs(each) for each in ends), default=1.0) or 1.0
    least = max(min([low, *ends]), low - 1.5 * reach)
    most = min(max([high, *ends]), high + 1.5 * reach)
    if least < 0 <= low and not zero:
        least = 0.0
    if least >= 0 and least < 0.35 * most:
        least = 0.0
    room = 0.05 * (most - least) or 1.0
    bottom = least if least == 0 else least - room
    return Scale(bottom, most + room, start, end)
