"""Which doubted figures make the spread: variance shares by regression on few crossed squares.

In a square of :mod:`linesim.statistics.crossed` half the difference of plant and image, d, is what
the doubted figures together make of a figure of the line, and the normal scores z of the plant are
known. All even effects (curvature, products of two) cancel in it, so

    d = sum over j of beta_j z_j + rest,    V_j = beta_j ** 2

for main effects (I. M. Sobol, 1993: first-order indices; here of what is odd). A study of default
size has 6 squares and a line fitted to a log 50 doubted figures: least squares has no answer. What
else is known is put into the prior:

    beta_j = most_j x_j,    x_j = scale (all + station of j + own of j)

``most_j`` is what figure j would do if every minute it costs its station reached the end of the
line. The part x_j that does is much alike for figures of one station, which stop the same machine
before the same buffer: exchangeable coefficients, after D. V. Lindley and A. F. M. Smith (1972,
Journal of the Royal Statistical Society B 34). So a few squares settle what tens of figures share.
Where a few figures make all of it, whatever their station, the own parts must be free to: each has
a half-Cauchy scale of its own (C. M. Carvalho, N. G. Polson and J. G. Scott, The horseshoe
estimator, Biometrika 97, 2010), which leaves the great ones alone and shrinks the others. Drawn by
Gibbs sampling as in E. Makalic and D. F. Schmidt (2016) and A. Bhattacharya, A. Chakraborty and
B. K. Mallick (2016).

The noise is known from the two lucks of each square, which met the same plant. With 24 runs and 45
figures this is nearer to the truth than ridge regression with the same ``most`` and than least
squares, and its intervals hold the truth (``tests/statistics/test_variance_shares.py``); where 3 of
45 matter that nothing foretells, 24 runs have six plants in them and no method finds them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.statistics.crossed import SQUARE

_Array = NDArray[np.float64]
_Ints = NDArray[np.int_]

_ALL, _STATION, _OWN = 0.4, 0.4, 0.2
"""Standard deviations of the parts of x, so that x is seldom beyond 1."""
_NOISES = np.array([0.4, 0.7, 1.0, 1.6, 3.0])
"""Times what the lucks say, each as likely as the lucks make it."""
_RESTS = np.array([0.0, 0.03, 0.1, 0.3])
"""Variance of what is no main effect, as a part of all."""
_DRAWS, _BEFORE = 1000, 250
_LEAST = 1e-6
MOST_RUNS = 2000
"""Nobody is asked for more runs than so many to tell shares."""
_TOLD, _TRUTHS = 0.9, 60


@dataclass(frozen=True)
class MainEffects:
    """What each group of figures makes of the variance, in draws of the posterior.

    ``shares`` is (draws, groups), each a part of all with the rest in it, 0 to 1.
    """

    shares: _Array
    runs_to_tell: int | None
    """Runs in all that would tell which group makes most, in 9 of 10 cases; 0 where these do, None
    where :data:`MOST_RUNS` would not."""

    @property
    def rest(self) -> _Array:
        """What main effects leave, by draws: three figures at once, and what is not straight."""
        return np.asarray(1 - self.shares.sum(axis=1))


def main_effects(
    shifts: Sequence[float],
    scores: _Array,
    most: _Array,
    stations: Sequence[int],
    groups: Sequence[int],
    correlation: _Array | None = None,
    *,
    seed: int,
) -> MainEffects:
    """Shares of groups of figures in the variance of what is not known.

    ``shifts`` are the half differences, (squares, 2 lucks) row by row; ``scores`` (squares,
    figures) those of the plants. ``most`` is by figure and signed, in the unit of the shifts;
    ``stations`` and ``groups`` tell figures of one station and of one group by equal numbers from
    0. ``correlation`` is that of the scores, of independent ones unless given; those of different
    groups are. The same ``seed`` gives the same. Raises ``ValueError`` for shapes that do not go
    together.
    """
    halves = np.asarray(shifts, dtype=np.float64).reshape(-1, 2)
    squares, figures = scores.shape
    if len(halves) != squares or not figures == len(most) == len(stations) == len(groups):
        raise ValueError(f"{len(halves)} squares, scores {scores.shape}, {len(most)} figures")
    bits = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, squares, figures])))
    parts = _parts(most, np.asarray(stations))
    found = _Sampled.of(halves, scores @ parts, parts.shape[1] - figures, bits)
    together = np.eye(figures) if correlation is None else correlation
    variances = _variances(found.parts @ parts.T, together, np.asarray(groups))
    whole = variances.sum(axis=1) + found.rests
    shares = variances / np.where(whole > 0, whole, 1)[:, None]
    runs = _runs_to_tell(found, parts, together, np.asarray(groups), 2 * SQUARE * squares, bits)
    return MainEffects(shares, runs)


def _parts(most: _Array, stations: _Ints) -> _Array:
    """Coefficients of figures from what all share, each station and each figure has: by columns."""
    of_station = stations[:, None] == np.arange(stations.max() + 1)
    columns = [np.ones((len(most), 1)), of_station, np.eye(len(most))]
    least = _LEAST * max(float(np.abs(most).max()), _LEAST)
    signed = np.where(most < 0, -1.0, 1.0) * np.maximum(np.abs(most), least)
    return np.asarray(signed[:, None] * np.hstack(columns))


@dataclass(frozen=True)
class _Sampled:
    """Draws of the posterior: parts (draws, columns), with what they were met in."""

    parts: _Array
    priors: _Array
    """Variances of the parts that go with each draw."""
    variances: _Array
    """Of a square's d about its main effects, for each draw ..."""
    rests: _Array
    """... and how much of it is no luck."""

    @classmethod
    def of(
        cls, halves: _Array, columns: _Array, shared: int, bits: np.random.Generator
    ) -> _Sampled:
        """``columns`` (squares, parts) are the scores by parts; ``shared`` come before the own."""
        squares, count = columns.shape
        unit = math.sqrt(float((halves**2).mean())) or 1.0
        told, columns = halves.mean(axis=1) / unit, columns / unit
        # A square's mean of both lucks has half the variance of one, a quarter of a difference's.
        apart = float(((halves[:, 0] - halves[:, 1]) ** 2).sum()) / 4 / unit**2
        luck, rest = (
            each.ravel()
            for each in np.meshgrid(np.maximum(_NOISES * apart / squares, _LEAST), _RESTS)
        )
        variance_of = luck + rest
        known = -0.5 * squares * (np.log(variance_of) + np.log(luck)) - 0.5 * apart / luck
        total = float(told @ told)
        if squares > count:
            turned, columns = np.linalg.qr(columns)
            told = turned.T @ told
        left = total - float(told @ told)
        usual = np.concatenate(
            [[_ALL], np.full(shared - 1, _STATION), np.full(count - shared, _OWN)]
        )
        usual **= 2
        local, aid, scale, scale_aid, now = np.ones(count), np.ones(count), 1.0, 1.0, 0
        found = cls(*(np.empty((_DRAWS, count)) for _ in range(2)), *np.empty((2, _DRAWS)))
        for draw in range(-_BEFORE, _DRAWS):
            prior, variance = usual * scale * local, float(variance_of[now])
            parts = _drawn_parts(columns, told, prior, variance, bits)
            # The half-Cauchy scales, by way of inverse gammas.
            own = slice(shared, None)
            odd = parts[own] ** 2 / (usual[own] * scale)
            local[own] = np.clip(
                (1 / aid[own] + odd / 2) / bits.exponential(size=len(odd)), 1e-6, 100
            )
            aid[own] = (1 + 1 / local[own]) / bits.exponential(size=len(odd))
            odd_of_all = float((parts**2 / (usual * local)).sum())
            scale = (1 / scale_aid + odd_of_all / 2) / bits.gamma((count + 1) / 2)
            scale_aid = (1 + 1 / scale) / bits.exponential()
            # No more than every minute reaches the end of the line.
            scale = min(scale, 1.0)
            error = left + float(((told - columns @ parts) ** 2).sum())
            logs = known - 0.5 * error / variance_of
            chances = np.exp(logs - logs.max()).cumsum()
            now = int(np.searchsorted(chances, bits.random() * chances[-1]))
            if draw >= 0:
                found.parts[draw], found.priors[draw] = parts, prior
                found.variances[draw] = variance * unit**2
                found.rests[draw] = rest[now] * unit**2
        return found


