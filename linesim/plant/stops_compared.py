"""Stops that the plant logged against those of the runs: which station goes astray first."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from linesim.line import station_names
from linesim.scenario import Scenario
from linesim.scenario.units import MINUTE
from linesim.statistics import Interval, student_interval
from linesim.studies.differences import jackknifed
from linesim.studies.outcome import Outcome

_FEWEST_FOR_LENGTHS = 5


@dataclass(frozen=True)
class LoggedStop:
    """A stop of the plant, its station and cause named as the scenario names them."""

    start: dt.datetime
    minutes: float
    station: str
    cause: str


@dataclass(frozen=True)
class CauseCompared:
    """One cause at one station. A test is ``off`` where it fails among all made (Holm 1979)."""

    station: str
    cause: str
    actual: int
    predicted: Interval
    """Stops in as much planned time."""
    count_p: float
    actual_min: float
    """Mean length of a stop, min."""
    predicted_min: Interval | None
    """None where too few runs had any, or the plant fewer than five."""
    length_p: float | None
    count_off: bool
    length_off: bool

    @property
    def off(self) -> bool:
        """Whether the plant differs from the model here."""
        return self.count_off or self.length_off


@dataclass(frozen=True)
class StopsCompared:
    """Causes along the paper; what is only on one side is listed, not tested."""

    causes: tuple[CauseCompared, ...]
    only_logged: tuple[tuple[str, str, int], ...]
    """Station, cause and stops that the scenario does not know."""
    only_predicted: tuple[tuple[str, str, Interval], ...]
    """Station, cause and stops predicted that the log never names."""

    @property
    def first_off(self) -> CauseCompared | None:
        """The first cause along the paper that differs; None where none is shown to."""
        return next((each for each in self.causes if each.off), None)


def compare_stops(
    scenario: Scenario,
    rows: Sequence[Outcome],
    log: Sequence[LoggedStop],
    *,
    plant_h: float,
    run_h: float,
    level: float,
) -> StopsCompared:
    """Counts and lengths of stops, cause by cause. ``plant_h``, ``run_h``: planned hours of each.

    Counts by the exact conditional test of two Poisson rates (Przyborowski and Wilenski 1940),
    lengths by Student's t on the plant's own spread. A cause that the log never names is not
    tested: many plants do not log every kind of stop.
    """
    lengths: dict[tuple[str, str], list[float]] = {}
    for stop in log:
        lengths.setdefault((_station(scenario, stop.station), stop.cause), []).append(stop.minutes)
    counts = [_counted(scenario, row) for row in rows]
    share = plant_h / run_h if run_h else 0.0
    predicted = set().union(*counts)
    own = {(_station(scenario, stop.station), stop.cause) for stop in scenario.stop}
    both = (predicted | own) & set(lengths)
    compared = [
        _cause(pair, lengths[pair], rows, counts, scenario, plant_h, run_h, level) for pair in both
    ]
    place = {name: n for n, name in enumerate((*station_names(scenario), "wrapper"))}
    compared.sort(key=lambda each: (place.get(each.station, 99), each.station, each.cause))
    return StopsCompared(
        _holm(compared, 1 - level),
        tuple(
            (station, cause, len(lengths[station, cause]))
            for station, cause in sorted(set(lengths) - both)
        ),
        tuple(
            (*pair, student_interval([share * each[pair] for each in counts], level))
            for pair in sorted(predicted - both)
        ),
    )


def _station(scenario: Scenario, name: str) -> str:
    """All wrappers are one here: a log seldom tells them apart."""
    return "wrapper" if name in {wrapper.name for wrapper in scenario.wrapper} else name


def _without_web(cause: str) -> str:
    return re.sub(r" \(web \d+\)$", "", cause)


def _counted(scenario: Scenario, row: Outcome) -> Counter[tuple[str, str]]:
    found: Counter[tuple[str, str]] = Counter()
    for stop in row.stops:
        if stop.count:
            found[_station(scenario, stop.station), _without_web(stop.cause)] += stop.count
    return found


def _minutes(scenario: Scenario, row: Outcome, pair: tuple[str, str]) -> float:
    return sum(
        stop.ns / MINUTE
        for stop in row.stops
        if (_station(scenario, stop.station), _without_web(stop.cause)) == pair
    )


def _cause(
    pair: tuple[str, str],
    lengths: Sequence[float],
    rows: Sequence[Outcome],
    counts: Sequence[Mapping[tuple[str, str], int]],
    scenario: Scenario,
    plant_h: float,
    run_h: float,
    level: float,
) -> CauseCompared:
    per_run = [each.get(pair, 0) for each in counts]
    simulated, actual = sum(per_run), len(lengths)
    share = plant_h / (plant_h + run_h * len(rows))
    count_p = float(stats.binomtest(actual, actual + simulated, share).pvalue)
    scaled = [plant_h / run_h * count for count in per_run]
    length_p = predicted_min = None
    # With each run left out in turn there must still be stops to take a mean of.
    if actual >= _FEWEST_FOR_LENGTHS and simulated > max(per_run):
        minutes = [_minutes(scenario, row, pair) for row in rows]
        predicted_min = jackknifed(
            len(rows),
            lambda some: sum(minutes[n] for n in some) / sum(per_run[n] for n in some),
            level,
        )
        if np.ptp(lengths) > 0:
            length_p = float(stats.ttest_1samp(lengths, predicted_min.mean).pvalue)
    return CauseCompared(
        *pair,
        actual,
        student_interval(scaled, level),
        count_p,
        float(np.mean(lengths)),
        predicted_min,
        length_p,
        count_off=False,
        length_off=False,
    )


def _holm(compared: Sequence[CauseCompared], alpha: float) -> tuple[CauseCompared, ...]:
    """Mark the tests that fail when all are taken together (S. Holm 1979)."""
    tests = sorted(
        [(each.count_p, n, "count_off") for n, each in enumerate(compared)]
        + [
            (each.length_p, n, "length_off")
            for n, each in enumerate(compared)
            if each.length_p is not None
        ]
    )
    failed: set[tuple[int, str]] = set()
    for rank, (p, n, name) in enumerate(tests):
        if p > alpha / (len(tests) - rank):
            break
        failed.add((n, name))
    return tuple(
        replace(each, count_off=(n, "count_off") in failed, length_off=(n, "length_off") in failed)
        for n, each in enumerate(compared)
    )
