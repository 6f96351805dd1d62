"""Which sizes of a buffer are worth trying."""

from __future__ import annotations

import math

from linesim.record.capacity import line_rates
from linesim.scenario import Scenario
from linesim.scenario.buffers import BRIDGE, buffers_of
from linesim.studies.bridge_theory import from_station_on

POINTS = 15
_STANDSTILLS = 16


def most_to_try(scenario: Scenario, name: str) -> int:
    """Six times the buffer, or what comes in sixteen mean standstills behind it if that is more,
    but no longer than there is room for."""
    buffer = buffers_of(scenario)[name]
    rates = line_rates(scenario)
    # The bridge stands before the wrappers, which are the third; the rest have their names.
    names = [rate.station for rate in rates]
    at = 2 if name == BRIDGE else names.index(name)
    behind = from_station_on(scenario, rates[at:])
    swallowed = 0.0
    pace = min(rate.rated for rate in rates[:at])
    if behind is not None and math.isfinite(pace):
        swallowed = _STANDSTILLS * behind.mean_time_to_repair * pace / buffer.reams_per_piece
    most = max(6 * buffer.places, round(swallowed), 24 * max(1, buffer.least))
    return max(buffer.least, min(most, buffer.most))


def places_to_try(scenario: Scenario, points: int = POINTS, name: str = BRIDGE) -> tuple[int, ...]:
    """Places from the fewest upwards, closer at the short end; the present size is one of them.

    Raises ``ValueError`` for fewer than three points.
    """
    if points < 3:
        raise ValueError(f"{points} points make no curve; 3 or more are needed")
    buffer = buffers_of(scenario)[name]
    return _spread(buffer.least, most_to_try(scenario, name), points, buffer.places)


def places_from_now(scenario: Scenario, points: int, name: str) -> tuple[int, ...]:
    """The same from the present size upwards; ``points`` are two or more."""
    now = buffers_of(scenario)[name].places
    return _spread(now, most_to_try(scenario, name), points, now)


def _spread(least: int, most: int, points: int, present: int) -> tuple[int, ...]:
    """So many sizes, each as many times the one before; the nearest gives way to the present."""
    # From none the first step is to a quarter of what stands.
    first = least or max(1, present // 4)
    count = points - (least < first)
    ratio = (most / first) ** (1 / max(1, count - 1))
    found = sorted({least, *(round(first * ratio**n) for n in range(count))})
    if present in found:
        return tuple(found)
    if len(found) < 3:
        return tuple(sorted({*found, present}))
    nearest = min(found[1:-1], key=lambda n: abs(math.log(n / max(1, present))))
    return tuple(sorted({present, *(n for n in found if n != nearest)}))
