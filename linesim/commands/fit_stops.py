"""``linesim fit-stops``: from the plant's stop log to stop causes of a scenario."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from linesim.plant.running_meter import Planned
    from linesim.plant.stop_log import StopLog
    from linesim.report.answers import Answer
    from linesim.scenario import Scenario

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command("fit-stops")
@click.argument("log", metavar="LOG", type=click.Path(path_type=Path))
@click.option(
    "--into",
    type=_FILE,
    metavar="SCENARIO",
    help="Write the fits into this scenario file; its comments stay.",
)
@click.option(
    "--for",
    "match_to",
    metavar="SCENARIO",
    help="Match causes to this scenario and use its meters and speeds, but write nothing.",
)
@click.option(
    "--production",
    type=_FILE,
    metavar="FILE",
    help="The plant's counts: shift start, shift end, good reams, web km. They tell when the line"
    " was meant to run, and move the meters of reams and kilometres.",
)
@click.option(
    "--hours-per-day",
    type=click.FloatRange(0, 24, min_open=True),
    metavar="H",
    help="Without --production: planned hours of each day.",
)
@click.option(
    "--day-starts",
    default="06:00",
    show_default=True,
    metavar="HH:MM",
    help="With --hours-per-day: when they begin.",
)
@click.option(
    "--column",
    "columns",
    multiple=True,
    metavar="FIELD=HEADING",
    help="Where a field stands, such as start=Beginn. Fields: start, end, minutes, date, station,"
    " cause. May be given several times.",
)
@click.option(
    "--cause",
    "causes",
    multiple=True,
    metavar="WRITTEN=CAUSE",
    help="What a cause of the log means, such as 'Papierstau=wrapper jam'. Several times.",
)
@click.option("--sheet", metavar="NAME", help="Which sheet of a workbook.")
@click.option(
    "--longest",
    type=click.FloatRange(0, 1000, min_open=True),
    default=12.0,
    show_default=True,
    metavar="H",
    help="A stop longer than this is taken for a mistake and left out.",
)
@click.option("--from", "since", metavar="DATE", help="Leave out stops that begin before DATE.")
@click.option("--to", "until", metavar="DATE", help="The last date whose stops are used.")
@click.option(
    "--resamples",
    type=click.IntRange(20, 10_000),
    default=200,
    show_default=True,
    metavar="N",
    help="Resamples behind intervals and goodness of fit.",
)
@click.option("--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, metavar="S")
@click.option(
    "--json",
    "json_file",
    metavar="FILE",
    help='Write the answer to FILE as JSON; "-" prints it instead of the text.',
)
@click.option(
    "--csv",
    "csv_folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="Write each table to FOLDER as CSV.",
)
def fit_stops(log: Path, json_file: str | None, csv_folder: Path | None, **given: Any) -> None:
    """What your own stop log says of each cause.

    Reads a log as the plant keeps it (CSV or workbook), lists every row that cannot be used with
    its reason, and fits intervals and times to restore, cause by cause.
    """
    from linesim.report.answers import answer_json, print_answer, write_answer_csv
    from linesim.report.files import write_text
    from linesim.report.plain import text_console

    if given["into"] and given["match_to"]:
        raise click.UsageError("give either --into or --for: both name the scenario")
    answer, rewritten = _answer(log, given)
    if rewritten is not None:
        write_text(given["into"], rewritten)
    if csv_folder is not None:
        write_answer_csv(csv_folder, answer)
    if json_file == "-":
        click.echo(answer_json(answer), nl=False)
        return
    if json_file is not None:
        write_text(Path(json_file), answer_json(answer))
    print_answer(answer, text_console())


def _answer(path: Path, given: dict[str, Any]) -> tuple[Answer, str | None]:
    """The answer, and the scenario's new text where one is to be written."""
    from linesim.plant.causes_matched import match_causes
    from linesim.plant.fitting import Fitter, outside_planned
    from linesim.plant.into_scenario import FEWEST, write_fits
    from linesim.plant.stop_log import read_stop_log
    from linesim.report.answers import Answer
    from linesim.report.answers.stop_fits import fit_notes, fit_tables, fit_words
    from linesim.scenario import check_text
    from linesim.version import __version__

    text, scenario = _scenario(given)
    since, until = _date("from", given["since"]), _date("to", given["until"])
    until = None if until is None else until + dt.timedelta(days=1)
    log = read_stop_log(
        path,
        columns=_pairs("column", given["columns"]),
        sheet=given["sheet"],
        longest_h=given["longest"],
        since=since,
        until=until,
    )
    planned, said = _planned(log, given, since, until)
    log = outside_planned(log, planned)
    causes = match_causes(log.stops, scenario, _pairs("cause", given["causes"]))
    fitter = Fitter(causes, planned, scenario, seed=given["seed"], resamples=given["resamples"])
    fits = tuple(fitter.fit(cause) for cause in causes)
    words = fit_words(log, fits, said, scenario)
    rewritten = None
    if not fits:
        words.append("No stop can be used, so nothing was fitted.")
    elif text is not None and scenario is not None:
        found = write_fits(text, scenario, log, fits)
        check_text(found.text, file=str(given["into"]))
        rewritten = found.text
        words.append(
            f"Written into {given['into']}: {len(found.causes)} causes, each with a note of where"
            " its figures came from."
        )
        if found.left:
            words.append(f"Fewer than {FEWEST} stops, so not written: {', '.join(found.left)}.")
    answer = Answer(
        "fit-stops",
        scenario.line.name if scenario is not None else path.name,
        tuple(words),
        fit_tables(log, fits),
        tuple(fit_notes(fits, given["production"] is not None)),
        {
            "log": str(path),
            "seed": given["seed"],
            "resamples": given["resamples"],
            "version": __version__,
        },
    )
    return answer, rewritten


