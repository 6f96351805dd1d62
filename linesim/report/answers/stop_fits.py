"""The answer of ``fit-stops``: what a stop log says of each cause, and what was left out of it."""

from __future__ import annotations

import shlex
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence

from linesim.plant.causes_matched import LINE_MADE
from linesim.plant.few_stops import Unseen
from linesim.plant.fitting import LEVEL, CauseFit, FittedLaw, with_trend
from linesim.plant.into_scenario import Written, not_there, write_fits
from linesim.plant.lifetimes import FEW
from linesim.plant.log_fits import LogFits
from linesim.plant.moved_figures import MovedFigure, moved_figures
from linesim.plant.pace import Pace, pace_words
from linesim.plant.stop_log import StopLog
from linesim.record.states import station_words
from linesim.report.answers.answer import Answer, naming
from linesim.report.answers.cells import Column, p_text, with_commas
from linesim.report.answers.log_changes import (
    change_table,
    change_words,
    moved_table,
    moved_words,
)
from linesim.report.answers.log_tables import (
    in_digits,
    large_unit,
    log_words,
    mean_cells,
    row_tables,
    trend_cell,
)
from linesim.report.answers.tables import AnswerTable
from linesim.report.answers.what_to_measure import first_look_table
from linesim.scenario import Scenario, check_text, dump
from linesim.statistics import counted, rough
from linesim.version import __version__

_WRITTEN_SHOWN = 50


def fit_answer(
    found: LogFits, *, into: str | None = None, into_name: str = ""
) -> tuple[Answer, str | None]:
    """What a log says, and the text *into* of the scenario with the fits written into it.

    *found* goes with the answer; the scenario is the one that it was matched to. The text is None
    where none was given, or nothing could be fitted. Raises :class:`ScenarioFaults` where it would
    not be a scenario.
    """
    log, fits, scenario = found.log, found.fits, found.scenario
    moved = moved_figures(fits, scenario) if scenario is not None else ()
    words = [*fit_words(found), *moved_words(moved)]
    rewritten = None
    if not fits:
        words.append("No stop can be used, so nothing was fitted.")
    elif into is not None and scenario is not None:
        writing = write_fits(into, scenario, found)
        check_text(writing.text, file=into_name)
        rewritten = writing.text
        words += written_words(writing, into_name)
    first_look = None
    if fits and scenario is not None:
        text = rewritten or write_fits(dump(scenario), scenario, found).text
        first_look = first_look_table(check_text(text, file=into_name or scenario.line.name))
    answer = Answer(
        "fit-stops",
        scenario.line.name if scenario is not None else log.name,
        tuple(words),
        (
            *fit_tables(fits),
            *([first_look] if first_look is not None else []),
            *_change_tables(found, moved),
            *row_tables(log),
        ),
        tuple(
            fit_notes(
                fits,
                found.matched.counted,
                found.pace,
                several=found.compared is not None,
                from_reams=any(each.web_km is None for each in found.matched.planned),
            )
        ),
        {
            "log": log.file,
            "seed": found.settings.seed,
            "resamples": found.settings.resamples,
            "version": __version__,
        },
        question="What does the stop log say of each cause?",
        found=found,
    )
    return answer, rewritten


def written_words(writing: Written, name: str) -> list[str]:
    """What was written into the scenario, and what was not."""
    count = len(writing.causes)
    words = [
        f"Written into {name}: {counted(count, 'cause')}, each with a note of where"
        " its figures came from and how sure they are."
    ]
    return words + naming(
        "Of causes that the log never names, only how sure their intervals are: {}.",
        writing.unseen,
    )


def _unread(log: StopLog) -> list[str]:
    """What rows that could not be read would change, where that is a percent or more."""
    count = sum(each.may_be_stop for each in log.left_out)
    percent = 100 * count / max(1, count + len(log.stops))
    if percent < 1:
        return []
    return [
        f"{counted(count, 'row')} left out may tell of more stops: with them intervals would be up"
        f" to {percent:.0f} % shorter. Times to restore would hardly change."
    ]


