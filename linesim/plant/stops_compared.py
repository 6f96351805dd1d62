"""Stops that the plant logged against those of the runs: which station goes astray first."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from linesim.line import station_names
from linesim.scenario import Doubted, Scenario
from linesim.scenario.doubts import entry_name
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.units import MINUTE
from linesim.statistics import Crossing, Interval
from linesim.statistics.counts import equal_rates
from linesim.statistics.one_plant import Apart, count_p, doubt_of, luck_of
from linesim.statistics.several_tests import holm
from linesim.studies.differences import crossed, interval_over, jackknifed
from linesim.studies.outcome import Outcome
from linesim.studies.plants_met import foreseen_by

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
    count_off: bool = False
    length_off: bool = False

    @property
    def off(self) -> bool:
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
    doubts: Sequence[Doubted] = (),
    seed: int = 1,
) -> StopsCompared:
    """Counts and lengths of stops, cause by cause. ``plant_h``, ``run_h``: planned hours of each.

    ``doubts`` is what was drawn in the runs with ``seed``.

    Counts by the exact conditional test of two Poisson rates (Przyborowski and Wilenski 1940),
    lengths by Student's t on the plant's own spread. A cause that the log never names is not
    tested: many plants do not log every kind of stop. Where runs are crossed, what is not known of
    the line is in both (:func:`~linesim.statistics.one_plant.count_p`, Welch's t): what is not
    known of the cause itself as it is stated, and only what else moves it as the runs show it.
    """
    lengths: dict[_Pair, list[float]] = {}
    for stop in log:
        lengths.setdefault((_station(scenario, stop.station), stop.cause), []).append(stop.minutes)
    runs = [_stops_of(scenario, row) for row in rows]
    known = {(_station(scenario, stop.station), stop.cause) for stop in scenario.stop}
    predicted = {pair for run in runs for pair, (count, _) in run.items() if count}
    both = (predicted | known) & set(lengths)
    planned = _Planned(plant_h, run_h, level)
    own = _own_doubts(scenario, doubts)

    def foreseen(pair: _Pair) -> _Foreseen:
        return tuple(foreseen_by(each, tuple(doubts), seed, rows) for each in own(pair))

    tests = 2 * len(both)
    compared = [
        _cause(
            pair,
            lengths[pair],
            [run.get(pair, (0, 0.0)) for run in runs],
            rows,
            planned,
            foreseen(pair),
            tests,
        )
        for pair in both
    ]
    place: dict[str, int] = {}
    for name in station_names(scenario):
        # Of several that are one here, where the first of them stands.
        place.setdefault(_station(scenario, name), len(place))
    compared.sort(key=lambda each: (place.get(each.station, 99), each.station, each.cause))
    return StopsCompared(
        _holm(compared, 1 - level),
        tuple((*pair, len(lengths[pair])) for pair in sorted(set(lengths) - both)),
        tuple(
            (*pair, planned.stops(rows, [run.get(pair, (0, 0.0))[0] for run in runs]))
            for pair in sorted(predicted - both)
        ),
    )


_Pair = tuple[str, str]
"""Station and cause."""
_Foreseen = tuple[Crossing | None, ...]
"""What the doubts of a cause foresee of how often it stops a station, and for how long."""


def _own_doubts(
    scenario: Scenario, doubts: Sequence[Doubted]
) -> Callable[[_Pair], tuple[list[Doubted], list[Doubted]]]:
    """By cause: what is doubted of its mean interval, and of its mean time to restore."""
    places: dict[_Pair, list[str]] = {}
    for stop in scenario.stop:
        pair = _station(scenario, stop.station), stop.cause
        places.setdefault(pair, []).append(entry_name(stop, 0))

    def own(pair: _Pair) -> tuple[list[Doubted], list[Doubted]]:
        mine = [d for d in doubts if d.table == "stop" and d.entry in places.get(pair, ())]
        long = [d for d in mine if d.field == "restore_min" and not d.part]
        return [d for d in mine if d.is_interval], long

    return own


@dataclass(frozen=True)
class _Planned:
    """Planned hours of the plant and of a run, and the level of all intervals."""

    plant_h: float
    run_h: float
    level: float

    def stops(
        self, rows: Sequence[Outcome], per_run: Sequence[int], by: Crossing | None = None
    ) -> Interval:
        """Stops in as much time as the plant's."""
        share = self.plant_h / self.run_h if self.run_h else 0.0
        return interval_over(rows, [share * count for count in per_run], self.level, by, least=0)


def _station(scenario: Scenario, name: str) -> str:
    """All wrappers are one here, and carton packers: a log seldom tells them apart."""
    places = (place for place in ("wrapper", *END_OF_LINE) if place not in scenario.end_of_line)
    return next((place for place in places if name in scenario.stations_called(place)), name)


def _stops_of(scenario: Scenario, row: Outcome) -> dict[_Pair, tuple[int, float]]:
    """How often each cause stopped its station, all webs together, and for how long, min."""
    found: dict[_Pair, tuple[int, float]] = {}
    for stop in row.stops:
        pair = _station(scenario, stop.station), re.sub(r" \(web \d+\)$", "", stop.cause)
        count, minutes = found.get(pair, (0, 0.0))
        found[pair] = count + stop.count, minutes + stop.ns / MINUTE
    return found


def _cause(
    pair: _Pair,
    lengths: Sequence[float],
    runs: Sequence[tuple[int, float]],
    rows: Sequence[Outcome],
    planned: _Planned,
    foreseen: _Foreseen,
    tests: int,
) -> CauseCompared:
    per_run, minutes = zip(*runs, strict=True)
    simulated, actual = sum(per_run), len(lengths)
    often, long = foreseen
    expected = planned.stops(rows, per_run, often)
    if crossed(rows) is not None:
        count_p_ = count_p(actual, expected, tests)
    else:
        count_p_ = equal_rates(actual, planned.plant_h, simulated, planned.run_h * len(runs))
    length_p = predicted_min = None
    # With each run left out in turn there must still be stops to take a mean of.
    if actual >= _FEWEST_FOR_LENGTHS and simulated > max(per_run):
        predicted_min = jackknifed(
            rows,
            lambda some: sum(minutes[n] for n in some) / sum(per_run[n] for n in some),
            planned.level,
            long,
            least=0,
        )
        if np.ptp(lengths) > 0:
            length_p = _length_p(lengths, predicted_min, doubted=crossed(rows) is not None)
    return CauseCompared(
        *pair,
        actual,
        expected,
        count_p_,
        float(np.mean(lengths)),
        predicted_min,
        length_p,
    )


def _length_p(lengths: Sequence[float], predicted: Interval, *, doubted: bool) -> float:
    if not doubted:
        return float(stats.ttest_1samp(lengths, predicted.mean).pvalue)
    own = (float(np.var(lengths, ddof=1)) / len(lengths), len(lengths) - 1)
    parts = Apart((own, luck_of(predicted), doubt_of(predicted)))
    return parts.p(float(np.mean(lengths)) - predicted.mean)


def _holm(compared: Sequence[CauseCompared], alpha: float) -> tuple[CauseCompared, ...]:
    """Mark the tests that fail when all are taken together (S. Holm 1979)."""
    every = [(each.count_p, n, "count_off") for n, each in enumerate(compared)]
    every += [
        (each.length_p, n, "length_off")
        for n, each in enumerate(compared)
        if each.length_p is not None
    ]
    failed = {every[at][1:] for at in holm([p for p, _, _ in every], alpha)}
    return tuple(
        replace(each, count_off=(n, "count_off") in failed, length_off=(n, "length_off") in failed)
        for n, each in enumerate(compared)
    )