def _scenario(given: dict[str, Any]) -> tuple[str | None, Scenario | None]:
    from linesim.scenario import check_text, find_scenario, load

    if given["match_to"]:
        return None, load(find_scenario(given["match_to"]))
    if given["into"] is None:
        return None, None
    # Bytes, so that each line keeps its own end.
    try:
        text = given["into"].read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise click.UsageError(f"--into: {given['into']} is not UTF-8 text") from None
    return text, check_text(text, file=str(given["into"]))


def _planned(
    log: StopLog, given: dict[str, Any], since: dt.datetime | None, until: dt.datetime | None
) -> tuple[tuple[Planned, ...], str]:
    """Planned time and, in words, where it is from."""
    from linesim.plant.fitting import planned_of_log, worked
    from linesim.plant.production import read_production
    from linesim.plant.running_meter import planned_by_day, planned_from_counts

    if given["production"] is not None:
        counts = [
            count
            for count in read_production(given["production"])
            if (since is None or count.start >= since) and (until is None or count.start < until)
        ]
        planned = planned_from_counts(counts)
        what = f"the {len(planned)} shifts of {given['production']}"
    elif given["hours_per_day"] and log.stops:
        try:
            starts = dt.time.fromisoformat(given["day_starts"])
        except ValueError:
            raise click.UsageError(
                f"--day-starts: {given['day_starts']!r} is no time of day, such as 06:00"
            ) from None
        first = since or log.stops[0].start
        last = until - dt.timedelta(seconds=1) if until else log.stops[-1].start
        planned = planned_by_day(first, last, given["hours_per_day"], starts)
        days = len(planned)
        planned = worked(log, planned)
        what = f"{given['hours_per_day']:g} h a day from {starts:%H:%M}, as told"
        if len(planned) < days:
            what += f"; {days - len(planned)} days with hardly a stop taken for days off"
    else:
        planned = planned_of_log(log, since, until)
        what = "all time from the first stop to the last, day and night (no shifts were given)"
        if since or until:
            what = "all time between the dates asked for, day and night (no shifts were given)"
    hours = sum((each.end - each.start).total_seconds() for each in planned) / 3600
    return planned, f"Planned time: {hours:,.4g} h: {what}."


def _pairs(option: str, texts: tuple[str, ...]) -> dict[str, str]:
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise click.UsageError(f"--{option}: {text!r} is not two names with = between")
        found[name.strip()] = value.strip()
    return found


def _date(option: str, text: str | None) -> dt.datetime | None:
    try:
        return None if text is None else dt.datetime.fromisoformat(text)
    except ValueError:
        raise click.UsageError(
            f"--{option}: {text!r} is no date; right would be year-month-day, such as 2026-03-16"
        ) from None
