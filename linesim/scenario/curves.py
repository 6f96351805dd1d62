"""The shape of a law of chance, to be drawn small beside its figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesim.scenario.laws import Constant, Empirical, law_of

_POINTS = 400
_SHOWN = 0.98


@dataclass(frozen=True, eq=False)
class LawCurve:
    """How likely each value is: ``density`` (per unit of the value) at ``values``.

    Both are columns of one length. A constant has one value and density 0: all of it stands
    there. ``mean`` is the mean of the law, ``middle`` the range that four of five draws fall in;
    the curve ends where two of a hundred lie beyond.
    """

    values: NDArray[np.float64]
    density: NDArray[np.float64]
    mean: float
    middle: tuple[float, float]


def law_curve(value: Any) -> LawCurve | None:
    """The curve of a law as a file writes it (a number or a mapping); ``None`` for no law.

    >>> law_curve({"law": "uniform", "low": 2, "high": 4}).middle
    (2.2, 3.8)
    >>> law_curve("often") is None
    True
    """
    law = law_of(value)
    if law is None:
        return None
    low, high = (float(v) for v in law.quantile(np.array([0.1, 0.9])))
    middle = (round(low, 12), round(high, 12))
    if isinstance(law, Constant):
        return LawCurve(np.array([law.mean]), np.zeros(1), law.average(), middle)
    if isinstance(law, Empirical):
        values, density = _bars(law)
    else:
        values, density = _slopes(law)
    return LawCurve(values, density, law.average(), middle)


def _slopes(law: Any) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Density from the quantile function: a step of chance over the step of value it takes."""
    u = np.linspace(0.0, _SHOWN, _POINTS + 1)
    u[0] = 1e-6
    edges = law.quantile(u)
    grid = np.linspace(edges[0], edges[-1], 81)
    chance = np.interp(grid, edges, u)
    steps = np.diff(grid)
    if not np.all(steps > 0):
        return np.array([law.average()]), np.zeros(1)
    return grid[:-1] + steps / 2, np.diff(chance) / steps


def _bars(law: Empirical) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    logged = np.asarray(law.values, dtype=np.float64)
    if np.ptp(logged) == 0:
        return logged[:1], np.zeros(1)
    bars = min(30, max(5, int(np.sqrt(len(logged)))))
    density, edges = np.histogram(logged, bins=bars, density=True)
    return (edges[:-1] + edges[1:]) / 2, density
