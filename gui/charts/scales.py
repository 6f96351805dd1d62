"""The scales of the window's charts."""

from __future__ import annotations

from collections.abc import Iterable

from linesim.report import Scale

_WIDE = 20.0
"""From this ratio of largest to smallest on, an axis is logarithmic."""


def is_wide(values: Iterable[float]) -> bool:
    """Whether the axis of these values is logarithmic."""
    found = sorted(values)
    low, high = found[0], found[-1]
    return low > 0 and high / low >= _WIDE


def along(values: Iterable[float], start: float, end: float) -> Scale:
    """A scale for the values of a field, logarithmic where they span much."""
    found = sorted(values)
    low, high = found[0], found[-1]
    if is_wide(found):
        room = (high / low) ** 0.03
        return Scale(low / room, high * room, start, end, logarithmic=True)
    room = 0.04 * (high - low) or max(abs(high), 1.0) * 0.5
    return Scale(low - room, high + room, start, end)


def upwards(
    means: Iterable[float], ends: Iterable[float], start: float, end: float, *, bars: bool = False
) -> Scale:
    """A scale for figures; ``ends`` are those of their intervals.

    Intervals of very few runs are far wider than the figures differ: they are cut off rather than
    flatten everything else. Bars begin at 0, and so do curves that come near it.
    """
    middle = sorted(means)
    low, high = (middle[0], middle[-1]) if middle else (0.0, 1.0)
    if bars:
        low, high = min(low, 0.0), max(high, 0.0)
    reach = max(high - low, 0.02 * max(abs(low), abs(high)))
    ends = list(ends)
    reach = reach or max((abs(each) for each in ends), default=1.0) or 1.0
    least = max(min([low, *ends]), low - 1.5 * reach)
    most = min(max([high, *ends]), high + 1.5 * reach)
    if least < 0 <= low and not bars:
        least = 0.0
    if least >= 0 and least < 0.35 * most:
        least = 0.0
    room = 0.05 * (most - least) or 1.0
    bottom = least if least == 0 else least - room
    return Scale(bottom, most + room, start, end)
