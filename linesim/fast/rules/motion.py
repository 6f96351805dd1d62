"""Compiled: how webs move: pure arithmetic, as in ``line.motion``."""

from __future__ import annotations

import math

from linesim.fast.parts import part
from linesim.line.clock import NEVER


@part
def ceil(value: float):
    """For compiled code: rounded up."""
    return math.ceil(value)


@part
def run_down_length(speed: float, to_speed: float, loss: float):
    """Follows ``motion.run_down_length``."""
    if loss == 0.0 or speed <= to_speed:
        return 0
    return ceil((speed * speed - to_speed * to_speed) / (2 * loss))


@part
def time_to_run(speed: float, change: float, length):
    """Follows ``motion.time_to_run``."""
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
    return ceil(time) if time < 4e18 else NEVER


@part
def worn_in(speed: float, change: float, dt, reference: float, power: float) -> float:
    """Follows ``motion.wear``."""
    if power == 0.0:
        return (speed + 0.5 * change * dt) * dt
    if change == 0.0:
        return speed * dt * math.pow(speed / reference, power)
    end = max(speed + change * dt, 0.0)
    grown = math.pow(end, power + 2) - math.pow(speed, power + 2)
    return grown / (change * (power + 2) * math.pow(reference, power))


@part
def time_to_wear(speed: float, change: float, amount: float, reference: float, power: float):
    """Follows ``motion.time_to_wear``."""
    if amount <= 0:
        return 0
    if change == 0.0:
        pace = speed * math.pow(speed / reference, power) if speed > 0 else 0.0
        if not pace > 0:
            return NEVER
        time = amount / pace
        return min(ceil(time), NEVER) if time < 4e18 else NEVER
    factor = change * (power + 2) * math.pow(reference, power)
    target = math.pow(speed, power + 2) + amount * factor
    if target < 0:
        return NEVER
    time = (math.pow(target, 1 / (power + 2)) - speed) / change
    return max(0, ceil(time)) if time < 4e18 else NEVER
