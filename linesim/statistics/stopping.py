"""Running until the answer is narrow enough, or the budget is spent.

A sequential rule after Y. S. Chow and H. Robbins, *On the asymptotic theory of fixed-width
sequential confidence intervals* (1965). Whoever looks at the interval to decide whether to go on
stops a little too early now and then: where the first few runs happen to lie close together. So
the interval covers the truth somewhat less often than its level says: from two runs on in some
82 cases of a hundred instead of 95. A number of runs that is never gone below keeps that small:
with ten it was 91, with twenty 94 (``tests/trust/interval_coverage.py`` measures it).
"""

import math
from collections.abc import Sequence

import numpy as np

from linesim.statistics.intervals import finite_sample, student_interval
from linesim.statistics.sample_size import runs_needed_for_half_width

FEWEST_RUNS = 20
"""Before so many runs nobody stops because they lie close together."""


def narrow_enough(values: Sequence[float], relative_half_width: float, level: float = 0.95) -> bool:
    """Whether the interval of *values* is within +- that share (0.01 for 1 %) of its mean."""
    _check_wish(relative_half_width)
    return student_interval(values, level).relative_half_width <= relative_half_width


def more_runs_needed(
    values: Sequence[float], relative_half_width: float, most: int, level: float = 0.95
) -> int:
    """Further runs to plan, judged from *values*, so that there are never more than *most*.

    0 where the interval is narrow enough or the budget is spent. Fewer than ``FEWEST_RUNS`` are
    made up to that number first, unless they are all the same: they know too little of the
    spread. Fit for runs in parallel, where a batch is planned at a time.

    >>> more_runs_needed([90, 110, 100, 95, 105] * 4, relative_half_width=0.025, most=100)
    15
    """
    sample = finite_sample("values", values)
    left = max(0, most - len(sample))
    if len(sample) < FEWEST_RUNS and np.ptp(sample) > 0:
        _check_wish(relative_half_width)
        return min(left, FEWEST_RUNS - len(sample))
    if narrow_enough(values, relative_half_width, level):
        return 0
    wanted = abs(float(sample.mean())) * relative_half_width
    # Judged by the normal factor first: a mean near 0 asks for more than can be counted.
    if wanted == 0 or float(sample.std(ddof=1)) / wanted > math.sqrt(most):
        return left
    needed = runs_needed_for_half_width(float(sample.std(ddof=1)), wanted, level)
    return min(left, max(1, needed - len(sample)))


def _check_wish(relative_half_width: float) -> None:
    if not (math.isfinite(relative_half_width) and relative_half_width > 0):
        raise ValueError(
            f"relative_half_width is {relative_half_width}; it must be above 0, such as 0.01"
        )
