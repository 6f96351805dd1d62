"""How many runs a question needs, judged from the spread of a few."""

import math

import scipy

from linesim.statistics.intervals import t_factor


def runs_needed_for_half_width(sd: float, half_width: float, level: float = 0.95) -> int:
    """Fewest runs whose expected interval is no wider than +- *half_width*.

    *sd* is the standard deviation from run to run (of the paired differences, for a
    comparison). The smallest n of at least 2 with t(n-1) sd / sqrt(n) <= half_width.

    >>> runs_needed_for_half_width(sd=10, half_width=5)
    18
    """
    _check_spread(sd)
    _check_above_zero("half_width", half_width)
    _check_share("level", level)
    normal = float(scipy.special.ndtri((1 + level) / 2))
    runs = max(2, math.floor((normal * sd / half_width) ** 2))
    while t_factor(level, runs - 1) * sd / math.sqrt(runs) > half_width:
        runs += 1
    return runs


def runs_needed_to_show(
    difference: float, sd: float, level: float = 0.95, power: float = 0.8
) -> int:
    """Fewest runs that show a true *difference* from 0 with a chance of *power*.

    *sd* is the standard deviation of the paired differences. To show is to find 0 outside
    the interval of that level; the chance follows from the noncentral t distribution.

    >>> runs_needed_to_show(difference=5, sd=10)
    34
    """
    _check_spread(sd)
    _check_above_zero("the size of difference", abs(difference))
    _check_share("level", level)
    _check_share("power", power)
    if sd == 0:
        return 2
    effect = abs(difference) / sd
    normal = float(scipy.special.ndtri((1 + level) / 2) + scipy.special.ndtri(power))
    runs = max(2, math.floor((max(normal, 0) / effect) ** 2))
    while _chance_to_show(effect, runs, level) < power:
        runs += 1
    return runs


def _chance_to_show(effect: float, runs: int, level: float) -> float:
    critical = t_factor(level, runs - 1)
    # Beyond 35 the library's series gives out; the chance there is within 1 % of certainty
    # even for two runs, and leaving the rest away errs on the side of one run more.
    shift = min(effect * math.sqrt(runs), 35.0)
    above = 1 - scipy.special.nctdtr(runs - 1, shift, critical)
    below = scipy.special.nctdtr(runs - 1, shift, -critical)
    return float(above + below)


def _check_spread(sd: float) -> None:
    if not (math.isfinite(sd) and sd >= 0):
        raise ValueError(f"sd is {sd}; it must be a finite number of 0 or more")


def _check_above_zero(name: str, value: float) -> None:
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name} is {value}; it must be a finite number above 0")


def _check_share(name: str, value: float) -> None:
    if not 0 < value < 1:
        raise ValueError(f"{name} is {value}; it must lie between 0 and 1")