def fit_words(found: LogFits) -> list[str]:
    """Counts, time watched, then all that a reader must know before believing the table."""
    log, fits, scenario = found.log, found.fits, found.scenario
    words = [*log_words(log), *_unread(log), found.matched.planned_words, *log.notes]
    words += [_trend(fit) for fit in with_trend(fits)]
    if found.compared is not None:
        words += change_words(found.compared)
    words += naming(
        "No law offered fits: {}. Look for two different troubles under one name.",
        (
            f"{fit.matched.cause} ({what})"
            for fit in fits
            for what, law in (("intervals", fit.interval), ("times to restore", fit.restore_min))
            if law.goodness == "does not fit"
        ),
    )
    words += naming(
        f"Fewer than {FEW} stops each, too few to tell a kind of law, so that only their means are"
        " from the log: {}.",
        (f"{fit.matched.cause} ({fit.count})" for fit in fits if fit.few),
    )
    words += naming(
        "Changed by plan before they failed, so lives cut off, not stops: {}.",
        (
            f"{cause.cause} ({counted(len(cause.changes), 'change')})"
            for cause in found.matched.causes
            if cause.changes
        ),
    )
    words += naming(
        "Never failed in this log, so no law can be fitted, and left as they stand: {}.",
        (cause.cause for cause in found.never_failed),
    )
    words += naming(
        "Which cause is it? Not written until you say, under Causes: {}.",
        map(_asked, _alike(fits)),
        "; ",
    )
    if scenario is not None:
        new = (_new(fit, scenario) for fit in fits if fit.matched.new)
        words += naming("New causes, not in the scenario: {}.", new, "; ")
        words += naming(
            "Which station is it? Stops there are not written until you say, under Causes: {}.",
            _machines(fits),
            "; ",
        )
    words += naming(
        "The line makes these stops by itself, so they are not stop causes and are not written: {}."
        " Their times to restore are worth comparing with the table named.",
        (_line_made(fit) for fit in fits if fit.matched.set_in),
        "; ",
    )
    if scenario is not None:
        words += _never(found.unseen, scenario)
    return words


def _trend(fit: CauseFit) -> str:
    assert fit.trend is not None
    way, which = ("more", "worse") if fit.trend.u > 0 else ("less", "better")
    return (
        f"{fit.matched.cause} gets {which}: its stops come {way} often as time goes on (Laplace"
        f" test, {p_text(fit.trend.p)}). It has no one mean interval; the figure is an average over"
        " the log."
    )


def _alike(fits: Sequence[CauseFit]) -> list[list[CauseFit]]:
    """Causes to be told from known ones, each with all the stations where it is called so."""
    found: dict[str, list[CauseFit]] = defaultdict(list)
    for fit in fits:
        if fit.matched.looks_like:
            found[fit.matched.cause].append(fit)
    return list(found.values())


def _asked(fits: Sequence[CauseFit]) -> str:
    matched = fits[0].matched
    written = dict.fromkeys(each for fit in fits for each in fit.matched.written)
    count = sum(fit.count for fit in fits)
    meant, own = (
        " --cause ".join(shlex.quote(f"{each}={name}") for each in written)
        for name in (matched.looks_like, matched.cause)
    )
    by_itself = ", which the line makes by itself" if matched.looks_like in LINE_MADE else ""
    return (
        f"{matched.cause} ({count}) looks like {matched.looks_like}{by_itself}: is it that"
        f" or a cause of its own (in a command --cause {meant}, or --cause {own})"
    )


def _new(fit: CauseFit, scenario: Scenario) -> str:
    where = fit.matched.station or "station not known, so it cannot be written"
    if not_there(fit, scenario):
        where = f"{station_words(where)}, which the scenario has not, so it cannot be written"
    return f"{fit.matched.cause} ({fit.count:,}, {where})"


