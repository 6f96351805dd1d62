"""Whether successive parts of a run still differ by more than chance: whether it has settled.

Batch means as in G. S. Fishman, *Grouping observations in digital simulation*, Management Science
24 (1978). A trend is looked for by a straight line through the batches of all runs; whether a
batch follows the one before by their correlation (M. S. Bartlett 1946: about normal, with the
variance of one over the number of batches).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import scipy

FEWEST_BATCHES = 10


@dataclass(frozen=True)
class Steadiness:
    """Chances, 0 to 1, of differences as large as these between batches that differ by chance."""

    trend: float
    """Of a rise or fall as large as this in the course of the runs."""
    succession: float
    """Of batches that follow the one before as closely as this."""

    def holds(self, level: float) -> bool:
        """Whether neither is rarer than ``level``."""
        return min(self.trend, self.succession) >= level


def steadiness(runs: Sequence[Sequence[float]]) -> Steadiness:
    """Look at the batch means of runs, a row for each run, in order of time.

    Raises ``ValueError`` for fewer than ``FEWEST_BATCHES`` batches, rows of different lengths or
    values that are not finite.
    """
    if len({len(run) for run in runs}) != 1 or len(runs[0]) < FEWEST_BATCHES:
        raise ValueError(f"runs must have one length, of {FEWEST_BATCHES} batches or more")
    rows = np.asarray(runs, dtype=np.float64)
    if not np.isfinite(rows).all():
        raise ValueError("a batch mean is not finite")
    count, batches = rows.shape
    apart = rows - rows.mean(axis=1, keepdims=True)
    place = np.arange(batches) - (batches - 1) / 2
    squares = float((apart**2).sum())
    if squares <= 1e-20 * float((rows**2).sum()):
        return Steadiness(1.0, 1.0)  # all alike
    per_batch = float((apart @ place).sum()) / (count * float((place**2).sum()))
    left = apart - per_batch * place
    freedom = count * (batches - 1) - 1
    error = math.sqrt(float((left**2).sum()) / freedom / (count * float((place**2).sum())))
    trend = 1.0
    if per_batch:
        t = abs(per_batch) / error if error else math.inf
        trend = float(2 * scipy.special.stdtr(freedom, -t))
    # Deviations from a mean of their own lean against each other by one in the number of batches.
    following = float((apart[:, 1:] * apart[:, :-1]).sum()) / squares + 1 / batches
    succession = float(scipy.special.ndtr(-following * math.sqrt(count * batches)))
    return Steadiness(trend, succession)
