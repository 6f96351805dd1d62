"""The answer of ``fit-stops``: what a stop log says of each cause, and what was left out of it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from linesim.plant.causes_matched import LINE_MADE
from linesim.plant.fitting import CauseFit, FittedLaw, with_trend
from linesim.plant.lifetimes import FEW
from linesim.plant.pace import Pace, pace_words
from linesim.plant.stop_log import StopLog
from linesim.record.states import station_words
from linesim.report.answers.answer import (
    AnswerTable,
    Cell,
    Column,
)
from linesim.report.answers.log_tables import log_words, mean_cells, row_tables, trend_cell
from linesim.scenario import Scenario
from linesim.statistics.counts import exact_rate

_WRITTEN_SHOWN = 50
_CUTS_AT_ONCE = 1000
"""Knives last for millions of cuts: so written, a row of the table stays one line."""


def fit_words(
    log: StopLog, fits: Sequence[CauseFit], planned: str, scenario: Scenario | None
) -> list[str]:
    """Counts, time watched, then all that a reader must know before believing the table."""
    words = [*log_words(log), planned, *log.notes]
    words += [_trend(fit) for fit in with_trend(fits)]
    bad = [
        f"{fit.matched.cause} ({what})"
        for fit in fits
        for what, law in (("intervals", fit.interval), ("times to restore", fit.restore_min))
        if law.goodness == "does not fit"
    ]
    if bad:
        words.append(
            "No law offered fits: "
            + ", ".join(bad)
            + ". Look for two different troubles under one name."
        )
    few = [f"{fit.matched.cause} ({fit.count})" for fit in fits if fit.few]
    if few:
        words.append(
            f"Fewer than {FEW} stops, so a rate with its exact interval and no more: "
            + ", ".join(few)
            + "."
        )
    asked = [_asked(fit) for fit in fits if fit.matched.looks_like]
    if asked:
        words.append("Which cause is it? Not written until you say: " + "; ".join(asked) + ".")
    new = [_new(fit) for fit in fits if fit.matched.new]
    if new and scenario is not None:
        words.append("New causes, not in the scenario: " + "; ".join(new) + ".")
    made = [f"{f.matched.cause} ({f.count}, {f.matched.set_in})" for f in fits if f.matched.set_in]
    if made:
        words.append(
            "The line makes these stops by itself, so they are not stop causes and are not written:"
            f" {', '.join(made)}. Their times to restore are worth comparing with the table named."
        )
    if scenario is not None:
        words += _never(fits, scenario)
    return words


def _trend(fit: CauseFit) -> str:
    assert fit.trend is not None
    way = "more" if fit.trend.u > 0 else "less"
    which = "gets worse" if fit.trend.u > 0 else "gets better"
    p = "p below 0.001" if fit.trend.p < 0.001 else f"p = {fit.trend.p:.2g}"
    return (
        f"{fit.matched.cause} {which}: its stops come {way} often as time goes on (Laplace test,"
        f" {p}). It has no one mean interval; the figure is an average over the log."
    )


def _asked(fit: CauseFit) -> str:
    matched = fit.matched
    meant, own = (
        " ".join(f"--cause {shlex.quote(f'{each}={name}')}" for each in matched.written)
        for name in (matched.looks_like, matched.cause)
    )
    by_itself = ", which the line makes by itself" if matched.looks_like in LINE_MADE else ""
    return (
        f"{matched.cause} ({fit.count}) looks like {matched.looks_like}{by_itself}: {meant} if it"
        f" is that, {own} if it is a cause of its own"
    )


def _new(fit: CauseFit) -> str:
    where = fit.matched.station or "station not known, so it cannot be written"
    return f"{fit.matched.cause} ({fit.count}, {where})"


def _never(fits: Sequence[CauseFit], scenario: Scenario) -> list[str]:
    seen = {fit.matched.place for fit in fits}
    never = [stop.cause for n, stop in enumerate(scenario.stop) if n not in seen]
    running = [fit.meter for fit in fits if fit.meter.field == "every_running_h"]
    if not never:
        return []
    hours = max((meter.total for meter in running), default=0.0)
    at_least = ""
    if hours:
        least = 1 / exact_rate(0, hours).high
        at_least = f" None in {hours:.3g} running h is a mean of {least:.3g} h or more."
    return [f"Never in the log, left as they stand: {', '.join(never)}.{at_least}"]


def fit_tables(log: StopLog, fits: Sequence[CauseFit]) -> tuple[AnswerTable, ...]:
    """Intervals, times to restore, rows left out, rows amended."""
    return (_intervals(fits), _restores(fits), _as_logged(fits), *row_tables(log))


_FITS = {
    "nothing contradicts it": "may fit",
    "fits doubtfully": "doubtful",
    "does not fit": "no fit",
    "too few to tell": "too few",
}
"""Goodness of fit, short enough that a row of the table is one line."""
_LAW_COLUMNS = (
    Column("law", left=True),
    Column("shape or sd", left=True),
    Column("fit", left=True),
)


def _intervals(fits: Sequence[CauseFit]) -> AnswerTable:
    def cells(fit: CauseFit) -> tuple[Cell, ...]:
        unit = "clock h" if fit.meter.field == "every_clock_h" else fit.meter.unit
        each = _CUTS_AT_ONCE if unit == "cuts" else 1
        per = f"{each} {unit}" if each > 1 else unit
        if fit.webs > 1:
            per += " a web"
        mean = mean_cells(fit.interval, each=each)
        return (fit.matched.cause, fit.count, *mean, per, *_law(fit.interval, each))

    return AnswerTable(
        "intervals",
        "Mean interval between stops, with its 95 % interval",
        (
            Column("cause"),
            Column("stops"),
            Column("mean"),
            Column("from"),
            Column("to"),
            Column("in", left=True),
            *_LAW_COLUMNS,
        ),
        tuple(cells(fit) for fit in fits),
    )


def _restores(fits: Sequence[CauseFit]) -> AnswerTable:
    return AnswerTable(
        "restores",
        "Mean time to restore, with its 95 % interval",
        (
            Column("cause"),
            Column("stops"),
            Column("mean", "min"),
            Column("from"),
            Column("to"),
            *_LAW_COLUMNS,
        ),
        tuple(
            (fit.matched.cause, fit.count, *mean_cells(fit.restore_min), *_law(fit.restore_min))
            for fit in fits
        ),
    )


def _as_logged(fits: Sequence[CauseFit]) -> AnswerTable:
    shown = with_trend(fits)
    return AnswerTable(
        "as-logged",
        "What each cause is called in the log, and whether it changes over time",
        (
            Column("cause"),
            Column("station", left=True),
            Column("trend", left=True),
            Column("in the log as", left=True),
        ),
        tuple(
            (
                fit.matched.cause,
                station_words(fit.matched.station or "?"),
                trend_cell(fit, shown),
                ", ".join(fit.matched.written)[:_WRITTEN_SHOWN],
            )
            for fit in fits
        ),
    )


def _law(fitted: FittedLaw, each: float = 1.0) -> tuple[str, str, str]:
    """Its name, its other parameter with its ends, and whether it fits."""
    cells = [
        mean_cells(fitted, name, each=each if name == "sd" else 1.0)
        for name in fitted.fit.parameters
        if name != "mean"
    ]
    others = [f"{value} ({low}–{high})" for value, low, high in cells]
    return fitted.fit.law, ", ".join(others), _FITS.get(fitted.goodness, fitted.goodness)


def fit_notes(
    fits: Sequence[CauseFit], counted: bool, pace: Pace | None = None, *, from_reams: bool = False
) -> list[str]:
    """How it was fitted, and what a log cannot tell."""
    notes = [
        "Laws by maximum likelihood, chosen by AICc; the interval still running when the log ends"
        " counts as cut off, not as a stop. Intervals of exponential laws are exact, others by the"
        " parametric bootstrap, as is the goodness of fit (Anderson and Darling 1952). May fit:"
        " nothing in these values contradicts that law. Hours are those in which the station"
        " moves, unless they are of the clock.",
        "The first interval is taken to begin where the log does.",
        "A time to restore from a log includes waiting for people, which a scenario adds by itself"
        " (crew). Where people were often waited for, take that time off.",
    ]
    if not counted:
        notes.append(
            "A log does not show when a station stood starved or blocked. Without --production that"
            " time counts as running, so intervals come out too long where waiting is much."
        )
    waiting = [fit.matched.cause for fit in fits if fit.waiting]
    if counted and waiting:
        notes.append(
            "Nothing counted tells how long their stations waited, so that counts as running, and"
            f" intervals come out too long where it is much: {', '.join(waiting)}."
        )
    if pace is not None:
        notes += pace_words(pace, from_reams=from_reams)
    other = [f"{fit.matched.cause} ({_meter(fit.instead_of)})" for fit in fits if fit.instead_of]
    if other:
        notes.append(
            "On hours in place of the scenario's own meter, which nothing here counts: "
            + ", ".join(other)
            + "."
        )
    if any(fit.webs > 1 for fit in fits):
        notes.append(
            "Causes that every web has of its own: the log does not name the web, so each web is"
            " given the mean of all times the webs, and an exponential law."
        )
    return notes


def _meter(field: str) -> str:
    return field.removeprefix("every_").replace("_", " ")
