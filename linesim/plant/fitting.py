"""What a stop log says of each cause: law of its intervals, of its times to restore, and trend."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import KW_ONLY, dataclass, field, replace
from functools import cached_property

import numpy as np
from pydantic import TypeAdapter, ValidationError

from linesim.plant.causes_matched import MatchedCause
from linesim.plant.certainty import RESAMPLES, certainty
from linesim.plant.few_stops import Unseen, mean_ends, scaled_to, spread_of_few
from linesim.plant.lifetimes import FEW, Fit, Rounding, Sample, fit_best, fit_exponential
from linesim.plant.pace import Pace, pace_of
from linesim.plant.running_meter import (
    Meter,
    Planned,
    has_counts_for,
    hours_come_from_counts,
    meter,
    stands_with,
    wrappers_of,
)
from linesim.plant.several_logs import ends_at
from linesim.plant.stop_log import StopLog
from linesim.scenario import Scenario
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.laws import AnyLaw, Law
from linesim.scenario.stops import METERS, WEB_STATIONS, Stop
from linesim.statistics.counts import Trend, exact_rate, laplace_trend
from linesim.statistics.several_tests import holm

LEVEL = 0.95
_FINEST_MIN = 0.5
"""Two stops at the same moment of a log are taken to be so long apart."""
_DAY_OFF_SHARE = 0.1
_LAW: TypeAdapter[AnyLaw] = TypeAdapter(Law)


@dataclass(frozen=True)
class FittedLaw:
    """A law with the interval of each parameter, and in words whether it fits."""

    fit: Fit
    count: int
    intervals: dict[str, tuple[float, float]]
    goodness: str
    level: float = LEVEL
    sample: Sample | None = field(default=None, compare=False, repr=False)
    """The values it was fitted to."""
    correlation: float | None = None
    """Of the logarithm of its other parameter with that of its mean, as fitted together."""

    @property
    def mean(self) -> float:
        return self.fit.parameters["mean"]

    def times(self, factor: float) -> FittedLaw:

        def scaled(name: str, value: float) -> float:
            return value if name == "shape" else value * factor

        parameters = {n: scaled(n, v) for n, v in self.fit.parameters.items()}
        intervals = {n: (scaled(n, a), scaled(n, b)) for n, (a, b) in self.intervals.items()}
        sample = self.sample and self.sample.times(factor)
        fit = replace(self.fit, parameters=parameters)
        return replace(self, fit=fit, intervals=intervals, sample=sample)


@dataclass(frozen=True)
class CauseFit:
    """One cause. ``interval`` is on ``meter``, for each web where ``webs`` is above 1."""

    matched: MatchedCause
    meter: Meter
    interval: FittedLaw
    restore_min: FittedLaw
    trend: Trend | None
    """None with too few stops to test it."""
    webs: int
    instead_of: str | None
    """The scenario's own meter, where the plant's counts do not move it."""
    waiting: bool = False
    """Whether time in which the station waited counts as running, since no count shows it."""
    readings: tuple[float, ...] = field(default=(), repr=False)
    """What the meter showed at each stop, in order of time."""
    changed_at: tuple[float, ...] = field(default=(), repr=False)
    """What it showed when the part was changed by plan."""

    @property
    def count(self) -> int:
        return len(self.matched.stops)

    @property
    def few(self) -> bool:
        return self.count < FEW


def with_trend(fits: Sequence[CauseFit], level: float = LEVEL) -> tuple[CauseFit, ...]:
    """Those whose rate is shown to change, all tested together (S. Holm 1979).

    ``level`` is 1 less the chance that one is named though none changes, 0 to 1.
    """
    tested = [fit for fit in fits if fit.trend is not None]
    changing = holm([fit.trend.p for fit in tested if fit.trend is not None], 1 - level)
    return tuple(fit for n, fit in enumerate(tested) if n in changing)


def outside_planned(log: StopLog, planned: Sequence[Planned]) -> StopLog:
    """The log without stops that began outside of planned time, each with its reason."""
    reasons = {
        stop: "began outside of the planned time"
        for stop in log.stops
        if not any(each.start <= stop.start < each.end for each in planned)
    }
    return log.without(reasons)


def worked(log: StopLog, planned: Sequence[Planned]) -> tuple[Planned, ...]:
    """The days of *planned* that were worked, where the log can tell: stops make their mark.

    Where half of the days have ten stops or more, one with a tenth of the usual or less is taken
    for a day off: by chance alone that is rarer than one day in a thousand (Poisson).
    """
    counts = [sum(each.start <= s.start < each.end for s in log.stops) for each in planned]
    usual = float(np.median([count for count in counts if count] or [0]))
    if usual < FEW:
        return tuple(planned)
    least = usual * _DAY_OFF_SHARE
    return tuple(each for each, n in zip(planned, counts, strict=True) if n > least)


def planned_of_log(
    log: StopLog, since: dt.datetime | None = None, until: dt.datetime | None = None
) -> tuple[Planned, ...]:
    """All time from the first stop to the last, or between the dates asked for.

    Of several logs from the first to the last of each. A running counter says by itself when the
    watch began.
    """
    parts = [part for part in log.parts or (log,) if part.stops]
    planned: list[Planned] = []
    for part in parts:
        first = part.counter.began if part.counter else part.stops[0].start
        if part is parts[0] and since is not None:
            first = since
        last = ends_at(part)
        if part is parts[-1] and until is not None:
            last = until
        if planned:
            first = max(first, planned[-1].end)
        if last > first or not planned:
            planned.append(Planned(first, last))
    return tuple(planned)


@dataclass(eq=False)
class Fitter:
    """Fits cause by cause; the same seed gives the same figures, whatever the order.

    With ``all_stand`` the meter of every station stands in every stop, as the hour meter does from
    which such a log was taken. ``rounding`` is that of the lengths, ``start_step`` that of the
    moments at which stops began, min. When ``stop`` says so, a fit ends with
    :class:`StoppedError`.
    """

    causes: Sequence[MatchedCause]
    planned: Sequence[Planned]
    scenario: Scenario | None = None
    _: KW_ONLY
    seed: int = 1
    resamples: int = RESAMPLES
    all_stand: bool = False
    rounding: Rounding | None = None
    start_step: float | None = None
    stop: Callable[[], bool] | None = None
    goes_by_pace: bool = field(default=False, init=False)
    """Whether a fit so far went by the pace of the webs."""
    _meters: dict[tuple[str, str | None], Meter] = field(default_factory=dict, init=False)

    def fit(self, cause: MatchedCause) -> CauseFit:
        wanted, webs = self._wanted(cause)
        meter_ = self._moving_meter(wanted, cause.station)
        readings = sorted(meter_.at(stop.start) for stop in cause.stops)
        changed_at = sorted(meter_.at(change.start) for change in cause.changes)
        sample = self._intervals(readings, changed_at, meter_)
        number = 2 * self.causes.index(cause)
        interval = self._fitted(sample, number, exposure=meter_.total, one_law=webs > 1)
        stated = self._stated(cause)
        if changed_at and webs == 1 and stated is not None and stated.meter == meter_.field:
            interval = _of_few(stated.interval, interval)
        minutes = np.array([stop.minutes for stop in cause.stops])
        lengths = Sample(minutes, np.ones(len(minutes), bool), self.rounding)
        restore = self._fitted(lengths, number + 1)
        if lengths.count < FEW:
            law = None if stated is None else stated.restore_min
            spread = spread_of_few(law, lengths.above_zero.tolist())
            ends = mean_ends(restore.mean, lengths.count, LEVEL, spread)
            restore = replace(restore, intervals={"mean": ends})
        try:
            trend = laplace_trend(readings, meter_.total) if len(readings) >= FEW else None
        except ValueError:
            trend = None
        return CauseFit(
            cause,
            meter_,
            interval.times(webs),
            restore,
            trend,
            webs,
            None if meter_.field == wanted else wanted,
            meter_.field == "every_running_h"
            and cause.station != "bridge"
            and not hours_come_from_counts(cause.station, self.planned, self.scenario),
            tuple(readings),
            tuple(changed_at),
        )

    def unseen(self) -> tuple[Unseen, ...]:
        """Causes of the scenario that the log never names, nor anything that looks like them."""
        if self.scenario is None:
            return ()
        named = {cause.cause for cause in self.causes}
        named |= {cause.looks_like for cause in self.causes if cause.looks_like}
        found = []
        for place, stop in enumerate(self.scenario.stop):
            if stop.cause not in named:
                webs = self.scenario.unwind.webs if stop.per_web else 1
                meter_ = self._moving_meter(stop.meter, stop.station)
                found.append(Unseen(place, stop.cause, meter_, webs, stop.meter))
        return tuple(found)

    def _stated(self, cause: MatchedCause) -> Stop | None:
        """What the scenario says of the cause."""
        if self.scenario is None or cause.place is None:
            return None
        return self.scenario.stop[cause.place]

    def _wanted(self, cause: MatchedCause) -> tuple[str, int]:
        """The meter to fit on, and how many webs share the stops."""
        stop = self._stated(cause)
        if self.scenario is not None and stop is not None:
            return stop.meter, self.scenario.unwind.webs if stop.per_web else 1
        known = KNOWN_CAUSES.get(cause.cause, {})
        webs = self.scenario.unwind.webs if self.scenario and known.get("per_web") else 1
        return next((name for name in METERS if name in known), "every_running_h"), webs

    def _moving_meter(self, wanted: str, station: str | None) -> Meter:
        """The meter wanted, or else the next that moved at all; the clock always does."""
        for name in (wanted, "every_running_h"):
            if has_counts_for(name, self.planned, self.scenario):
                found = self._meter(name, station)
                if found.total > 0:
                    return found
        return self._meter("every_clock_h", station)

    def _meter(self, field: str, station: str | None) -> Meter:
        if (field, station) not in self._meters:
            together = stands_with(station)
            own = [
                stop
                for cause in self.causes
                if self.all_stand or cause.station in together or cause.station == station
                for stop in (*cause.stops, *cause.changes)
            ]
            pace = self._pace_for(field, station)
            found = meter(field, station, self.planned, own, self.scenario, pace)
            self._meters[field, station] = found
        return self._meters[field, station]

    def _pace_for(self, field: str, station: str | None) -> Pace | None:
        """The pace of the webs, where a meter goes by it: finding it takes a run of the line."""
        needed = field in ("every_web_km", "every_cuts") or (
            field == "every_running_h" and station in WEB_STATIONS
        )
        counted = hours_come_from_counts(WEB_STATIONS[0], self.planned, self.scenario)
        self.goes_by_pace = self.goes_by_pace or (needed and counted)
        shared = self.scenario is not None and len(self.scenario.wrapper) > 1
        shared = shared and bool(wrappers_of(station, self.scenario))
        return self.pace if (needed and counted) or shared else None

    @cached_property
    def pace(self) -> Pace | None:
        """How counts move the meters of the webs; None without a scenario."""
        return None if self.scenario is None else pace_of(self.scenario)

    @cached_property
    def _hours(self) -> float:
        return sum(each.hours for each in self.planned)

    def _intervals(
        self, readings: Sequence[float], changed_at: Sequence[float], meter_: Meter
    ) -> Sample:
        """Lives of a part: it is new after a stop and after a change by plan."""
        a_minute = meter_.total / 60 / self._hours
        ends = sorted([*((at, False) for at in readings), *((at, True) for at in changed_at)])
        values = np.diff([0.0, *(at for at, _ in ends)])
        by_plan = np.array([change for _, change in ends])
        if len(values) > 1 and values[0] == 0 and not by_plan[1:].all():
            # The watch began with this stop: nothing came before it.
            values, by_plan = values[1:], by_plan[1:]
        complete = ~by_plan
        rest = meter_.total - ends[-1][0]
        if rest > 0:
            values, complete = np.append(values, rest), np.append(complete, False)
            by_plan = np.append(by_plan, False)
        changed = by_plan if changed_at else None
        if self.start_step is not None:
            # Both ends of an interval are to the minute: so long may it be off.
            rounding = Rounding(a_minute * self.start_step, by_ends=True)
            return Sample(values, complete, rounding, changed)
        return Sample(np.maximum(values, a_minute * _FINEST_MIN), complete, None, changed)

    def _fitted(
        self, sample: Sample, number: int, *, exposure: float | None = None, one_law: bool = False
    ) -> FittedLaw:
        seed = self.seed * 10_007 + number
        fits = [fit_exponential(sample)] if one_law else fit_best(sample)
        for fit in fits:
            try:
                _LAW.validate_python(fit.as_law())
                correlation = None
                if sample.count < FEW:
                    goodness, intervals = "too few to tell", {}
                else:
                    sure = certainty(
                        sample,
                        fit,
                        seed=seed,
                        resamples=self.resamples,
                        level=LEVEL,
                        stop=self.stop,
                    )
                    goodness, intervals = sure.words, sure.intervals
                    correlation = sure.correlation
            except (ValidationError, ValueError):
                continue
            exact = exposure is not None or sample.rounding is None or not intervals
            if fit.law == "exponential" and exact:
                intervals = {"mean": _exact_mean(sample, fit, exposure)}
            return FittedLaw(
                fit, sample.count, intervals, goodness, sample=sample, correlation=correlation
            )
        fit = fit_exponential(sample)
        ends = {"mean": _exact_mean(sample, fit, exposure)}
        return FittedLaw(fit, sample.count, ends, "not tested", sample=sample)


def _of_few(stated: AnyLaw, fitted: FittedLaw) -> FittedLaw:
    """A law of few failures and of planned changes: that stated, moved as far as they tell."""
    sample = fitted.sample
    found = scaled_to(stated, sample, LEVEL) if sample is not None and fitted.count < FEW else None
    if found is None:
        return fitted
    return replace(fitted, fit=found[0], intervals={"mean": found[1]})


def _exact_mean(sample: Sample, fit: Fit, exposure: float | None) -> tuple[float, float]:
    """Exact ends for the mean of an exponential law.

    Between events on a watch of fixed length: from the Poisson count.
    """
    if exposure is not None:
        rate = exact_rate(sample.count, exposure, LEVEL)
        return 1 / rate.high, 1 / rate.low
    return mean_ends(fit.parameters["mean"], sample.count, LEVEL)