def _machines(fits: Sequence[CauseFit]) -> Iterator[str]:
    """What the log calls machines that are no station by their name, and how to tell."""
    stops = [stop for fit in fits if fit.matched.station is None for stop in fit.matched.stops]
    for machine, count in Counter(stop.station for stop in stops if stop.station).most_common():
        told = shlex.quote(f"{machine}=STATION")
        yield f"{machine} ({counted(count, 'stop')}; in a command --station {told})"


def _line_made(fit: CauseFit) -> str:
    mean, low, high = mean_cells(fit.interval)
    every = f"one in {mean} {fit.meter.unit} ({low} to {high})"
    return f"{fit.matched.cause} ({fit.count}, {every}; {fit.matched.set_in})"


def _never(unseen: Sequence[Unseen], scenario: Scenario) -> list[str]:
    doubted, not_logged, not_counted = [], [], []
    for cause in unseen:
        stated, exposure = scenario.stop[cause.place].interval.average(), cause.exposure
        if exposure is None:
            not_counted.append(cause.cause)
        elif cause.ends(stated, LEVEL) is None:
            not_logged.append(f"{cause.cause} ({rough(exposure / stated, 2)} stops expected)")
        else:
            least = f"{with_commas(in_digits(cause.least(LEVEL) or 0.0, 3))} {cause.meter.unit}"
            doubted.append(f"{cause.cause} ({least} or more)")
    return [
        *naming(
            "Never in the log, so stated intervals stand, as far as the log allows: {}.", doubted
        ),
        *naming(
            "Never in the log, though by the scenario that has less chance than 2.5 %, so probably"
            " not logged at all, and left as they stand: {}.",
            not_logged,
        ),
        *naming(
            "Never in the log, which does not tell how far their meters ran, and left as they"
            " stand: {}.",
            not_counted,
        ),
    ]


def fit_tables(fits: Sequence[CauseFit]) -> tuple[AnswerTable, ...]:
    """Intervals, times to restore, and what the log calls each cause."""
    return (_intervals(fits), _restores(fits), _as_logged(fits))


def _change_tables(found: LogFits, moved: Sequence[MovedFigure]) -> list[AnswerTable]:
    tables = [change_table(found.compared)] if found.compared is not None else []
    return [*tables, moved_table(moved)] if moved else tables


_FITS = {
    "nothing contradicts it": "may fit",
    "fits doubtfully": "doubtful",
    "does not fit": "no fit",
    "too few to tell": "too few",
}
"""Goodness of fit, short enough that a row of the table is one line."""


_Row = tuple[CauseFit, FittedLaw, int]
"""A cause, the law of its intervals or times, and how many of its unit are one in the table."""


def _intervals(fits: Sequence[CauseFit]) -> AnswerTable:
    def per(row: _Row) -> str:
        fit = row[0]
        unit = "clock h" if fit.meter.field == "every_clock_h" else large_unit(fit.meter.unit)[1]
        return f"{unit}{' a web' if fit.webs > 1 else ''}"

    title = "Mean interval between stops, with its 95 % interval"
    rows = [(f, f.interval, large_unit(f.meter.unit)[0]) for f in fits]
    return _laws("intervals", title, rows, "", (Column("in", left=True), per))


def _restores(fits: Sequence[CauseFit]) -> AnswerTable:
    title = "Mean time to restore, with its 95 % interval"
    return _laws("restores", title, [(fit, fit.restore_min, 1) for fit in fits], "min")


def _laws(
    name: str,
    title: str,
    rows: Sequence[_Row],
    unit: str,
    *per: tuple[Column, Callable[[_Row], str]],
) -> AnswerTable:
    return AnswerTable.of(
        name,
        title,
        rows,
        ("cause", lambda row: row[0].matched.cause),
        (Column("stops", rank=1), lambda row: row[0].count),
        (Column("mean", unit, figures=True), lambda row: mean_cells(row[1], each=row[2])[0]),
        (Column("from", figures=True), lambda row: mean_cells(row[1], each=row[2])[1]),
        (Column("to", figures=True), lambda row: mean_cells(row[1], each=row[2])[2]),
        *per,
        (Column("law", left=True), _law_cell),
        (Column("shape or sd", left=True, rank=2), lambda row: _others(row[1], row[2])),
        (Column("fit", left=True), lambda row: _FITS.get(row[1].goodness, row[1].goodness)),
    )


