"""How much of the start of a run to leave out, because the line was still filling.

Source: K. P. White, *An effective truncation heuristic for bias reduction in simulation
output*, Simulation 69 (1997); in the form on means of five by K. P. White, M. J. Cobb and
S. C. Spratt, *A comparison of five steady-state truncation heuristics for simulation* (2000).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

_BATCH = 5
_FEWEST_BATCHES = 10
# The last few batches could make any tail look smooth by chance (common practice, no source).
_TAIL_BATCHES = 5


@dataclass(frozen=True)
class WarmUp:
    """``length`` observations to leave out; ``settled`` is false where that is not enough.

    A length beyond half of the series means the run was too short to tell: make it longer.
    """

    length: int
    settled: bool


def mser5(series: Sequence[float]) -> WarmUp:
    """Warm-up length by MSER-5, in observations (a multiple of five).

    Of all ways to cut the start off, the one is taken that makes the standard error of the
    mean of what remains least, after averaging five successive observations into one. The
    series must be evenly spaced: one run, or the mean over several runs moment by moment.
    Raises ``ValueError`` for fewer than 50 observations or values that are not finite.
    """
    observations = np.asarray(series, dtype=np.float64)
    if observations.ndim != 1 or len(observations) < _BATCH * _FEWEST_BATCHES:
        raise ValueError(
            f"series has the shape {observations.shape}; "
            f"{_BATCH * _FEWEST_BATCHES} observations or more in a row are needed"
        )
    if not np.isfinite(observations).all():
        raise ValueError("series holds a value that is not finite; every moment needs one")
    count = len(observations) // _BATCH
    batches = observations[: count * _BATCH].reshape(count, _BATCH).mean(axis=1)
    # Measured from the last batch, so that the sums of squares lose no digits to a large mean.
    batches = batches - batches[-1]
    remaining = np.arange(count, 0, -1)
    sums = np.cumsum(batches[::-1])[::-1]
    squares = np.cumsum(batches[::-1] ** 2)[::-1]
    statistic = np.maximum(squares - sums**2 / remaining, 0) / remaining**2
    cut = int(np.argmin(statistic[: count - _TAIL_BATCHES + 1]))
    return WarmUp(length=cut * _BATCH, settled=cut * 2 <= count)
