"""How webs move: steady, or gaining and losing speed evenly. Pure arithmetic.

Lengths in um, times in ns, speeds in um/ns, accelerations in um/ns2.
"""

from __future__ import annotations

import math

from linesim.line.clock import NEVER

_LONGEST = 4e18
"""Times (ns) beyond this are beyond all time."""


def travelled(speed: float, change: float, dt: int) -> int:
    """Length run in ``dt`` from ``speed``, to the nearest um."""
    return int((speed + 0.5 * change * dt) * dt + 0.5)


def time_to_run(speed: float, change: float, length: int) -> int:
    """Time until ``length`` is run, rounded up; NEVER where the webs stand before that."""
    if length <= 0:
        return 0
    if change == 0.0:
        if not speed > 0:
            return NEVER
        time = length / speed
    else:
        square = speed * speed + 2 * change * length
        if square < 0:
            return NEVER
        time = 2 * length / (speed + math.sqrt(square))
    return math.ceil(time) if time < _LONGEST else NEVER


def run_down_length(speed: float, to_speed: float, loss: float) -> int:
    """Length run while losing speed at ``loss`` (above 0); 0 where it happens at once."""
    if loss == 0.0 or speed <= to_speed:
        return 0
    return math.ceil((speed * speed - to_speed * to_speed) / (2 * loss))


def wear(speed: float, change: float, dt: int, reference: float, power: float) -> float:
    """Length run in ``dt``, each piece weighted with (speed / reference) ** power.

    The integral of v (v/r)^k over time; for an even change of speed that is
    (v1^(k+2) - v0^(k+2)) / (a (k+2) r^k).
    """
    if power == 0.0:
        return (speed + 0.5 * change * dt) * dt
    if change == 0.0:
        return speed * dt * math.pow(speed / reference, power)
    end = max(speed + change * dt, 0.0)
    grown = math.pow(end, power + 2) - math.pow(speed, power + 2)
    return grown / (change * (power + 2) * math.pow(reference, power))


def time_to_wear(speed: float, change: float, amount: float, reference: float, power: float) -> int:
    """Time until ``wear`` reaches ``amount``; NEVER where the webs stand before that."""
    if amount <= 0:
        return 0
    if change == 0.0:
        pace = speed * math.pow(speed / reference, power) if speed > 0 else 0.0
        if not pace > 0:
            return NEVER
        time = amount / pace
    else:
        factor = change * (power + 2) * math.pow(reference, power)
        target = math.pow(speed, power + 2) + amount * factor
        if target < 0:
            return NEVER
        time = (math.pow(target, 1 / (power + 2)) - speed) / change
    return max(0, math.ceil(time)) if time < _LONGEST else NEVER