def _law_cell(row: _Row) -> str:
    fit, fitted, _ = row
    kept = fit.few and fit.matched.place is not None
    kept = kept and (fitted is fit.restore_min or fitted.fit.law != "exponential")
    return "as stated" if kept else fitted.fit.law


def _others(fitted: FittedLaw, each: int) -> str:
    """The parameters of a law beside its mean, each with its ends."""
    cells = [
        mean_cells(fitted, name, each=each if name == "sd" else 1.0)
        for name in fitted.fit.parameters
        if name != "mean" and name in fitted.intervals
    ]
    return ", ".join(f"{value} ({low}–{high})" for value, low, high in cells)


def _as_logged(fits: Sequence[CauseFit]) -> AnswerTable:
    shown = with_trend(fits)
    return AnswerTable.of(
        "as-logged",
        "What each cause is called in the log, and whether it changes over time",
        fits,
        ("cause", lambda fit: fit.matched.cause),
        (Column("station", left=True), lambda fit: station_words(fit.matched.station or "?")),
        (Column("trend", left=True), lambda fit: trend_cell(fit, shown)),
        (
            Column("in the log as", left=True, rank=1),
            lambda fit: ", ".join(fit.matched.written)[:_WRITTEN_SHOWN],
        ),
    )


def fit_notes(
    fits: Sequence[CauseFit],
    timed: bool,
    pace: Pace | None = None,
    *,
    from_reams: bool = False,
    several: bool = False,
) -> list[str]:
    """How it was fitted, and what a log cannot tell."""
    notes = [
        "Each cause has the law that its own values speak for most (the glossary says by which"
        " methods: fit). May fit: nothing in these values contradicts it. An interval that still"
        " runs when the log ends counts as cut off, not as a stop. Hours are those in which the"
        " station moves, unless they are of the clock.",
        f"Of fewer than {FEW} stops the scenario's law of times to restore stays, moved to their"
        " mean; one or two leave its mean, too, unless they rule it out. How sure that mean is goes"
        " by the spread of that law, or of the values where theirs is greater.",
        "The first interval is taken to begin where the log does.",
        "A time to restore from a log includes waiting for people, which a scenario adds by itself"
        " (crew). Where people were often waited for, take that time off.",
    ]
    if any(fit.changed_at for fit in fits):
        notes.append(
            "The life of a part changed by plan is cut off at its age then. Of fewer than"
            f" {FEW} failures the kind of law and its shape are the scenario's, and only the mean"
            " is fitted. A time to restore is of failures alone."
        )
    if several:
        notes.append(
            "Of several logs, p is the chance of such counts before and in the newest at one rate"
            " (Przyborowski and Wilenski 1940); what is shown is so with all causes tested together"
            " (Holm 1979). Width is that of the mean's interval, by the logarithm, from all logs"
            " against those before."
        )
    if not timed:
        notes.append(
            "A log does not show when a station stood starved or blocked. Without the plant's"
            " counts that time is taken for running, and intervals come out too long where waiting"
            " is much."
        )
    else:
        notes += naming(
            "Nothing counted tells how long their stations waited, so that counts as running, and"
            " intervals come out too long where it is much: {}.",
            (fit.matched.cause for fit in fits if fit.waiting),
        )
    if pace is not None:
        notes += pace_words(pace, from_reams=from_reams)
    notes += naming(
        "On hours in place of the scenario's own meter, which nothing here counts: {}.",
        (f"{fit.matched.cause} ({_meter(fit.instead_of)})" for fit in fits if fit.instead_of),
    )
    if any(fit.webs > 1 for fit in fits):
        notes.append(
            "Causes that every web has of its own: the log does not name the web, so each web is"
            " given the mean of all times the webs, and an exponential law."
        )
    return notes


def _meter(field: str) -> str:
    return field.removeprefix("every_").replace("_", " ")
