"""What to measure next: which doubts make most of the width of an answer, and what would narrow it.

Shares are those of :mod:`linesim.statistics.variance_shares`. What each figure would do if every
minute it costs its station reached the end of the line follows from the scenario: the net rate of
its station (:mod:`linesim.record.capacity`) one score below and one above what is stated. For the
spread of a law, whose mean stays, it is what the mean would do if it moved by 0.4 of what the
spread does: of what a buffer lets through of a stop, E(R - b)+, the derivative by the spread is at
most that of a normal R where b is its mean, 1 / sqrt(2 pi). Figures that set no rate count by a
tenth of their own relative change.

What more measuring leaves of a share: the variance of a rate or a mean goes by one over the number
of stops it rests on, so that a log of D days that goes on for two weeks leaves D / (D + 14), ten
more stops on n leave n / (n + 10), and a figure that was judged and is then known leaves nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linesim.record.capacity import BRIDGE, bridge_rate
from linesim.scenario import (
    CURRENCY,
    Doubted,
    Scenario,
    doubted,
    drawn,
    mean_doubted,
    scores,
    without_doubt,
)
from linesim.scenario.doubts import SCORE
from linesim.statistics import Interval, MainEffects, PairedInterval, main_effects
from linesim.statistics.intervals import t_factor
from linesim.studies.plants_met import NEAR, net_rates_by_figure, net_rates_moved

_SPREAD = 1 / math.sqrt(2 * math.pi)
_NO_RATE = 0.1
_NOTICED = 1e-9
_DAYS, _STOPS = 14.0, 10


@dataclass(frozen=True)
class MainFigure:
    """The figure that an answer is about; ``name`` is what it is of, such as "good reams a week".

    ``whole`` is what relative changes of the line are changes of, in the same unit: of a gain, the
    output that it is gained on.
    """

    name: str
    interval: Interval
    whole: float

    @classmethod
    def output(cls, found: Interval | None, name: str = "good reams a week") -> MainFigure | None:
        """What a line makes, or how long it takes; None where that is not known."""
        return None if found is None else cls(name, found, found.mean)

    @classmethod
    def gain(cls, found: PairedInterval | None, output: Interval | None) -> MainFigure | None:
        """What a change brings to an output in reams a week; the output where there is none."""
        if found is None or output is None:
            return cls.output(output)
        return cls("reams a week gained", found.interval, output.mean)

    @classmethod
    def money(cls, yearly: Interval, made: float) -> MainFigure:
        """What a change brings in a year; ``made`` is what the output earns that it is gained on"""
        return cls(f"money a year, {CURRENCY}", yearly, made)


@dataclass(frozen=True)
class Measurable:
    """Doubts that are measured together, and what they make of the width."""

    figures: tuple[Doubted, ...]
    share: float
    """Of the variance of what is not known, 0 to 1, with the ends of its interval."""
    low: float
    high: float
    more_days: float | None
    """What to measure: so many more days of log ..."""
    more_stops: int | None
    """... or so many more stops; where both are None, to measure what was judged."""
    both_then: float
    """Half width of the answer after that, luck and what is then not known."""


@dataclass(frozen=True)
class WhatToMeasure:
    """Doubts ranked by what they make of the width of ``figure``, the greatest first."""

    figure: MainFigure
    ranked: tuple[Measurable, ...]
    rest: float
    """Share of what no single doubt makes."""
    runs_to_tell: int | None
    """As :class:`~linesim.statistics.MainEffects` has it."""


@dataclass(frozen=True)
class AtMost:
    """What doubts that are measured together do at most: to the net rate of their station.

    ``half_width`` is of 95 %, relative to that rate, as ``then``, what more measuring leaves of it.
    """

    figures: tuple[Doubted, ...]
    station: str
    half_width: float
    more_days: float | None
    more_stops: int | None
    then: float


def at_most(scenario: Scenario) -> tuple[AtMost, ...]:
    """The doubts of a line by what they do at most, the greatest first: a first look, without runs.

    A buffer swallows some of it, and a station that waits loses nothing: that is for runs to tell.
    """
    figures = tuple(each for each in doubted(scenario) if not each.is_money)
    by_name = dict(zip(figures, reaches(without_doubt(scenario), figures), strict=True))
    found = []
    for group in _together(figures):
        station = max((by_name[each] for each in group), key=lambda pair: abs(pair[1]))[0]
        half_width = SCORE * math.hypot(*(by_name[each][1] for each in group))
        if station:
            days, stops, left = _more(group)
            then = half_width * math.sqrt(left)
            found.append(AtMost(group, station, half_width, days, stops, then))
    return tuple(sorted(found, key=lambda each: -each.half_width))


def what_to_measure(
    figure: MainFigure | None,
    scenarios: Iterable[Scenario],
    doubts: Sequence[Doubted],
    seed: int,
) -> WhatToMeasure | None:
    """Shares of the doubts in the width of an answer; None where its runs tell none.

    ``scenarios`` are the lines as stated that the runs were of, ``doubts`` what was drawn in them.
    """
    if figure is None or not (any(figure.interval.shifts) or any(figure.interval.prices)):
        return None
    interval = figure.interval
    told = _of_prices(interval, doubts)
    of_line = max(0.0, 1 - sum(share for _, share, *_ in told))
    rest, runs = of_line, None
    if any(interval.shifts):
        groups, found = _of_line(figure, scenarios, doubts, seed)
        tail = (1 - interval.level) / 2
        ends = np.quantile(found.shares, [tail, 1 - tail], axis=0)
        every = of_line * np.stack([found.shares.mean(axis=0), *ends], axis=1)
        told += [(group, *row) for group, row in zip(groups, every.tolist(), strict=True)]
        rest, runs = of_line * float(found.rest.mean()), found.runs_to_tell
    ranked = sorted((_measurable(interval, *each) for each in told), key=lambda each: -each.share)
    if ranked[0].figures[0].is_money:
        runs = 0
    return WhatToMeasure(figure, tuple(ranked), rest, runs)


_Told = tuple[tuple[Doubted, ...], float, float, float]
"""Figures, their share, and its ends."""


def _of_prices(interval: Interval, doubts: Sequence[Doubted]) -> list[_Told]:
    """Shares of prices: no run says them, what they do to the figure is known."""
    named = {each.name: each for each in doubts}
    factor = t_factor(interval.level, math.inf)
    widths = [(named[name], (factor * moved) ** 2) for name, moved in interval.prices]
    # The half width is that of a law which is not quite normal: they may add up to more than it.
    whole = max(interval.doubt**2, sum(width for _, width in widths))
    shares = [(figure, width / whole) for figure, width in widths]
    return [((figure,), share, share, share) for figure, share in shares]


def _of_line(
    figure: MainFigure, scenarios: Iterable[Scenario], doubts: Sequence[Doubted], seed: int
) -> tuple[list[tuple[Doubted, ...]], MainEffects]:
    """Groups of what is doubted of the line, and their shares by the runs."""
    interval = figure.interval
    which = [n for n, each in enumerate(doubts) if not each.is_money]
    figures = tuple(doubts[n] for n in which)
    met = [
        scores(figures, seed, interval.plant - 1 + square)
        for square in range(len(interval.shifts) // 2)
    ]
    every = _greatest(reaches(line, doubts) for line in scenarios)
    reach = [every[n] for n in which]
    groups = _together(figures)
    stations = list(dict.fromkeys(station for station, _ in reach))
    return groups, main_effects(
        interval.shifts,
        np.array([[plant[each.name] for each in figures] for plant in met]),
        np.array([relative * figure.whole for _, relative in reach]),
        [stations.index(station) for station, _ in reach],
        [number for each in figures for number, group in enumerate(groups) if each in group],
        _correlation(figures),
        seed=seed,
    )


def _together(figures: Sequence[Doubted]) -> list[tuple[Doubted, ...]]:
    """Figures that are measured together: of a stop cause, those from the same log."""
    groups: dict[tuple[object, ...], list[Doubted]] = {}
    for each in figures:
        known = (each.doubt.stops, each.doubt.days)
        logged = each.table == "stop" and known != (None, None)
        what = known if logged else (each.field,)
        groups.setdefault((each.table, each.entry, *what), []).append(each)
    return [tuple(group) for group in groups.values()]


def _correlation(figures: Sequence[Doubted]) -> NDArray[np.float64]:
    place = {each.name: number for number, each in enumerate(figures)}
    found = np.eye(len(figures))
    for number, each in enumerate(figures):
        mean = place.get(each.name.removesuffix(f".{each.part}"))
        if each.part and each.doubt.correlation is not None and mean is not None:
            found[number, mean] = found[mean, number] = each.doubt.correlation
    return found


def reaches(line: Scenario, figures: Sequence[Doubted]) -> list[tuple[str, float]]:
    """Of each figure, the station that it changes most and the relative change of its net rate.

    One score up, as if nothing else held the station; an empty name where no rate changes.
    """
    every = tuple(figures)
    moved = dict(zip([e.name for e in every], net_rates_by_figure(line, every, NEAR), strict=True))
    return [_reach(line, each, moved) for each in every]


def _reach(
    line: Scenario, figure: Doubted, moved: Mapping[str, Mapping[str, float]]
) -> tuple[str, float]:
    station, change = _most(moved[figure.name])
    found = station, change / NEAR
    if not found[0]:
        found = _of_bridge(line, figure)
    if found[0]:
        return found
    change = abs(figure.moved(figure.value, 1.0) - figure.moved(figure.value, -1.0)) / 2
    relative = min(1.0, change / abs(figure.value)) if figure.value else 1.0
    mean = mean_doubted(line, figure)
    if mean is not None:
        # By 1 % of the mean at a score of 1.
        spread = change if figure.part == "sd" else relative * mean.value
        by_mean = _most(net_rates_moved(line, (mean,), {mean.name: 1.0}))
        station, slope = by_mean if by_mean[0] else _of_bridge(line, mean)
        if station:
            return station, 100 * slope * _SPREAD * spread / mean.value
    return "", _NO_RATE * relative


def _most(moved: Mapping[str, float]) -> tuple[str, float]:
    """The station whose net rate moves most, and how far; an empty name where none does."""
    station = max(moved, key=lambda name: abs(moved[name]), default="")
    return (station, moved[station]) if abs(moved.get(station, 0.0)) > _NOTICED else ("", 0.0)


def _of_bridge(line: Scenario, figure: Doubted) -> tuple[str, float]:
    """The same of the bridge, which is no station of a pace of its own."""
    if figure.table != "stop" or not figure.entry.endswith(f" at {BRIDGE}"):
        return "", 0.0
    up, down = (bridge_rate(drawn(line, (figure,), {figure.name: z})).net for z in (1.0, -1.0))
    return _most({BRIDGE: math.log(up / down) / 2})


def _greatest(lines: Iterable[list[tuple[str, float]]]) -> list[tuple[str, float]]:
    """Of several lines, where each figure does most."""
    return [max(each, key=lambda pair: abs(pair[1])) for each in zip(*lines, strict=True)]


def _measurable(
    interval: Interval, figures: tuple[Doubted, ...], share: float, low: float, high: float
) -> Measurable:
    more_days, more_stops, left = _more(figures)
    then = interval.doubt * math.sqrt(1 - share * (1 - left))
    both = math.hypot(interval.half_width, then)
    return Measurable(figures, share, low, high, more_days, more_stops, both)


def _more(figures: Sequence[Doubted]) -> tuple[float | None, int | None, float]:
    """What to measure, days of log or stops, and what it leaves of the variance."""
    stops, days = figures[0].doubt.stops, figures[0].doubt.days
    if days is not None and (stops is None or stops * _DAYS / days >= _STOPS):
        return _DAYS, None, days / (days + _DAYS)
    if stops is not None:
        return None, _STOPS, max(stops, 1) / (max(stops, 1) + _STOPS)
    return None, None, 0.0
