"""MSER-5 where the best answer is known: how much it cuts off, and what the mean then is worth.

A first-order autoregression X(t) = mean + phi (X(t-1) - mean) + noise that starts ``start``
deviations from its mean has all moments in closed form, so the mean squared error of the mean of
what is left after a cut is known for every cut, and with it the best cut.

What is published, from memory. K. P. White, *An effective truncation heuristic for bias reduction
in simulation output* (1997), and K. P. White, M. J. Cobb and S. C. Spratt, *A comparison of five
steady-state truncation heuristics for simulation* (2000): the rule takes most of the bias away at
little cost, and of the five the form on means of five does best. W. W. Franklin and K. P. White,
*Stationarity tests and MSER-5* (2008): on autoregressions with bias put in, it cuts where the
bias has sunk into the noise, and next to nothing where there is none. K. Hoad, S. Robinson and
R. Davies, *Automating warm-up length estimation* (2010): a cut beyond half of the series says that
the series is too short to tell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from linesim.statistics import mser5

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Autoregression:
    """``phi`` is the memory, ``start`` the first value in standard deviations from the mean."""

    phi: float
    start: float
    length: int

    def series(self, luck: np.random.Generator) -> Numbers:
        """One series with mean 0 and deviation 1 in the long run."""
        noise = luck.normal(0, np.sqrt(1 - self.phi**2), self.length)
        noise[0] = self.start
        return np.asarray(lfilter([1.0], [1.0, -self.phi], noise))

    def squared_error(self, cut: int) -> float:
        """Mean squared error of the mean of what a cut leaves, exactly."""
        kept, phi = self.length - cut, self.phi
        bias = self.start * phi**cut * (1 - phi**kept) / (1 - phi) / kept
        # Variance of the sum: that of a stationary series, less what the known start takes away.
        lag = np.arange(1, kept)
        steady = kept + 2 * float(((kept - lag) * phi**lag).sum())
        known = (phi**cut * (1 - phi**kept) / (1 - phi)) ** 2
        return float(bias**2 + (steady - known) / kept**2)

    def best_cut(self) -> int:
        """The cut, in fives and within the first half, that makes the error least."""
        cuts = range(0, self.length // 2 + 1, 5)
        return min(cuts, key=self.squared_error)


@dataclass(frozen=True)
class Judged:
    """What MSER-5 did with many series. Errors are mean squared errors of the mean."""

    best_cut: int
    median_cut: float
    error_uncut: float
    error_best: float
    error: float
    bias: float
    unsettled: float
    """Share of the series it called too short to tell."""


def judge(process: Autoregression, times: int, seed: int) -> Judged:
    """Cut ``times`` series by MSER-5; where it cannot tell, the series is left out."""
    luck = np.random.default_rng(seed)
    cuts, means, unsettled = [], [], 0
    for _ in range(times):
        series = process.series(luck)
        found = mser5(series.tolist())
        unsettled += not found.settled
        if found.settled:
            cuts.append(found.length)
            means.append(float(series[found.length :].mean()))
    best = process.best_cut()
    return Judged(
        best_cut=best,
        median_cut=float(np.median(cuts)) if cuts else float("nan"),
        error_uncut=process.squared_error(0),
        error_best=process.squared_error(best),
        error=float(np.mean(np.square(means))) if means else float("nan"),
        bias=float(np.mean(means)) if means else float("nan"),
        unsettled=unsettled / times,
    )


PROCESSES = (
    Autoregression(phi=0.0, start=0.0, length=1000),
    Autoregression(phi=0.5, start=0.0, length=1000),
    Autoregression(phi=0.9, start=0.0, length=1000),
    Autoregression(phi=0.5, start=10.0, length=1000),
    Autoregression(phi=0.9, start=10.0, length=1000),
    Autoregression(phi=0.98, start=10.0, length=1000),
    Autoregression(phi=0.98, start=10.0, length=5000),
    Autoregression(phi=0.99, start=20.0, length=400),
)


def rows(times: int, seed: int) -> list[tuple[str, ...]]:
    """The rows of the table: a process each."""
    found = []
    for number, process in enumerate(PROCESSES):
        judged = judge(process, times, seed + number)
        ratio = judged.error / judged.error_best
        found.append(
            (
                f"{process.phi:g}",
                f"{process.start:g}",
                f"{process.length:,}",
                f"{judged.best_cut}",
                f"{judged.median_cut:.0f}",
                f"{judged.error_uncut / judged.error_best:.2f}",
                f"{ratio:.2f}",
                f"{100 * judged.unsettled:.1f} %",
            )
        )
    return found
