"""Two variants on the same draws: what is shown, and how many more runs would show it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from linesim.statistics import (
    SQUARE,
    Crossing,
    Interval,
    PairedInterval,
    interval_of,
    paired_interval,
    runs_needed_to_show,
)
from linesim.statistics.intervals import t_factor
from linesim.studies.outcome import Foreseen, Outcome

Pick = Callable[[Outcome], float]

_COUNTLESS = 1_000_000


@dataclass(frozen=True)
class Difference(PairedInterval):
    """Paired difference of a figure, and what it would take to show it.

    ``more_runs`` is how many further runs would show a difference of this size with a chance of
    80 %; 0 where one is shown already, None where it would take more than a million or runs cannot
    tell at all.
    """

    more_runs: int | None


def reams(outcome: Outcome) -> float:
    """Good reams in a week of 168 h."""
    return outcome.reams_per_week


def crossed(rows: Sequence[Outcome]) -> Crossing | None:
    """What is foreseen of runs of plants crossed with luck; None where they are not crossed."""
    if not is_crossed(rows):
        return None
    whole = len(rows) // SQUARE * SQUARE
    foreseen = [row.foreseen for row in rows[:whole:SQUARE] if row.foreseen is not None]
    return crossing_of(foreseen) if len(foreseen) * SQUARE == whole else Crossing()


def crossing_of(foreseen: Sequence[Foreseen]) -> Crossing:
    """What is foreseen of the plants of whole squares, one after the other."""
    if not foreseen:
        return Crossing()
    return Crossing(np.array([each.moved for each in foreseen]), np.array(foreseen[0].covariance))


def difference(
    a: Sequence[float], b: Sequence[float], level: float = 0.95, *, crossed: Crossing | None = None
) -> Difference:
    """Interval of a - b over rows that met the same random numbers."""
    paired = paired_interval(a, b, level, crossed=crossed)
    more = 0 if paired.shown else runs_to_tell(paired.interval, 0.0, crossed=crossed)
    return Difference(paired.interval, paired.unpaired_half_width, more)


def share_not_known(rows: Sequence[Outcome], values: Sequence[float]) -> float | None:
    """How much of the variance of single runs is what is not known of the line, the rest luck.

    None where nothing of it is doubted.
    """
    if not is_crossed(rows):
        return None
    found = interval_over(rows, values)
    doubt = found.doubt / t_factor(found.level, found.freedom)
    luck = found.half_width / t_factor(found.level, found.n - 1) * math.sqrt(found.n)
    # A run is the mean of plant and image under its luck, and half their difference off it.
    single = luck**2 + float(np.mean(np.square(found.shifts)))
    return min(1.0, doubt**2 / single) if single else 0.0


def is_crossed(rows: Sequence[Outcome]) -> bool:
    """Whether these are runs of plants crossed with luck."""
    return bool(rows) and rows[0].plant != 0


def beyond_runs(interval: Interval, bar: float = 0.0) -> bool:
    """Whether what is not known alone reaches from the mean to ``bar``, so that no run tells."""
    return interval.doubt > 0 and interval.doubt >= abs(interval.mean - bar)


def runs_to_tell(interval: Interval, bar: float, *, crossed: Crossing | None = None) -> int | None:
    """Further runs that would tell the mean from ``bar`` with a chance of 80 %, if it is so far.

    None where it would take about a million or more, or no run can tell (:func:`beyond_runs`).
    Where the runs are ``crossed`` two of them share a luck.
    """
    if beyond_runs(interval, bar):
        return None
    apart = abs(interval.mean - bar)
    if interval.doubt:
        # Luck may take what doubt leaves of the distance.
        apart = math.sqrt(apart**2 - interval.doubt**2)
    error = interval.half_width / t_factor(interval.level, interval.n - 1)
    sd = error * math.sqrt(interval.n)
    if not apart or sd / apart >= _COUNTLESS**0.5 / 3:
        return None
    more = max(1, runs_needed_to_show(apart, sd, interval.level) - interval.n)
    return 2 * more if crossed else more


def between(
    a: Sequence[Outcome], b: Sequence[Outcome], pick: Pick, level: float = 0.95
) -> Difference:
    """Interval of a figure of ``a`` less that of ``b``, run by run."""
    first, second = ([pick(each) for each in rows] for rows in (a, b))
    found = difference(first, second, level, crossed=crossed(a))
    return replace(found, interval=_of_plants(found.interval, a))


def jackknifed(
    rows: Sequence[Outcome],
    figure: Callable[[Sequence[int]], float],
    level: float = 0.95,
    by: Crossing | None = None,
    *,
    least: float = -math.inf,
) -> Interval:
    """Interval for a figure that is no mean of runs, such as sales cut off by demand.

    ``figure`` is worked out from the runs with the numbers it is given: from all of them, and
    with each left out in turn. ``by`` is what is foreseen of it, where that is not what is
    foreseen of all figures; ``least`` is what it cannot be below.
    """
    whole, *parts = (figure(which) for which in all_and_each_left_out(len(rows)))
    return replace(from_left_out(rows, whole, parts, level, by), least=least)


def all_and_each_left_out(count: int) -> list[list[int]]:
    """The numbers of all runs, then those without each of them in turn."""
    return [[n for n in range(count) if n != out] for out in (-1, *range(count))]


def from_left_out(
    rows: Sequence[Outcome],
    whole: float,
    parts: Sequence[float],
    level: float = 0.95,
    by: Crossing | None = None,
) -> Interval:
    """Interval for a figure, from what it is with all runs and with each left out in turn.

    The jackknife (Quenouille 1956, Tukey 1958).
    """
    count = len(rows)
    pseudo = [count * whole - (count - 1) * part for part in parts]
    return replace(interval_over(rows, pseudo, level, by), mean=whole)


def interval_over(
    rows: Sequence[Outcome],
    values: Sequence[float],
    level: float = 0.95,
    by: Crossing | None = None,
    *,
    least: float = -math.inf,
) -> Interval:
    """Interval of a figure that each of these runs has a value of; ``by``, ``least`` as above."""
    found = interval_of(values, level, crossed=by or crossed(rows))
    return replace(_of_plants(found, rows), least=least)


def _of_plants(interval: Interval, rows: Sequence[Outcome]) -> Interval:
    """The interval with the number of the first plant that its runs are of."""
    return replace(interval, plant=rows[0].plant or 1)


def mean_of(rows: Sequence[Outcome], pick: Pick, level: float = 0.95) -> Interval:
    """Interval of a figure over runs: of luck alone, or in two parts where they are crossed.

    It is of what there can be none of, but not less than none: output, stops, hours, waste.
    """
    return interval_over(rows, [pick(each) for each in rows], level, least=0)
