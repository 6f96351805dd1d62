"""Whether to believe the model."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError, StudyOptions, option

if TYPE_CHECKING:
    from linesim.plant.stop_log import StopLog
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


class ValidateOptions(StudyOptions):
    """What the plant counted and wrote down, and how to read it."""

    against: str = option(
        "",
        "Production counts",
        "File of the plant's counts: shift start, shift end, good reams; CSV or workbook.",
        file=True,
        plant_table="counts",
        metavar="PRODUCTION",
        required=True,
    )
    log: str | None = option(
        None,
        "Stop log",
        "File of the plant's stops, to find the station at which the model goes astray.",
        file=True,
        plant_table="logs",
        metavar="LOG",
    )
    dates: str | None = option(
        None,
        "Dates",
        "What stands first in the dates of the log, and of counts that do not say it themselves;"
        " otherwise told by days above 12, by the shifts of the counts, or by how the days follow"
        " each other. Kept for the next log with the same headings.",
        choices=("day-first", "month-first", "year-first"),
        empty="as they tell",
    )
    causes: str | None = option(
        None,
        "Causes of the log",
        'What a cause of the log means, such as "Papierstau=wrapper jam"; the same name twice says'
        " that it is a cause of its own. Kept for the next log with the same headings.",
        flag="--cause",
        example="Papierstau=wrapper jam",
        metavar="WRITTEN=CAUSE",
        several=True,
    )
    stations: str | None = option(
        None,
        "Machines of the log",
        'Which station a machine of the log is, such as "Packer 3=wrapper". Kept for the next log'
        " with the same headings.",
        flag="--station",
        example="Packer 3=wrapper",
        metavar="WRITTEN=STATION",
        several=True,
    )
    since: str | None = option(
        None,
        "From",
        "Counts that begin before this date are left out: for counts that a fit was made on.",
        flag="--from",
        example="2026-03-09",
        metavar="DATE",
    )
    until: str | None = option(
        None,
        "To",
        "The last date whose counts are used.",
        flag="--to",
        example="2026-03-20",
        metavar="DATE",
    )


def _answer(scenario: Scenario, runner: Runner, options: ValidateOptions, _: bool) -> AnswerContent:
    from linesim.plant.causes_matched import logged_stops
    from linesim.plant.kept_columns import open_log
    from linesim.plant.log_settings import LogSettings
    from linesim.plant.production import read_counts
    from linesim.plant.validate import ValidationError, validate
    from linesim.questions.log_words import log_words, read_date
    from linesim.report.answers.validate import validate_answer

    since, until = read_date("since", options.since), read_date("until", options.until)
    if not options.against:
        raise QuestionError("against", "name the file with the plant's production counts")
    words = log_words(options.dates, _each(options.causes), _each(options.stations), scenario)
    counts = read_counts(options.against, words.date_order)
    log = stops = None
    if options.log:
        log = open_log(options.log, LogSettings(terms=words, counts=options.against))
        if not log.dated:
            problem = "the log tells time by a counter, so its stops have no dates to compare"
            raise QuestionError("log", problem)
        stops = logged_stops(log.stops, scenario, log.terms.causes, log.terms.stations)
    try:
        found = validate(
            scenario,
            runner,
            counts.shifts,
            since=since,
            until=None if until is None else until + dt.timedelta(days=1),
            log=stops,
        )
    except ValidationError as error:
        raise QuestionError("", str(error)) from None
    of_files = [*filter(None, [counts.dates.words(Path(options.against).name)]), *_log_notes(log)]
    return validate_answer(scenario, found, of_files)


def _each(texts: str | None) -> Sequence[str]:
    return [text.strip() for text in (texts or "").split(";") if text.strip()]


def _log_notes(log: StopLog | None) -> Sequence[str]:
    if log is None:
        return ()
    if not log.left_out:
        return log.notes
    return (
        *log.notes,
        f"{len(log.left_out)} of {log.rows} rows of the log cannot be used, and stops outside the"
        " shifts counted are not compared: fewer are than there were. linesim fit-stops lists all"
        " of these rows with their reasons.",
    )


STUDY = Study(
    name="validate",
    position=90,
    title="Believe the model?",
    group="True to the plant",
    question="Does the model match what the plant counted, and if not, where?",
    description="What the plant counted, shift by shift and day by day, beside what the line should"
    " have made; whether the model matches, and at which station it first does not. Runs are made"
    " longer than asked where the plant's calendar needs it.",
    example="plant-line.toml --against scenarios/plant/production.csv"
    " --log scenarios/plant/stop-log.csv --from 2026-03-09",
    by_pace=True,
    options=ValidateOptions,
    answer=_answer,
    no_long_run="a validation keeps to the calendar from the start of a run on",
)
