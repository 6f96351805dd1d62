"""The answer to: what does each stop cause really cost?"""

from __future__ import annotations

from linesim.record.states import station_words
from linesim.report.answers.advice import Advice
from linesim.report.answers.answer import AnswerContent, more_runs, pairing_note, plus
from linesim.report.answers.cells import Column, figure_of
from linesim.report.answers.charts import Bars, bars
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import Scenario
from linesim.statistics import counted, rough
from linesim.studies.rank_stops import IMPROVEMENTS, CauseCost, RankedStops
from linesim.studies.what_to_measure import MainFigure


def rank_stops_answer(scenario: Scenario, found: RankedStops) -> AnswerContent:
    """The answer of ``rank-stops``."""
    words = stops_words(scenario, found)
    return AnswerContent(
        found,
        words,
        _tables(found),
        _charts(found),
        _notes(found),
        main=MainFigure.output(found.reams_per_week),
        advice=_advice(found, words[0]),
    )


def _advice(found: RankedStops, unshown: str) -> Advice:
    first, gain = found.causes[0], found.causes[0].reams_gained
    if not gain.shown or gain.interval.mean <= 0:
        return Advice(unshown)
    many = gain.interval.text()
    return Advice(
        f"The costliest stop cause is {first.cause}: without it, {many} reams a week more."
    )


def stops_words(scenario: Scenario, found: RankedStops) -> list[str]:
    """The dearest cause, the long stop that is free, and the best thing to improve."""
    name, made = scenario.line.name, found.reams_per_week.text()
    dear = [c for c in found.causes if c.reams_gained.shown and c.reams_gained.interval.mean > 0]
    if dear:
        first = dear[0]
        words = [
            f"The costliest cause {'' if first is found.causes[0] else 'that the runs show '}is"
            f" {first.cause}: without it “{name}” would make"
            f" {first.reams_gained.interval.text()} good reams a week more{_takes(first)}."
        ]
    else:
        costs = more_runs(found.causes[0].reams_gained)
        words = [f"“{name}”: no cause is shown to cost anything; {costs}."]
    words.append(f"As it is “{name}” makes {made} good reams a week.")
    words += _surprise(found)
    unshown = [c for c in found.causes if not c.reams_gained.shown]
    if unshown:
        counts = [c.reams_gained.more_runs for c in unshown if c.reams_gained.more_runs]
        more = counted(min(counts), "more run") if counts else ""
        tail = f" ({more} would show the next one)" if more else ""
        words.append(f"No difference shown for {len(unshown)} of {len(found.causes)} causes{tail}.")
    words += _stations(found)
    return words


def _takes(cause: CauseCost) -> str:
    """What it takes on paper; nothing where the runs do not show that it takes any time."""
    if cause.minutes.low <= 0:
        return ""
    return f"; it takes {cause.minutes.text()} minutes a week in {cause.count.text()} stops"


def _surprise(found: RankedStops) -> list[str]:
    """Where minutes and cost say opposite things, each told by the runs."""
    pairs = [
        (longer, dearer)
        for longer in found.causes
        for dearer in found.causes
        if longer.minutes.low > dearer.minutes.high >= 0
        and _at_most(longer) < dearer.reams_gained.interval.low
    ]
    if not pairs:
        return []
    longer, dearer = max(
        pairs, key=lambda pair: pair[1].reams_gained.interval.low - _at_most(pair[0])
    )
    return [
        f"Minutes can mislead: {longer.cause} takes {rough(longer.minutes.mean)} minutes a week,"
        f" more than {dearer.cause} ({rough(dearer.minutes.mean)}), but costs at most"
        f" {rough(_at_most(longer))} reams, where {dearer.cause} costs at least"
        f" {rough(dearer.reams_gained.interval.low)}."
    ]


def _at_most(cause: CauseCost) -> float:
    return max(0.0, cause.reams_gained.interval.high)


def _stations(found: RankedStops) -> list[str]:
    if not found.stations:
        return []
    every = [(s.station, what, gain) for s in found.stations for what, gain in s.gains.items()]
    station, what, gain = max(every, key=lambda each: each[2].interval.mean)
    if not gain.shown:
        return [f"No improvement of a station is shown to bring anything; {more_runs(gain)}."]
    brings = f"{station_words(station)} {what} brings most: {plus(gain)} reams a week"
    return [f"Of all improvements, {brings}."]


def _tables(found: RankedStops) -> tuple[AnswerTable, ...]:
    """Causes by true cost, stations by what is improved."""
    causes = AnswerTable.of(
        "causes",
        "Stop causes by true cost, a week of 168 h",
        found.causes,
        ("cause", lambda c: c.cause),
        (Column("stops", rank=1), lambda c: c.count),
        ("minutes", lambda c: c.minutes),
        (
            Column("slowed more", rank=3),
            lambda c: figure_of(c.slowed, shown=not c.slowed.contains(0)),
        ),
        ("reams gained without it", lambda c: c.reams_gained),
        (
            Column("reams per minute", rank=2),
            lambda c: c.reams_per_minute if c.reams_gained.shown else None,
        ),
    )
    if not found.stations:
        return (causes,)
    stations = AnswerTable.of(
        "stations",
        "Reams a week gained by improving one station",
        found.stations,
        ("station", lambda s: station_words(s.station)),
        *((what, lambda s, what=what: s.gains[what]) for what in IMPROVEMENTS),
    )
    return causes, stations


def _charts(found: RankedStops) -> tuple[Bars, ...]:
    """True cost beside minutes, cause by cause in the same order."""
    return (
        bars(
            "cost",
            "What each cause costs at the end of the line",
            "cause",
            Column("reams gained without it", "reams a week"),
            ((c.cause, c.reams_gained) for c in found.causes),
        ),
        bars(
            "minutes",
            "How long each cause takes",
            "cause",
            Column("time", "minutes a week"),
            ((c.cause, c.minutes) for c in found.causes),
        ),
    )


def _notes(found: RankedStops) -> list[str]:
    """What was assumed."""
    return [
        "Minutes count the time the station itself stood, waiting for people included, and the"
        " time the webs ran slowed for it: running down, at splice speed and running up, less the"
        " run-ups made all the same. That slowed time (“slowed more”) is a difference of runs with"
        " and without the cause, so it, and the low end of minutes with it, can come out below 0:"
        " the webs then ran slowed for longer without the cause, coming up more often for others."
        " Splices and reel changes that are"
        " taken away take no time, yet the webs still run down and up for them: a way of changing"
        " that saves this too may bring more. Gains do not add up: two causes taken"
        " away together may bring more or less. The ranking uses the runs that measured the causes,"
        " which flatters the first a little.",
        pairing_note(found.narrowing) + " (Median of the causes.)",
    ]
