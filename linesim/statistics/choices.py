"""Decisions over plants that agree with what is known: how many say yes, and which choice is best.

Each plant is a draw of what the runs leave open, of luck and of what is not known alike (see
:func:`linesim.statistics.plants_weights`); a figure has a value in each of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim.statistics.intervals import Bounds, Interval, t_factor

_QUANTILE = 0.95


def share_of_plants(margins: NDArray[np.float64], known: Interval) -> Bounds:
    """The share of plants whose margin is 0 or more, and how sure that is.

    ``known`` is the interval of the margin, what is not known of prices left out: they are drawn as
    stated. Where margins are about normal, the share is that below a normal score z = mean /
    spread. The mean is known up to luck, the variance that the doubt of the line makes up to a
    relative error of sqrt(2 / n), n being its degrees of freedom; by the delta method

        var(z) = luck^2 / spread^2 + z^2 doubt^4 / (2 n spread^4),

    that of a share of so many drawn plants beside it; the factor is Student's t.
    """
    count = len(margins)
    share = float((margins >= 0).mean())
    below, above = np.quantile(margins, scipy.special.ndtr([-1.0, 1.0])).tolist()
    spread = (above - below) / 2
    if not spread:
        return Bounds(share, share, share, known.level, count)
    luck = known.half_width / t_factor(known.level, known.n - 1)
    doubt = known.doubt / t_factor(known.level, known.freedom) if known.doubt else 0.0
    z = float(scipy.special.ndtri(min(max(share, 0.5 / count), 1 - 0.5 / count)))
    p = float(scipy.special.ndtr(z))
    drawn = math.sqrt(2 * math.pi * p * (1 - p) / count) * math.exp(z * z / 2)
    error = math.hypot(luck / spread, drawn)
    if doubt:
        error = math.hypot(error, z * (doubt / spread) ** 2 / math.sqrt(2 * known.freedom))
    factor = t_factor(known.level, known.freedom if doubt else known.n - 1)
    low, high = scipy.special.ndtr([z - factor * error, z + factor * error]).tolist()
    return Bounds(share, min(low, share), max(high, share), known.level, count)


@dataclass(frozen=True)
class Choice:
    """One of several things to do, against the best for each plant; in the unit of its worth.

    ``chosen`` is the place of what is worth most on average: its mean regret is the least of all.
    """

    chosen: int
    best_in: tuple[float, ...]
    """The share of plants in which each is the best; what is alike shares."""
    regret: float
    """What the choice falls short of the best, the mean over plants ..."""
    regret_at_most: float
    """... and what it is no more than in 95 of 100 plants."""
    low: int
    high: int
    """The best lies between these places, in the order given, in 95 of 100 plants."""


def choose(worth: Sequence[NDArray[np.float64]]) -> Choice:
    """The choice, from what each thing is worth in each plant.

    Raises ``ValueError`` where there is nothing to choose from.
    """
    if not worth:
        raise ValueError("there is nothing to choose from")
    table = np.array(worth)
    best = table.max(axis=0)
    chosen = int(table.mean(axis=1).argmax())
    short = best - table[chosen]
    alike = table >= best
    shares = (alike / alike.sum(axis=0)).mean(axis=1)
    before = np.cumsum(shares)
    tail = (1 - _QUANTILE) / 2
    return Choice(
        chosen=chosen,
        best_in=tuple(shares.tolist()),
        regret=float(short.mean()),
        regret_at_most=float(np.quantile(short, _QUANTILE)),
        low=int(np.searchsorted(before, tail, side="right")),
        high=min(int(np.searchsorted(before, 1 - tail, side="left")), len(table) - 1),
    )
