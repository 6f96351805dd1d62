"""Which of several things is best: runs add up, and what is clearly worse drops out on the way.

The fully sequential procedure with an indifference zone of S.-H. Kim and B. L. Nelson, "A fully
sequential procedure for indifference-zone selection in simulation", ACM TOMACS 11 (2001), with
c = 1; formulas from memory. Runs of one number met the same luck, so that a comparison goes by
the variance of differences.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def not_out(
    values: Sequence[Sequence[float]], indifference: float, first: int, error: float = 0.05
) -> tuple[int, ...]:
    """The places of those that have not dropped out, of which one is left in the end.

    ``values[i]`` are the values of the i-th, run by run; larger is better. Where the best is
    better than any other by ``indifference`` or more, and none is better by luck, the one that is
    left is the best with a chance of 1 - ``error``. Spreads are those of the ``first`` runs. What
    has fewer values than others had dropped out before.

    Raises ``ValueError`` for fewer than two ``first`` runs, or an indifference that is not above 0.

    >>> not_out([[1, 2, 3, 2], [1, 1, 2, 2], [9, 9, 10, 9]], 0.5, 3)
    (2,)
    """
    if first < 2 or not indifference > 0:
        raise ValueError("at least two first runs, and an indifference above 0, are needed")
    inside = list(range(len(values)))
    if len(inside) < 2:
        return tuple(inside)
    eta = ((2 * error / (len(values) - 1)) ** (-2 / (first - 1)) - 1) / 2
    h_squared = 2 * eta * (first - 1)
    start = np.array([each[:first] for each in values], dtype=np.float64)
    variances = (start[:, None, :] - start[None, :, :]).var(axis=2, ddof=1)
    sums = start.sum(axis=1)
    for count in range(first, max(map(len, values)) + 1):
        if count > first:
            inside = [each for each in inside if len(values[each]) >= count]
            for each in inside:
                sums[each] += values[each][count - 1]
        # Of sums, not means: that of j must not be ahead by more than the rest of the runs allow.
        slack = np.maximum(0.0, h_squared * variances / indifference - indifference * count) / 2
        inside = [
            i for i in inside if all(sums[i] >= sums[j] - slack[i, j] for j in inside if j != i)
        ]
        if len(inside) == 1:
            break
    return tuple(inside)
