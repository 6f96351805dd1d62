"""Fitted causes as changes to a scenario file: where figures came from, and how sure they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from linesim.plant.few_stops import Unseen, mean_of_few
from linesim.plant.fit_doubts import doubt_changes, doubt_entry, doubts_of
from linesim.plant.fitting import LEVEL, CauseFit, FittedLaw
from linesim.plant.log_fits import LogFits
from linesim.plant.stop_log import StopLog
from linesim.record.states import station_words
from linesim.scenario import Scenario
from linesim.scenario.changed_law import with_mean
from linesim.scenario.comments import outdated
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.faults import Path
from linesim.scenario.field_descriptions import as_written
from linesim.scenario.fields import DOUBT
from linesim.scenario.laws import AnyLaw
from linesim.scenario.stops import Stop
from linesim.scenario.writing import update
from linesim.statistics import counted

FITTED = "fitted to"
"""How the note of a cause begins whose figures are from a log."""
_DIGITS = 3
"""Of a fitted parameter: a thousand stops know a mean to three per cent."""


@dataclass(frozen=True)
class Written:
    """``text`` of the file with the fits in it; ``causes`` written, and ``not_written`` ones."""

    text: str
    causes: tuple[str, ...]
    not_written: tuple[str, ...]
    """New causes whose station the log does not tell, or the line has not."""
    asked: tuple[str, ...] = ()
    """Causes that look like others, until it is told which they are."""
    unseen: tuple[str, ...] = ()
    """Causes of the scenario that the log never names: only how sure their intervals are."""


def write_fits(
    text: str, scenario: Scenario, found: LogFits, chosen: Sequence[CauseFit] | None = None
) -> Written:
    """The scenario *text* with the *chosen* fits (all unless given), all else as it stands.

    Each interval and time to restore is written with its doubt, and so is that of causes which the
    log never names. The field ``note`` of each stop says how many stops of which log, from when to
    when, over how much of which meter, its figures are from; comments on what stood there before
    are marked as such. A new cause becomes a new ``[[stop]]``, where its station is known.
    *scenario* is what *text* says, and has the stops that the fits were matched to.
    """
    changes: dict[str, Any] = {}
    replaced: list[Path] = []
    written: list[str] = []
    not_written: list[str] = []
    asked: list[str] = []
    places = len(scenario.stop)
    for fit in found.fits if chosen is None else chosen:
        matched, place = fit.matched, fit.matched.place
        if why_not_written(fit, scenario):
            if matched.looks_like is not None:
                asked.append(matched.cause)
            elif matched.set_in is None:
                not_written.append(matched.cause)
            continue
        old = None if place is None else scenario.stop[place]
        interval, restore = interval_written(fit, old), times_written(fit, old)
        fields = {fit.meter.field: interval, "restore_min": restore}
        known = fit.count, found.days
        kept = fit.few and old is not None
        doubts = doubts_of(fit.meter.field, interval, fit.interval, *known)
        doubts += doubts_of("restore_min", restore, fit.restore_min, *known, all_of_it=not kept)
        note = came_from(found.log, fit)
        if place is None or old is None:
            named = {"cause": matched.cause, "station": matched.station}
            changes[f"stop[{places}]"] = named | fields | {DOUBT: doubts, "note": note}
            places += 1
        else:
            at = f"stop[{place}]"
            if old.meter not in fields:
                changes[f"{at}.{old.meter}"] = None
            if restore == as_written(old.restore_min):
                del fields["restore_min"]
            changes |= {f"{at}.{name}": value for name, value in fields.items()}
            doubted = (old.meter, fit.meter.field, "restore_min")
            changes |= doubt_changes(at, old.doubt, doubted, doubts)
            changes[f"{at}.note"] = note
            replaced += [("stop", place, name) for name in fields]
        written.append(matched.cause)
    unseen = []
    for cause in found.unseen:
        if more := _unseen_changes(scenario.stop[cause.place], cause, found.days):
            changes |= more
            unseen.append(cause.cause)
    rest = (written, not_written, asked, unseen)
    return Written(outdated(update(text, changes), replaced), *map(tuple, rest))


def why_not_written(fit: CauseFit, scenario: Scenario | None = None) -> str:
    """Why a fit is not written into the *scenario*, in words; empty where it is."""
    if fit.matched.set_in is not None:
        return f"The line makes these stops by itself; they are set in {fit.matched.set_in}."
    if fit.matched.looks_like is not None:
        return f"It looks like {fit.matched.looks_like}: tell whether it is that, or another cause."
    if fit.matched.station is None:
        return "The log does not tell its station."
    if scenario is not None and not_there(fit, scenario):
        return f"The scenario has no {station_words(fit.matched.station)}: add one, and fit again."
    return ""


def not_there(fit: CauseFit, scenario: Scenario) -> bool:
    """Whether it stops a station that the line has not: every log goes as far as the pallets."""
    return fit.matched.station in END_OF_LINE and fit.matched.station not in scenario.end_of_line


def interval_written(fit: CauseFit, stated: Stop | None) -> Any:
    """The law of intervals as a file takes it: fitted, or with few stops of the kind there is.

    Few stops tell a rate and no more: what wears out goes on wearing out.
    """
    if stated is None or not fit.few or stated.meter != fit.meter.field:
        return as_law(fit.interval)
    return _moved_to(stated.interval, fit.interval.mean)


def times_written(fit: CauseFit, stated: Stop | None) -> Any:
    """The law of times to restore as a file takes it: fitted, or with few stops that of the file.

    Few stops move it to their mean, its spread with it.
    """
    if stated is None or not fit.few:
        return as_law(fit.restore_min)
    law, own = stated.restore_min, fit.restore_min
    mean = mean_of_few(law.average(), own.mean, own.count, own.intervals["mean"])
    return as_written(law) if mean == law.average() else _moved_to(law, mean)


def _moved_to(law: AnyLaw, mean: float) -> Any:
    moved = with_mean(as_written(law), mean)
    if not isinstance(moved, dict):
        return _rounded(moved)
    return {name: _rounded(value) for name, value in moved.items()}


def _unseen_changes(stop: Stop, cause: Unseen, days: int | None) -> dict[str, Any]:
    """The doubt of a cause's interval that the log never names; none where a log saw more of it."""
    ends = cause.ends(stop.interval.average(), LEVEL) if stop.meter == cause.field else None
    known = [doubt for doubt in stop.doubt if doubt.of.partition(".")[0] == stop.meter]
    if ends is None or any(doubt.stops != 0 for doubt in known):
        return {}
    entry = doubt_entry(stop.meter, as_written(stop.interval), ends, 0, days)
    return doubt_changes(f"stop[{cause.place}]", stop.doubt, (stop.meter,), [entry])


