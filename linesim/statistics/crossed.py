"""Intervals that tell two parts apart: the luck of the runs, and what is not known of the line.

Runs come in squares of four: a plant that agrees with what is known, and its mirror image (all that
is doubted on the other side of what is stated), each with the same two lucks. In the order of runs:
(plant, luck 1), (image, luck 1), (plant, luck 2), (image, luck 2).

*Luck*: the mean of plant and image under one luck is a figure of the line as stated, met by that
luck; over K squares there are 2K of them, and Student's t gives the half width of their mean.

*What is not known*: half the difference of plant and image, d, is what the doubt makes of the
figure. Both met the same luck, so luck takes no part in it but where the change shifts what
meets what; that part differs between the two lucks of a square, so the mean of d1 d2 is the
variance of the doubt alone: common random numbers in an experiment of input uncertainty after
R. C. H. Cheng and W. Holland (1997), mirrored (antithetic) and crossed.

Few squares judge that variance badly. But much of d is foreseen: it goes with how far the net rates
of the stations lie apart in plant and image, which needs no run, and whose covariance over all
plants is known. So d is regressed on them (a control variate): what the regression takes has the
variance f1' S f2, with the slopes f of either luck and that covariance S, and only the rest is
judged from the squares. On the short bridge with every cause doubted the half width of six squares
then strays by 12 % of itself, not by 35 %.

Where luck hides it the variance may come out at nothing, or below: not less than a twentieth of
that of the mean of both lucks is taken, and half of it where nothing was foreseen. The factor is
Student's t, its degrees of freedom from the share of the rest in the variance (F. E. Satterthwaite
1946), and no fewer than the rest has. How often both parts together hold the truth is measured by
``tests/trust/hidden_plants.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.statistics.intervals import (
    Interval,
    finite_sample,
    standard_error,
    student_interval,
    t_factor,
)

SQUARE = 4
"""Runs in a square."""
FEWEST_SQUARES = 2
ALIKE = 2
"""So many crossed runs count as one independent run where single runs are counted or ranked, not
averaged. Of the four of a square two share a luck: where all is luck they are two values, each
twice. Where all is the plant they are two as well, and lie on either side of what is stated, so
that they tell more than two drawn apart. With both at work they tell more than at either end."""
_SQUARES_FOR_A_SLOPE = 3
_ALIKE = 1e-12
_COUNTLESS = 1e6
_LEAST, _LEAST_UNFORESEEN = 1 / 20, 1 / 2


@dataclass(frozen=True)
class Crossing:
    """What is foreseen of crossed runs: ``moved`` of each square, and its covariance over plants.

    Shapes (squares, g) and (g, g); without them nothing is foreseen.
    """

    moved: NDArray[np.float64] | None = None
    covariance: NDArray[np.float64] | None = None

    def foreseen(self, squares: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Those of so many squares that bear a slope: a third as many, of the largest variance."""
        if self.moved is None or self.covariance is None:
            return np.zeros((squares, 0)), np.zeros((0, 0))
        variances = np.diag(self.covariance)
        largest = np.argsort(-variances, kind="stable")[: squares // _SQUARES_FOR_A_SLOPE]
        taken = [n for n in largest.tolist() if variances[n] > _ALIKE]
        return self.moved[:squares, taken], self.covariance[np.ix_(taken, taken)]


def interval_of(
    values: Sequence[float], level: float = 0.95, *, crossed: Crossing | None = None
) -> Interval:
    """Interval of the mean of runs: in two parts where they are ``crossed``, else of luck alone.

    A square that is not complete is left out. Raises ``ValueError`` as :func:`student_interval`,
    and for crossed runs of fewer than two squares.

    >>> interval_of([12, 6, 13, 8, 7, 11, 8, 13], crossed=Crossing()).text()
    '10 ± 1.4 ± 11'
    """
    if crossed is None:
        return student_interval(values, level)
    squares = squares_of(values)
    luck = squares.mean(axis=2).ravel()
    half = half_differences(squares)
    variance, freedom = _doubt(half, crossed)
    return Interval(
        float(luck.mean()),
        t_factor(level, len(luck) - 1) * standard_error(luck),
        level,
        len(luck),
        doubt=t_factor(level, freedom) * math.sqrt(variance),
        freedom=freedom,
        shifts=tuple(half.ravel().tolist()),
    )


def _doubt(half: NDArray[np.float64], crossed: Crossing) -> tuple[float, float]:
    """Variance of what is not known, from half differences (K, 2), and its degrees of freedom."""
    count = len(half)
    moved, covariance = crossed.foreseen(count)
    slopes = np.linalg.lstsq(moved, half, rcond=None)[0]
    rest = half - moved @ slopes
    left = count - moved.shape[1]
    both = slopes.mean(axis=1)
    taken = float(slopes[:, 0] @ covariance @ slopes[:, 1])
    of_rest = float((rest[:, 0] * rest[:, 1]).sum()) / left
    least = _LEAST if moved.shape[1] else _LEAST_UNFORESEEN
    most = float(both @ covariance @ both + (rest.mean(axis=1) ** 2).sum() / left)
    variance = max(taken + of_rest, least * most)
    of_rest, taken = max(of_rest, 0.0), max(taken, 0.0)
    spread = of_rest**2 / left + 2 * taken * of_rest / count
    freedom = variance**2 / spread if spread > 0 else 0.0
    return variance, min(max(freedom, float(left)), _COUNTLESS)


def squares_of(values: Sequence[float]) -> NDArray[np.float64]:
    """Values of crossed runs as squares: plant and image in the last of (K, 2 lucks, 2)."""
    whole = len(values) - len(values) % SQUARE
    sample = finite_sample("values", list(values)[:whole])
    if len(sample) < FEWEST_SQUARES * SQUARE:
        raise ValueError(
            f"{len(values)} crossed runs are too few; {FEWEST_SQUARES * SQUARE} or more"
        )
    return sample.reshape(-1, 2, 2)


def lucks(values: Sequence[float]) -> list[float]:
    """The mean of plant and image under each luck of crossed runs."""
    found: list[float] = squares_of(values).mean(axis=2).ravel().tolist()
    return found


def half_differences(squares: NDArray[np.float64]) -> NDArray[np.float64]:
    """What the doubt makes of the figure in each square, under either luck: (K, 2)."""
    return np.asarray((squares[..., 0] - squares[..., 1]) / 2)


def plants_weights(
    runs: int, plants: int, seed: int, *, crossed: Crossing | None = None
) -> NDArray[np.float64]:
    """Weights of runs that make figures of ``plants`` plants of them, by rows.

    A plant's figure is the mean, moved by what the runs say of luck and by what they say of doubt;
    one row serves all figures of all variants, so that a plant's figures belong together. Normal,
    with the factors of Student's t of :func:`interval_of` in their spread.
    """
    squares = runs // SQUARE
    bits = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, plants])))
    lucks = runs if crossed is None else 2 * squares
    luck = bits.standard_normal((plants, lucks)) / math.sqrt(lucks * (lucks - 1))
    luck -= luck.mean(axis=1, keepdims=True)
    luck *= np.sqrt((lucks - 1) / bits.chisquare(lucks - 1, (plants, 1)))
    luck += 1 / lucks
    if crossed is None:
        return luck
    weights = np.repeat(luck.reshape(plants, squares, 2, 1), 2, axis=3) / 2
    moved, covariance = crossed.foreseen(squares)
    left = squares - moved.shape[1]
    solved = np.linalg.pinv(moved)
    rest_of = np.eye(squares) - moved @ solved
    doubt = bits.standard_normal((plants, squares)) / math.sqrt(left)
    doubt *= np.sqrt(left / bits.chisquare(left, (plants, 1)))
    doubt = doubt @ rest_of
    values, axes = np.linalg.eigh(covariance)
    foreseen = bits.standard_normal((plants, len(values))) * np.sqrt(np.maximum(values, 0.0))
    doubt += foreseen @ axes.T @ solved
    # The mean of d over both lucks: d is half of plant less image.
    weights += doubt[:, :, None, None] / 4 * np.array([1.0, -1.0])
    none = np.zeros((plants, runs - SQUARE * squares))
    return np.concatenate([weights.reshape(plants, -1), none], axis=1)