def _drawn_parts(
    columns: _Array, told: _Array, prior: _Array, variance: float, bits: np.random.Generator
) -> _Array:
    """One draw of the parts, given their prior variances and that of the noise."""
    spread = math.sqrt(variance)
    scaled, seen = columns / spread, told / spread
    guess = np.sqrt(prior) * bits.standard_normal(len(prior))
    off = seen - scaled @ guess - bits.standard_normal(len(seen))
    within = (scaled * prior) @ scaled.T + np.eye(len(seen))
    return np.asarray(guess + prior * (scaled.T @ np.linalg.solve(within, off)))


def _variances(betas: _Array, correlation: _Array, groups: _Ints) -> _Array:
    """What each group makes of the variance: (draws, groups)."""
    found = np.empty((len(betas), int(groups.max()) + 1))
    for group in range(found.shape[1]):
        mine = np.flatnonzero(groups == group)
        those = betas[:, mine]
        found[:, group] = ((those @ correlation[np.ix_(mine, mine)]) * those).sum(axis=1)
    return found


def _runs_to_tell(
    found: _Sampled,
    parts: _Array,
    correlation: _Array,
    groups: _Ints,
    runs: int,
    bits: np.random.Generator,
) -> int | None:
    """How many runs, from ``runs`` by doubling, let draws agree on which group makes most.

    With more squares a posterior lies about the truth, here a draw of the present one, with the
    spread that so many squares leave.
    """

    def top(each: _Array) -> _Ints:
        return np.asarray(_variances(each @ parts.T, correlation, groups).argmax(axis=1))

    if np.bincount(top(found.parts)).max() >= _TOLD * len(found.parts):
        return 0
    expected = parts.T @ correlation @ parts
    chosen = range(0, _DRAWS, _DRAWS // _TRUTHS)
    while True:
        runs = min(runs, MOST_RUNS)
        middles, others = [], []
        for draw in chosen:
            root = np.sqrt(found.priors[draw])
            tells = runs / SQUARE / found.variances[draw] * expected
            lower = np.linalg.cholesky(np.eye(len(root)) + root[:, None] * tells * root)
            first, second = bits.standard_normal((2, len(root)))
            middles.append(found.parts[draw] + root * np.linalg.solve(lower.T, first))
            others.append(middles[-1] + root * np.linalg.solve(lower.T, second))
        if (top(np.array(middles)) == top(np.array(others))).mean() >= _TOLD:
            return runs
        if runs == MOST_RUNS:
            return None
        runs *= 2