def as_law(fitted: FittedLaw) -> dict[str, Any]:
    """The law as a scenario file takes it, without digits that nobody knows."""
    return {"law": fitted.fit.law, **{n: _rounded(v) for n, v in fitted.fit.parameters.items()}}


def _rounded(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_rounded(each) for each in value]
    return float(f"{value:.{_DIGITS}g}") if isinstance(value, float) else value


def came_from(log: StopLog, fit: CauseFit) -> str:
    stops = fit.matched.stops
    first, last = min(s.start for s in stops), max(s.start for s in stops)
    between = f"{first:%Y-%m-%d} to {last:%Y-%m-%d}"
    if log.counter is not None and not log.counter.dated:
        shown = sorted((stop.start, stop.reading or 0.0) for stop in stops)
        between = f"counter {shown[0][1]:.6g} to {shown[-1][1]:.6g} {log.counter.unit}"
    few = "; too few for more than a rate" if fit.few else ""
    changed = len(fit.matched.changes)
    changes = f" and {counted(changed, 'planned change')}" if changed else ""
    webs = f", all {fit.webs} webs together" if fit.webs > 1 else ""
    return (
        f"{FITTED} {counted(fit.count, 'stop')}{changes} of {log.name},"
        f" {between}, over {float(f'{fit.meter.total:.3g}'):,g}"
        f" {fit.meter.unit}{webs}{few}"
    )
