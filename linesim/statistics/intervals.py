"""Confidence intervals for the mean of independent runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim.statistics.formatting import format_with_interval


@dataclass(frozen=True)
class Interval:
    """A mean and the half width of its confidence interval, from *n* independent values.

    ``mean`` and ``half_width`` are in ``unit``; the half width is infinite where there is one
    value only, which says nothing about the spread. ``level`` is the chance, 0 to 1, with which
    such an interval covers the true mean. ``half_width`` is for the luck of the runs, which more
    of them narrow; ``doubt`` is for what is not known of the line, which no run narrows. The ends
    take in both, as two spreads that have nothing to do with each other.
    """

    mean: float
    half_width: float
    level: float
    n: int
    unit: str = ""
    doubt: float = 0.0
    freedom: float = math.inf
    """Degrees of freedom of Student's factor in ``doubt``."""
    shifts: tuple[float, ...] = field(default=(), compare=False, repr=False)
    """What the doubt made of it in each square of crossed runs, under either luck."""
    plant: int = field(default=1, compare=False, repr=False)
    """Number of the first of these squares' plants."""
    prices: tuple[tuple[str, float], ...] = field(default=(), compare=False, repr=False)
    """Of each doubted price, by its name, what it does to the figure at one normal score."""
    least: float = field(default=-math.inf, compare=False, repr=False)
    """What the figure cannot be below, such as 0 of a count: no end of the interval is, either.

    The true mean does not lie there, so the interval covers it as often without that part of it
    (M. Mandelkern 2002, *Statistical Science* 17:149).
    """

    def text(self, scale: float = 1.0) -> str:
        """Mean and half widths times ``scale``, with no more digits than are known."""
        parts = self.mean * scale, self.half_width * scale, self.doubt * scale
        return format_with_interval(*parts, self.least * scale)

    def times(self, factor: float) -> Interval:
        """The same of a figure so many times as large."""
        return replace(
            self,
            mean=self.mean * factor,
            half_width=self.half_width * abs(factor),
            doubt=self.doubt * abs(factor),
            shifts=tuple(each * factor for each in self.shifts),
            least=self.least * factor if factor > 0 else -math.inf,
            prices=tuple((name, each * factor) for name, each in self.prices),
        )

    @property
    def together(self) -> Interval:
        """The same with both parts in its half width."""
        return replace(self, half_width=self.both, doubt=0.0)

    @property
    def both(self) -> float:
        """Half width with both parts in it."""
        return math.hypot(self.half_width, self.doubt)

    @property
    def low(self) -> float:
        """Lower end of the interval."""
        return max(self.least, self.mean - self.both)

    @property
    def high(self) -> float:
        """Upper end of the interval."""
        return self.mean + self.both

    @property
    def relative_half_width(self) -> float:
        """Half width of luck by the size of the mean; infinite for a mean of 0 not exact."""
        if self.half_width == 0:
            return 0.0
        return self.half_width / abs(self.mean) if self.mean else math.inf

    def contains(self, value: float) -> bool:
        """Whether *value* lies within the interval, its ends included."""
        return self.low <= value <= self.high


@dataclass(frozen=True)
class Bounds:
    """A figure judged from ``n`` values, and the ends of its interval, not alike on both sides."""

    value: float
    low: float
    high: float
    level: float
    n: int

    def contains(self, value: float) -> bool:
        """Whether *value* lies within the interval, its ends included."""
        return self.low <= value <= self.high


def student_interval(values: Sequence[float], level: float = 0.95) -> Interval:
    """Interval for the mean of independent, roughly normal values ("Student" 1908).

    Mean and t(n-1) s / sqrt(n). The values must be independent: one per run, not successive
    hours of one run. Raises ``ValueError`` for fewer than two values, values that are not
    finite, or a level outside 0 to 1.

    >>> interval = student_interval([10, 12, 14])
    >>> interval.mean, round(interval.half_width, 3)
    (12.0, 4.968)
    """
    sample = finite_sample("values", values)
    half_width = t_factor(level, len(sample) - 1) * standard_error(sample)
    return Interval(float(sample.mean()), half_width, level, len(sample))


def finite_sample(name: str, values: Sequence[float]) -> NDArray[np.float64]:
    """The values as an array; ``ValueError`` unless there are two or more, all finite."""
    sample = np.asarray(values, dtype=np.float64)
    if sample.ndim != 1 or len(sample) < 2:
        raise ValueError(
            f"{name} has the shape {sample.shape}; two values or more in a row are needed, "
            "since one run says nothing about the spread"
        )
    if not np.isfinite(sample).all():
        raise ValueError(f"{name} holds a value that is not finite; every run needs a figure")
    return sample


def standard_error(sample: NDArray[np.float64]) -> float:
    """Standard error of the mean of *sample*."""
    # Equal values have no spread, though their mean in binary may differ from each of them.
    if np.ptp(sample) == 0:
        return 0.0
    return float(sample.std(ddof=1)) / math.sqrt(len(sample))


def t_factor(level: float, degrees_of_freedom: float) -> float:
    """Two-sided Student factor for a confidence level between 0 and 1."""
    if not 0 < level < 1:
        raise ValueError(f"level is {level}; it must lie between 0 and 1, such as 0.95")
    return float(scipy.special.stdtrit(degrees_of_freedom, (1 + level) / 2))
