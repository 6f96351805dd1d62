"""From a stop log to a fit for each cause: when the line was meant to run, what each stop was."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from linesim.plant.causes_matched import MatchedCause, match_causes
from linesim.plant.certainty import RESAMPLES
from linesim.plant.few_stops import Unseen
from linesim.plant.fitting import CauseFit, Fitter, outside_planned, planned_of_log, worked
from linesim.plant.logs_compared import LogsCompared, compare_logs
from linesim.plant.pace import Pace
from linesim.plant.production import Files, counts_between, files_of, read_several_counts
from linesim.plant.raw_table import refused
from linesim.plant.running_meter import Planned, planned_by_day, planned_from_counts
from linesim.plant.several_logs import turns, within_logs
from linesim.plant.stop_log import StopLog
from linesim.scenario import Scenario
from linesim.statistics import counted

_OVER_A_WEEKEND = dt.timedelta(days=4)

FitProgress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class FitSettings:
    """What the user tells beside the log.

    ``production`` are files of the plant's counts; without one, ``hours_per_day`` from
    ``day_starts`` on are planned each day, and without that all time is. ``since`` and ``until``
    bound the log, ``until`` itself left out. ``resamples`` (a whole number) stand behind each
    interval and goodness of fit.
    """

    production: Files | None = None
    hours_per_day: float | None = None
    day_starts: dt.time = dt.time(6)
    since: dt.datetime | None = None
    until: dt.datetime | None = None
    seed: int = 1
    resamples: int = RESAMPLES

    @property
    def production_files(self) -> list[str]:
        """The names of the files of counts, without their folders."""
        return [os.path.basename(path) for path in files_of(self.production)]


@dataclass(frozen=True)
class MatchedLog:
    """A log within planned time, and its causes: the scenario's first, then new ones."""

    log: StopLog
    planned: tuple[Planned, ...]
    planned_words: str
    """How much time was planned and where that is from, in a sentence."""
    causes: tuple[MatchedCause, ...]
    counted: bool
    """Whether the plant's counts were given."""

    @property
    def days(self) -> int | None:
        """Days from the first to the last of planned time, begun ones whole; None without dates.

        Those between two logs are left out, unless it is a weekend.
        """
        if not self.planned or not self.log.dated:
            return None
        day = dt.timedelta(days=1)
        spans: list[tuple[dt.datetime, dt.datetime]] = []
        for first, last in ((each[0].start, each[-1].end) for each in self.by_log if each):
            if spans and first - spans[-1][1] <= _OVER_A_WEEKEND:
                first = spans.pop()[0]
            spans.append((first, last))
        return sum(-(-(last - first) // day) for first, last in spans)

    @property
    def by_log(self) -> tuple[tuple[Planned, ...], ...]:
        """Planned time log by log, where several were joined: a stretch goes to one of them."""
        ends = [dt.datetime.min, *turns(self.log), dt.datetime.max]
        return tuple(
            tuple(each for each in self.planned if after <= each.start < end)
            for after, end in pairwise(ends)
        )


@dataclass(frozen=True)
class LogFits:
    """A fit for each cause of a log; ``scenario`` is the one they were matched to."""

    matched: MatchedLog
    fits: tuple[CauseFit, ...]
    scenario: Scenario | None
    settings: FitSettings
    pace: Pace | None = None
    """By which kilometres or reams moved the meters of the webs; None where they did not."""
    unseen: tuple[Unseen, ...] = ()
    """Causes of the scenario that the log never names."""
    compared: LogsCompared | None = None
    """What the newest of several logs changes; None where there is one."""

    @property
    def log(self) -> StopLog:
        return self.matched.log

    @property
    def never_failed(self) -> tuple[MatchedCause, ...]:
        """Causes of which the log has planned changes alone: no law can be fitted to them."""
        return tuple(cause for cause in self.matched.causes if not cause.stops)

    @property
    def days(self) -> int | None:
        return self.matched.days


def match_log(log: StopLog, scenario: Scenario | None, settings: FitSettings) -> MatchedLog:
    """Leave out stops that began outside of planned time, and gather the rest by cause.

    Raises :class:`ScenarioFaults` where the counts cannot be read, or where dates are needed and
    the log has none.
    """
    if not log.dated and (files_of(settings.production) or settings.hours_per_day):
        what = (
            "production counts have dates"
            if files_of(settings.production)
            else "planned hours are of days"
        )
        right = "the moment at which the log of the counter begins, or neither counts nor hours"
        problem = f"{what}, but the counter of this log has none"
        raise refused(log.file, problem, right, field="counter")
    planned, words = _planned(log, settings)
    log = outside_planned(log, planned)
    causes = match_causes(log.stops, scenario, log.terms.causes, log.terms.stations)
    return MatchedLog(log, planned, words, causes, bool(files_of(settings.production)))


def fit_log(
    log: StopLog,
    scenario: Scenario | None = None,
    settings: FitSettings | None = None,
    *,
    progress: FitProgress | None = None,
    stop: Callable[[], bool] | None = None,
) -> LogFits:
    """Fit every cause of a log; as :func:`match_log`.

    *progress* hears how many causes are done, of how many, and which is next. Raises
    :class:`StoppedError` when *stop* says so.
    """
    settings = settings or FitSettings()
    matched = match_log(log, scenario, settings)

    def fitter_of(causes: Sequence[MatchedCause], planned: Sequence[Planned]) -> Fitter:
        return Fitter(
            causes,
            planned,
            scenario,
            seed=settings.seed,
            resamples=settings.resamples,
            all_stand=log.counter is not None and log.counter.stands,
            rounding=log.rounding,
            start_step=log.start_step,
            stop=stop,
        )

    fitter = fitter_of(matched.causes, matched.planned)
    fits = []
    for n, cause in enumerate(matched.causes):
        if not cause.stops:
            continue
        if progress is not None:
            progress(n, len(matched.causes), cause.cause)
        fits.append(fitter.fit(cause))
    compared = compare_logs(matched.log, matched.planned, fits, fitter_of)
    unseen = fitter.unseen() if matched.causes else ()
    pace = fitter.pace if fitter.goes_by_pace else None
    return LogFits(matched, tuple(fits), scenario, settings, pace, unseen, compared)


def _planned(log: StopLog, settings: FitSettings) -> tuple[tuple[Planned, ...], str]:
    """Planned time and, in words, where it is from."""
    since, until = settings.since, settings.until
    planned: Sequence[Planned]
    how = ""
    if files := files_of(settings.production):
        read = read_several_counts(files, log.terms.date_order)
        names = settings.production_files
        every = sorted((c for each in read for c in each.shifts), key=lambda c: c.start)
        shifts = counts_between(every, since, until)
        watched = within_logs(log, shifts)
        planned = planned_from_counts(watched)
        what = f"the {len(planned)} shifts of {' and '.join(names)}"
        if len(watched) < len(shifts):
            what += f"; {counted(len(shifts) - len(watched), 'shift')} between the logs left out"
        how = " ".join(
            filter(None, (each.dates.words(name) for each, name in zip(read, names, strict=True)))
        )
    elif settings.hours_per_day and log.stops:
        planned = _each_day(log, settings)
        days = len(planned)
        planned = worked(log, planned)
        what = f"{settings.hours_per_day:g} h a day from {settings.day_starts:%H:%M}, as told"
        if len(planned) < days:
            what += f"; {days - len(planned)} days with hardly a stop taken for days off"
    else:
        planned = planned_of_log(log, since, until)
        last = "the last of each log" if log.parts else "the last"
        what = f"all time from the first stop to {last}, day and night (no shifts were given)"
        if since or until:
            what = "all time between the dates asked for, day and night (no shifts were given)"
        elif log.counter is not None and log.counter.stands:
            what = "all that the counter counted, and the stops in which it stood"
        elif log.counter is not None:
            what = "all that the counter counted"
    hours = sum(each.hours for each in planned)
    return tuple(planned), f"Planned time: {float(f'{hours:.4g}'):,.10g} h: {what}." + (
        f" {how}" if how else ""
    )


def _each_day(log: StopLog, settings: FitSettings) -> list[Planned]:
    """The hours told, on each day that a log covers."""
    assert settings.hours_per_day
    found: dict[dt.datetime, Planned] = {}
    parts = [part for part in log.parts or (log,) if part.stops]
    for part in parts:
        first, last = part.stops[0].start, part.stops[-1].start
        if part is parts[0] and settings.since is not None:
            first = settings.since
        if part is parts[-1] and settings.until is not None:
            last = settings.until - dt.timedelta(seconds=1)
        days = planned_by_day(first, last, settings.hours_per_day, settings.day_starts)
        found |= {day.start: day for day in days}
    return [found[start] for start in sorted(found)]
