"""What a learner is told of the line first, and once the answer stands; and how a course went."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.lessons import GivenAnswer, Lesson, LessonTruth, StopFan, score
from linesim.lessons.lesson import ASKED, amount
from linesim.lessons.sums import room_before_bridge, room_behind_wrappers
from linesim.record.capacity import SHEETER, WRAPPERS, line_rates
from linesim.record.states import station_words, with_article
from linesim.report.answers.cells import Cell, Column, figure_of
from linesim.report.answers.charts import Scatter
from linesim.report.answers.tables import AnswerTable
from linesim.report.disturbance_in_words import over_replications_words
from linesim.scenario import Scenario
from linesim.statistics import Interval, counted, rough, student_interval
from linesim.studies.stop_over_replications import StopOverReplications

_NEAR = 2.5
"""An answer up to so many times the largest value is drawn among them."""
LEAST_REAMS = 10
"""Reams that a picture is high at least: one up or down only says that the wrapper is at another
point of its ream than without the stop."""
FAN_TITLE = "Good reams fewer than without the stop, as time goes on"


def truth_words(lesson: Lesson, truth: LessonTruth, answer: float) -> tuple[str, ...]:
    """The learner's answer judged, the truth with its interval, the sum, and other replications.

    ``answer`` is in the unit of the lesson. A truth of a single run is said to have no interval.
    """
    told = _truth(lesson, truth, answer)
    if truth.over_replications is not None:
        told += (over_replications_words(truth.over_replications),)
    return told


def _truth(lesson: Lesson, truth: LessonTruth, answer: float) -> tuple[str, ...]:
    runs, unit = len(truth.values), truth.unit
    seldom = ""
    if truth.happened < runs:
        seldom = f" It happened in {truth.happened} of {runs} runs; the others do not count here."
    if truth.interval is None:
        known = [value for value in truth.values if value is not None]
        if not known:
            return (f"It did not happen in {'any of ' if runs > 1 else ''}{counted(runs, 'run')}.",)
        only = amount(float(f"{known[0]:.2g}") if unit != "reams" else known[0], unit)
        return (f"In the one run in which it happened: {only} (no interval).",)
    alone = " in which nothing else stops the line" if lesson.needs.nothing_else_stops else ""
    near = "close enough" if truth.close(answer, lesson.close_enough_percent) else "not close"
    near_sum = truth.close(truth.sum.value, lesson.close_enough_percent)
    on_paper = amount(round(truth.sum.value, 0 if unit == "reams" else 2), unit)
    return (
        f"Your answer, {amount(answer, unit)}, is {near}.",
        f"The truth: {truth.interval.text()} {unit} (mean of {truth.happened} runs{alone}, 95 %"
        f" interval).{seldom}",
        f"The sum on paper gives {on_paper} and {'comes close' if near_sum else 'is off'}.",
    )


def lesson_figures(lesson: Lesson, scenario: Scenario) -> tuple[tuple[str, str], ...]:
    """What the sum on paper needs of the line, each with its name: rated rates, places, the stop.

    What stands on the bridge when it stops is seen in the picture.
    """
    rates = {rate.station: rate.rated for rate in line_rates(scenario)}
    wrappers = counted(len(scenario.wrapper), "wrapper")
    found = [
        ("sheeter, at its rated speed", f"{rough(rates[SHEETER])} reams/min"),
        (f"{wrappers}, at rated speed", f"{rough(rates[WRAPPERS])} reams/min"),
        ("bridge", counted(scenario.bridge_places, "place")),
    ]
    if scenario.bridge.stop_at_reams is not None:
        found.append(
            ("the sheeter stops at", f"{counted(scenario.bridge.stop_at_reams, 'ream')} on it")
        )
    found.append(("a set", counted(scenario.set_reams, "ream")))
    if room_before_bridge(lesson, scenario):
        found.append(("room before the bridge", "2 sets"))
    if behind := room_behind_wrappers(lesson, scenario):
        found.append(("room behind the wrappers", counted(behind, "ream")))
    stands = with_article(station_words(lesson.stop.station))
    found.append((f"{stands} stands for", f"{lesson.stop.minutes:g} min"))
    return tuple(found)


def score_words(answers: Sequence[GivenAnswer], lessons: int) -> str:
    """How the course stands: first answers that are right, of those given, and of all lessons."""
    right, given = score(answers)
    if not given:
        return ""
    if given < lessons:
        left = counted(lessons - given, "lesson")
        return f"So far {right} of {counted(given, 'answer')} right; {left} to go."
    return f"The course is done: {right} of {counted(given, 'answer')} right."


def score_table(answers: Sequence[GivenAnswer]) -> AnswerTable:
    """Every answer with its truth, as a table; ``table_csv`` gives it to a spreadsheet."""
    columns = (
        "who", "lesson", "question", "attempt", "answer", "truth", "unit", "off by", "right",
        "sum on paper",
    )  # fmt: skip
    rows = tuple(_score_row(each) for each in answers)
    return AnswerTable("answers", "Answers to the lessons", tuple(map(Column, columns)), rows)


def _score_row(each: GivenAnswer) -> tuple[Cell, ...]:
    digits = 0 if each.unit == "reams" else 2
    truth = None if each.truth is None else figure_of(each.truth)
    off = None if each.off_by is None else round(each.off_by, max(1, digits))
    right = "not known" if each.right is None else "right" if each.right else "off"
    return (
        each.who, each.lesson, each.asks, each.attempt, each.answer, truth, each.unit, off, right,
        round(each.on_paper, digits),
    )  # fmt: skip


def each_run_chart(lesson: Lesson, truth: LessonTruth, answer: float) -> Scatter:
    """What is asked for in each run of a truth, their mean with its interval, and the answer."""
    values = [(n, value) for n, value in enumerate(truth.values, 1) if value is not None]
    what = ASKED[lesson.measure]
    caption = "The same stop in each run; the runs differ by chance alone."
    return _each(lesson.title, Column(what, truth.unit), values, truth.interval, caption, answer)


def fan_means(fan: StopFan) -> tuple[Interval | None, ...]:
    """Good reams that the line is behind at each moment: the mean of the runs, with its interval.

    None where there are fewer than two runs.
    """
    if len(fan.reams) < 2:
        return (None,) * len(fan.minutes)
    return tuple(student_interval(moment) for moment in zip(*fan.reams, strict=True))


def fan_table(fan: StopFan) -> AnswerTable:
    """A row for each moment: the mean with its interval, then every run."""
    runs = range(1, len(fan.reams) + 1)
    columns = [
        Column("after the stop began", "min"),
        Column("mean", "reams"),
        *(Column(f"run {n}", "reams") for n in runs),
    ]
    rows = [
        (round(after, 2), None if mean is None else figure_of(mean), *reams)
        for after, mean, *reams in zip(fan.minutes, fan_means(fan), *fan.reams, strict=True)
    ]
    return AnswerTable("reams-behind", FAN_TITLE, tuple(columns), tuple(rows))


def stop_cost_chart(found: StopOverReplications) -> Scatter:
    """Reams lost to a forced stop in each replication, and their mean with its interval."""
    values = [(n, float(lost)) for n, lost in enumerate(found.reams_lost, 1)]
    caption = (
        f"Each run made with and without the stop: good reams fewer by the end of a run of"
        f" {found.hours:.4g} h."
    )
    what = Column("lost", "reams")
    return _each("What the same stop costs", what, values, found.interval, caption)


def _each(
    title: str,
    y: Column,
    values: Sequence[tuple[float, float]],
    interval: Interval | None,
    caption: str,
    answer: float | None = None,
) -> Scatter:
    first, last = (values[0][0] - 0.5, values[-1][0] + 0.5) if values else (0.5, 1.5)
    line: tuple[tuple[float, float], ...] = ()
    band: tuple[tuple[float, float], ...] = ()
    words = ""
    if interval is not None:
        line = tuple((x, interval.mean) for x in (first, last))
        low, high = interval.mean - interval.both, interval.mean + interval.both
        band = ((first, low), (last, low), (last, high), (first, high))
        words = f"mean {interval.text()}"
    most = max((value for _, value in values), default=answer or 0.0)
    low = y.unit == "reams" and most < LEAST_REAMS
    thin: tuple[tuple[float, float], ...] = ()
    if answer is not None:
        if answer <= max(_NEAR * most, LEAST_REAMS if low else 0):
            thin = tuple((x, answer) for x in (first, last))
        else:
            # Drawn to scale it would leave a flat row of points.
            caption += f" Your answer, {amount(answer, y.unit)}, lies far above the picture."
    return Scatter(
        name="each-run",
        title=title,
        x=Column("run"),
        y=y,
        points=tuple(values),
        caption=caption,
        points_name="one run",
        line=line,
        line_name=words,
        band=band,
        band_name=f"its {100 * interval.level:.0f} % interval" if interval is not None else "",
        thin=thin,
        thin_name="your answer" if thin else "",
        heights=(0.0, LEAST_REAMS) if low else (),
    )
