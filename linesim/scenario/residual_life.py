"""How much is left of an interval that somebody comes upon.

Whoever looks at a line that has run for long finds each stop cause somewhere in its interval, long
intervals oftener than short ones. What is left then is the residual life of the law, with the
density (1 - F(x)) / mean (D. R. Cox, *Renewal Theory*, 1962, section 5.2). From there on the
process is stationary: in every stretch of its meter as many stops are to be expected.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import scipy

from linesim.scenario.laws import AnyLaw, Constant, Empirical, Exponential, Weibull

_HALVINGS = 200
_DOUBLINGS = 64


def residual_life(law: AnyLaw, u: float) -> float:
    """The ``u``-quantile of what is left, in the unit of the law; ``u`` from 0 to below 1."""
    mean = law.average()
    if isinstance(law, Constant):
        return u * mean
    if isinstance(law, Exponential):
        return _quantile(law, u)
    if isinstance(law, Weibull):
        worn = float(scipy.special.gammaincinv(1 / law.shape, u))
        return float(law.scale * worn ** (1 / law.shape))
    if isinstance(law, Empirical):
        return _of_values(law, u * mean)
    # mean_up_to(x) / mean is the chance that at most x is left.
    return _where(law.mean_up_to, u * mean, mean)


def _of_values(law: Empirical, wanted: float) -> float:
    """Between two values ``mean_up_to`` is a straight line."""
    values = np.sort(np.asarray(law.values, dtype=np.float64))
    count = len(values)
    longer = np.arange(count - 1, -1, -1)
    up_to = (np.cumsum(values) + longer * values) / count
    return float(np.interp(wanted, [0.0, *up_to], [0.0, *values]))


def residual_life_after(law: AnyLaw, used: float, u: float) -> float:
    """The ``u``-quantile of what is left of an interval that has lasted ``used`` already."""
    before = law.below(used)
    return max(0.0, _quantile(law, before + u * (1 - before)) - used)


def in_use_under_plan(law: AnyLaw, changed_every: float, u: float, v: float) -> tuple[float, float]:
    """What is left of the life of a part in use, and its age, in the unit of the law.

    A part is changed at ``changed_every`` at the latest, so all ages that are met are below; else
    age and what is left are as in any interval that somebody comes upon. ``u`` and ``v`` are from 0
    to below 1: what is left is its ``u``-quantile, so that a plan which no part lives to see leaves
    what :func:`residual_life` does, and the age is the ``v``-quantile of those that go with it.
    """
    used = law.mean_up_to(changed_every)
    left = residual_life(law, u)
    if longer_than(law, changed_every) > 0 and not isinstance(law, Exponential):
        left = _where(
            lambda x: law.mean_up_to(x) - (law.mean_up_to(x + changed_every) - used),
            u * used,
            changed_every,
        )
    low, high = law.below(left), law.below(left + changed_every)
    age = _quantile(law, low + v * (high - low)) - left
    return left, min(max(age, 0.0), changed_every)


def _where(rising: Callable[[float], float], wanted: float, start: float) -> float:
    """Where a function that rises from 0 comes to ``wanted``."""
    low, high = 0.0, start
    for _ in range(_DOUBLINGS):
        if rising(high) >= wanted:
            break
        low, high = high, 2 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        if rising(middle) < wanted:
            low = middle
        else:
            high = middle
    return high


def longer_than(law: AnyLaw, used: float) -> float:
    """Chance, 0 to 1, that an interval lasts longer than ``used``."""
    return 1 - law.below(used)


def longest(law: AnyLaw, chance: float) -> float:
    """What an interval outlasts with a ``chance`` only."""
    return _quantile(law, 1 - chance)


def _quantile(law: AnyLaw, u: float) -> float:
    return float(law.quantile(np.asarray([u]))[0])
