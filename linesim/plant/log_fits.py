"""From a stop log to a fit for each cause: when the line was meant to run, what each stop was."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.plant.causes_matched import MatchedCause, match_causes
from linesim.plant.certainty import RESAMPLES
from linesim.plant.few_stops import Unseen
from linesim.plant.fitting import CauseFit, Fitter, outside_planned, planned_of_log, worked
from linesim.plant.pace import Pace
from linesim.plant.production import counts_between, read_counts
from linesim.plant.raw_table import refused
from linesim.plant.running_meter import Planned, planned_by_day, planned_from_counts
from linesim.plant.stop_log import StopLog
from linesim.scenario import Scenario

FitProgress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class FitSettings:
    """What the user tells beside the log.

    ``production`` is a file of the plant's counts; without one, ``hours_per_day`` from
    ``day_starts`` on are planned each day, and without that all time is. ``since`` and ``until``
    bound the log, ``until`` itself left out. ``resamples`` (a whole number) stand behind each
    interval and goodness of fit.
    """

    production: str | os.PathLike[str] | None = None
    hours_per_day: float | None = None
    day_starts: dt.time = dt.time(6)
    since: dt.datetime | None = None
    until: dt.datetime | None = None
    seed: int = 1
    resamples: int = RESAMPLES


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
        """Days from the first to the last of planned time, begun ones whole; None without dates."""
        if not self.planned or not self.log.dated:
            return None
        return -(-(self.planned[-1].end - self.planned[0].start) // dt.timedelta(days=1))


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

    @property
    def log(self) -> StopLog:
        return self.matched.log

    @property
    def days(self) -> int | None:
        return self.matched.days


def match_log(log: StopLog, scenario: Scenario | None, settings: FitSettings) -> MatchedLog:
    """Leave out stops that began outside of planned time, and gather the rest by cause.

    Raises :class:`ScenarioFaults` where the counts cannot be read, or where dates are needed and
    the log has none.
    """
    if not log.dated and (settings.production is not None or settings.hours_per_day):
        what = (
            "production counts have dates" if settings.production else "planned hours are of days"
        )
        right = "the moment at which the log of the counter begins, or neither counts nor hours"
        problem = f"{what}, but the counter of this log has none"
        raise refused(log.file, problem, right, field="counter")
    planned, words = _planned(log, settings)
    log = outside_planned(log, planned)
    causes = match_causes(log.stops, scenario, log.terms.causes, log.terms.stations)
    return MatchedLog(log, planned, words, causes, settings.production is not None)


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
    fitter = Fitter(
        matched.causes,
        matched.planned,
        scenario,
        seed=settings.seed,
        resamples=settings.resamples,
        all_stand=log.counter is not None and log.counter.stands,
        rounding=log.rounding,
        start_step=log.start_step,
        stop=stop,
    )
    fits = []
    for n, cause in enumerate(matched.causes):
        if progress is not None:
            progress(n, len(matched.causes), cause.cause)
        fits.append(fitter.fit(cause))
    unseen = fitter.unseen() if matched.causes else ()
    pace = fitter.pace if fitter.goes_by_pace else None
    return LogFits(matched, tuple(fits), scenario, settings, pace, unseen)


def _planned(log: StopLog, settings: FitSettings) -> tuple[tuple[Planned, ...], str]:
    """Planned time and, in words, where it is from."""
    since, until = settings.since, settings.until
    planned: Sequence[Planned]
    how = ""
    if settings.production is not None:
        read = read_counts(settings.production, log.terms.date_order)
        name = os.fspath(settings.production)
        planned = planned_from_counts(counts_between(read.shifts, since, until))
        what = f"the {len(planned)} shifts of {name}"
        how = read.dates.words(name)
    elif settings.hours_per_day and log.stops:
        first = since or log.stops[0].start
        last = until - dt.timedelta(seconds=1) if until else log.stops[-1].start
        planned = planned_by_day(first, last, settings.hours_per_day, settings.day_starts)
        days = len(planned)
        planned = worked(log, planned)
        what = f"{settings.hours_per_day:g} h a day from {settings.day_starts:%H:%M}, as told"
        if len(planned) < days:
            what += f"; {days - len(planned)} days with hardly a stop taken for days off"
    else:
        planned = planned_of_log(log, since, until)
        what = "all time from the first stop to the last, day and night (no shifts were given)"
        if since or until:
            what = "all time between the dates asked for, day and night (no shifts were given)"
        elif log.counter is not None and log.counter.stands:
            what = "all that the counter counted, and the stops in which it stood"
        elif log.counter is not None:
            what = "all that the counter counted"
    hours = sum(each.hours for each in planned)
    return tuple(planned), f"Planned time: {hours:,.4g} h: {what}." + (f" {how}" if how else "")
