"""Comparing two variants of a line that met the same random numbers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from linesim.statistics.crossed import Crossing, interval_of
from linesim.statistics.intervals import Interval, finite_sample, standard_error, t_factor


@dataclass(frozen=True)
class PairedInterval:
    """The difference of two variants, run by run, and what the pairing was worth.

    ``unpaired_half_width`` is what the same figures give when taken as two independent
    samples (Welch 1947).
    """

    interval: Interval
    unpaired_half_width: float

    @property
    def narrowing(self) -> float:
        """How many times narrower the paired interval is; below 1 the pairing did harm.

        Infinite where every run differs by the same amount, 1 where nothing varies at all.
        """
        if self.interval.half_width > 0:
            return self.unpaired_half_width / self.interval.half_width
        return math.inf if self.unpaired_half_width > 0 else 1.0

    @property
    def shown(self) -> bool:
        """Whether there is a difference: its interval leaves out 0."""
        return not self.interval.contains(0)


def paired_interval(
    a: Sequence[float],
    b: Sequence[float],
    level: float = 0.95,
    *,
    crossed: Crossing | None = None,
) -> PairedInterval:
    """Interval for the mean of a - b, where a[i] and b[i] come from runs on the same draws.

    Where the runs are ``crossed`` its two parts are told apart, as :func:`interval_of` does.

    ``level`` is the chance, 0 to 1, with which such an interval covers the true difference.
    Raises ``ValueError`` where the two differ in length or hold fewer than two values.

    >>> answer = paired_interval([103, 111, 98], [100, 109, 95])
    >>> round(answer.interval.mean, 2), answer.shown
    (2.67, True)
    """
    first, second = finite_sample("a", a), finite_sample("b", b)
    if len(first) != len(second):
        raise ValueError(
            f"a has {len(first)} values and b has {len(second)}; pairs need one of each per run"
        )
    difference = interval_of((first - second).tolist(), level, crossed=crossed)
    return PairedInterval(
        difference,
        _welch_half_width(standard_error(first), standard_error(second), len(first), level),
    )


def _welch_half_width(first_error: float, second_error: float, runs: int, level: float) -> float:
    error = math.hypot(first_error, second_error)
    if error == 0:
        return 0.0
    # Shares of the variance, so that tiny errors do not underflow when raised to the fourth.
    first, second = (first_error / error) ** 2, (second_error / error) ** 2
    return t_factor(level, (runs - 1) / (first**2 + second**2)) * error
