"""The answer of ``validate``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from linesim.plant.stops_compared import CauseCompared, StopsCompared
from linesim.plant.validate import Compared, Validation
from linesim.record.states import station_words
from linesim.report.answers.answer import AnswerContent, bounded_text, naming
from linesim.report.answers.cells import Column, Figure, p_cell, p_text
from linesim.report.answers.charts import Bar, Bars
from linesim.report.answers.dates import day_words
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import Scenario
from linesim.statistics import counted, format_with_interval, rough
from linesim.studies.what_to_measure import MainFigure

_FAR, _FEW_FAR = 2.0, 5
"""So many times outside the band a count is far; where more are, it is the model that is."""


def validate_answer(
    scenario: Scenario, found: Validation, of_files: Sequence[str] = ()
) -> AnswerContent:
    """The answer of ``validate``; ``of_files`` are notes on the files it was made with."""
    return AnswerContent(
        found,
        _words(scenario, found),
        _tables(found),
        _charts(found),
        (*_notes(found), *of_files),
        # The verdict has its reasons in the sentences after it.
        brief=4 + len(_far_words(found)),
        main=MainFigure.output(
            None if found.totals is None else found.totals.predicted, "good reams in all"
        ),
        variants=False,
    )


def _words(scenario: Scenario, found: Validation) -> list[str]:
    """Whether the counts speak against the model, on what grounds, and where it goes astray."""
    name = f"“{scenario.line.name}”"
    if found.totals is None or found.inside is None:
        return [f"{name}: no count has a simulated shift to match: nothing can be compared."]
    if found.matches and found.stops is not None and found.stops.first_off is not None:
        first = (
            f"{name}: the reams counted do not contradict the model, but the stops do: it makes"
            " about as much for other reasons than the plant."
        )
    elif found.matches:
        first = (
            f"{name}: the counts do not contradict the model. That is no proof that it is right:"
            " few counts show only large faults."
        )
    else:
        first = f"{name}: the model does NOT match the plant."
    words = [first, _totals_words(found), *_far_words(found)]
    return [*words, _spread_words(found), *_stops_words(found)]


def _totals_words(found: Validation) -> str:
    totals = found.totals
    assert totals is not None
    predicted = totals.predicted
    apart = totals.actual - predicted.mean
    text = (
        f"In all: {totals.actual:,} good reams counted, {predicted.text()} predicted"
        f" for a stretch of {_counts(found)}."
    )
    if not predicted.mean:
        return text
    percent = format_with_interval(
        100 * abs(apart) / predicted.mean,
        100 * predicted.half_width / predicted.mean,
        100 * predicted.doubt / predicted.mean,
    )
    way = "more" if apart > 0 else "less"
    p = p_text(totals.p)
    if found.totals_agree:
        return f"{text} The totals agree: no difference shown ({p})."
    return f"{text} The totals do not agree: the plant made {percent} % {way} ({p})."


def _far_words(found: Validation) -> list[str]:
    """Counts that no such shift comes near: they are asked about before the model is."""
    far = [
        f"{each.actual:,} on {day_words(each.start)} at {each.start:%H:%M}"
        for each in found.counts
        if each.band is not None
        and not each.band.low / _FAR <= each.actual <= each.band.high * _FAR
    ]
    if not 0 < len(far) <= _FEW_FAR:
        return []
    return naming(
        "Look at these first, which weigh in the totals as they stand: {}. A count so far from all"
        " that such a shift could make is misread, or the line hardly ran.",
        far,
    )


def _counts(found: Validation) -> str:
    return counted(sum(each.band is not None for each in found.counts), "count")


def _spread_words(found: Validation) -> str:
    inside = found.inside
    assert inside is not None
    text = f"{inside.count} of {inside.n} counts lie where {100 * found.level:g} % of single shifts"
    if found.crossed:
        text += " should, in plants that agree with what is known."
    else:
        text += f" should: {bounded_text(inside, '%')} %."
    p = p_text(found.inside_p)
    if found.spread_agrees:
        return f"{text} That is as expected ({p})."
    below = sum(each.place == "below" for each in found.counts)
    above = sum(each.place == "above" for each in found.counts)
    return (
        f"{text} Too few ({p}): {below} lie below and {above} above. Where"
        " both are many, the plant's shifts differ more than the model's."
    )


def _stops_words(found: Validation) -> list[str]:
    if found.stops is None:
        why = "" if found.matches else " The stops of the plant's log, given too, would show it."
        return [f"Counts alone do not show at which station it goes astray.{why}"]
    stops = found.stops
    if not stops.causes and not stops.only_logged:
        return ["The log has no stop in the time compared."]
    words = []
    first = stops.first_off
    if first is not None:
        words.append(
            f"Along the line, the stops first differ at the {station_words(first.station)}:"
            f" {_off(first)}."
        )
        others = (each for each in stops.causes if each.off and each is not first)
        words += naming(
            "They also differ at: {}.",
            (f"{station_words(each.station)}: {_off(each)}" for each in others),
            "; ",
        )
    elif stops.causes:
        words.append(f"No stop cause of the {len(stops.causes)} compared is shown to differ.")
    words += naming(
        "In the log, but not in the scenario: {}.",
        (f"{c} at {station_words(s)} ({n})" for s, c, n in stops.only_logged),
    )
    words += naming(
        "Predicted, but never in the log, so not compared: {}.",
        (f"{c} at {station_words(s)} ({n.text()})" for s, c, n in stops.only_predicted),
    )
    return words


def _off(each: CauseCompared) -> str:
    parts = []
    if each.count_off:
        predicted = each.predicted.text()
        parts.append(f"{each.cause} stopped it {each.actual} times, predicted {predicted}")
    if each.length_off and each.predicted_min is not None:
        what = "its stops" if each.count_off else f"{each.cause}"
        parts.append(
            f"{what} took {rough(each.actual_min)} min each, predicted {each.predicted_min.text()}"
        )
    return ", and ".join(parts)


def _tables(found: Validation) -> tuple[AnswerTable, ...]:
    """Days, single counts and, with a log, stops."""
    band = f"one such day, {100 * found.level:g} % band"
    tables = [
        _side_by_side("days", "Day by day", found.days, band, days=True),
        _side_by_side("counts", "Count by count", found.counts, band.replace("day", "shift")),
    ]
    if found.stops is not None and found.stops.causes:
        tables.append(_stops(found.stops))
    return tuple(tables)


def _side_by_side(
    name: str, title: str, rows: Sequence[Compared], band: str, *, days: bool = False
) -> AnswerTable:
    return AnswerTable.of(
        name,
        f"{title}: what was counted, and what the line should have made",
        rows,
        *(
            [
                ("day", lambda each: f"{each.start:%Y-%m-%d}"),
                (Column("counts", rank=1), lambda each: each.counts),
            ]
            if days
            else [("from, to", lambda each: _from_to(each.start, each.end))]
        ),
        (Column("counted", "reams"), lambda each: each.actual),
        (Column(f"mean and {band}", "reams"), lambda each: each.band),
        (Column("verdict", left=True), lambda each: each.place),
    )


def _from_to(start: dt.datetime, end: dt.datetime) -> str:
    return f"{start:%Y-%m-%d %H:%M} to {end:%H:%M}"


def _stops(stops: StopsCompared) -> AnswerTable:
    return AnswerTable.of(
        "stops",
        "Stops logged and predicted in the same planned time, along the line",
        stops.causes,
        ("station", lambda each: station_words(each.station)),
        (Column("cause", left=True), lambda each: each.cause),
        ("logged", lambda each: each.actual),
        ("predicted", lambda each: each.predicted),
        (Column("p", rank=2), lambda each: p_cell(each.count_p)),
        (Column("logged", "min each"), lambda each: each.actual_min),
        (Column("predicted", "min each"), lambda each: each.predicted_min),
        (
            Column("p ", rank=2),
            lambda each: None if each.length_p is None else p_cell(each.length_p),
        ),
        (Column("verdict", left=True), lambda each: "differs" if each.off else ""),
    )


def _charts(found: Validation) -> tuple[Bars, ...]:
    """The bands of the days, and what was counted in each."""
    bars = tuple(
        Bar(
            day_words(day.start),
            # The middle of the band, so that both of its ends stand where they are.
            Figure((day.band.low + day.band.high) / 2, (day.band.high - day.band.low) / 2),
            float(day.actual),
        )
        for day in found.days
        if day.band is not None
    )
    if not bars:
        return ()
    return (
        Bars(
            "days",
            f"Day by day: the {100 * found.level:g} % band of such a day, and what was counted",
            Column("day"),
            Column("good reams"),
            bars,
            theory_name="counted",
            bands=True,
        ),
    )


def _notes(found: Validation) -> Sequence[str]:
    """What was held against what, and how."""
    compared = (
        f"A count is compared with every simulated shift of the same length with the same pauses"
        f" ({found.runs} runs of {found.hours:g} h, the first shift of each left out)."
    )
    if found.crossed:
        how = (
            " The band is for a single shift of one plant that agrees with what is known: by order"
            " statistics (Wilks 1941) for chance, and wider by what is not known. All counts are"
            " of one plant, so that what is not known moves them together: totals are tested by"
            " Welch's t, the number within bands by its law over such plants."
        )
    else:
        how = (
            " The band is for a single shift, by order statistics (Wilks 1941), or by Student's t"
            " where there are few. Totals are tested by Student's t, the share within bands by the"
            " exact binomial test."
        )
    level = (
        " p is the chance of a difference at least as large where the model is right. One counts as"
        f" shown where p is below {found.alpha / 2:.3g}, half of {100 * found.alpha:.3g} % for"
        " totals and half for the share."
    )
    notes = [compared + how + level]
    if found.left_out:
        notes.append(f"{found.left_out} counts outside the dates asked for were left out.")
    else:
        notes.append(
            "All counts were used. Counts that a fit was made on flatter the model: fit on the"
            " earlier ones and compare with the later ones alone, from the date on that you give."
        )
    if found.stops is not None:
        tests = (
            "counts by the law of a plant that agrees with what is known (negative binomial),"
            " lengths by Welch's t"
            if found.crossed
            else "counts by the exact conditional test of two Poisson rates (Przyborowski and"
            " Wilenski 1940), lengths by Student's t"
        )
        notes.append(f"Stops: {tests}, all together at {100 * found.alpha:.3g} % (Holm 1979).")
    return notes
