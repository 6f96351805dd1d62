"""How often an interval covers the truth: by repeating what a study does, many times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.statistics import (
    Proportion,
    Quantile,
    exact_proportion,
    more_runs_needed,
    narrow_enough,
    paired_interval,
    quantile_of,
    student_interval,
)

Numbers = NDArray[np.float64]
LEVEL = 0.95


@dataclass(frozen=True)
class Covered:
    """How many of the intervals held the truth, and how many runs one rested on, on average."""

    share: Proportion
    runs: float

    def words(self) -> str:
        """The share in per cent, and what so many repetitions can tell about it."""
        share, low, high = (
            f"{100 * each:.1f}" for each in (self.share.value, self.share.low, self.share.high)
        )
        return f"{share} ({low} to {high})"


Draw = Callable[[int], list[float]]
"""So many further runs."""


def repeated(
    pool: Numbers, one: Callable[[Draw], tuple[bool, int]], times: int, seed: int
) -> Covered:
    """Repeat a study ``times`` times on runs drawn from a pool, each run as likely as any other.

    To such a study the pool is the world, so the truth is known: it is the pool's own.
    ``one`` answers whether its interval held the truth and how many runs it took.
    """
    luck = np.random.default_rng(seed)
    held = runs = 0
    for _ in range(times):
        covers, made = one(lambda count: luck.choice(pool, count).tolist())
        held += covers
        runs += made
    return Covered(exact_proportion(held, times), runs / times)


def fixed(truth: float, size: int) -> Callable[[Draw], tuple[bool, int]]:
    """Student's interval from a number of runs settled beforehand."""
    return lambda draw: (student_interval(draw(size), LEVEL).contains(truth), size)


def paired(truth: float, a: Numbers, b: Numbers, size: int) -> Callable[[Draw], tuple[bool, int]]:
    """The paired interval of a - b; what is drawn are the numbers of the pairs."""

    def one(draw: Draw) -> tuple[bool, int]:
        pairs = np.array(draw(size), dtype=np.intp)
        found = paired_interval(a[pairs].tolist(), b[pairs].tolist(), LEVEL)
        return found.interval.contains(truth), size

    return one


def quantile(truth: float, share: float, size: int) -> Callable[[Draw], tuple[bool, int]]:
    """The interval of a percentile, by order statistics."""

    def one(draw: Draw) -> tuple[bool, int]:
        found: Quantile = quantile_of(draw(size), share, LEVEL)
        assert found.low is not None
        assert found.high is not None
        return found.low <= truth <= found.high, size

    return one


def chance(truth: float, bar: float, size: int) -> Callable[[Draw], tuple[bool, int]]:
    """The interval of the chance that a run stays below ``bar``."""

    def one(draw: Draw) -> tuple[bool, int]:
        below = sum(value < bar for value in draw(size))
        return exact_proportion(below, size, LEVEL).contains(truth), size

    return one


def until_narrow(
    truth: float, narrow: float, *, first: int, most: int = 200
) -> Callable[[Draw], tuple[bool, int]]:
    """Runs added in batches until the interval is narrow, as studies do."""

    def one(draw: Draw) -> tuple[bool, int]:
        values = draw(first)
        while (more := more_runs_needed(values, narrow, most, LEVEL)) > 0:
            values += draw(more)
        return student_interval(values, LEVEL).contains(truth), len(values)

    return one


def one_by_one(
    truth: float, narrow: float, *, least: int, most: int = 200
) -> Callable[[Draw], tuple[bool, int]]:
    """Runs added one at a time until the interval is narrow."""

    def one(draw: Draw) -> tuple[bool, int]:
        values = draw(least)
        while not narrow_enough(values, narrow, LEVEL) and len(values) < most:
            values += draw(1)
        return student_interval(values, LEVEL).contains(truth), len(values)

    return one
