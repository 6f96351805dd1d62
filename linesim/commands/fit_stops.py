"""``linesim fit-stops``: from the plant's stop log to stop causes of a scenario."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from linesim.commands.answer_output import write_answer, write_figures
from linesim.commands.declared_options import declared_option
from linesim.commands.exit_codes import RefusedError
from linesim.commands.run_options import (
    above_zero,
    csv_option,
    json_option,
    pictures_option,
    refuse_bad_file,
    refuse_bad_folder,
    wide_option,
)
from linesim.questions import STUDIES, QuestionError

if TYPE_CHECKING:
    from linesim.plant.log_fits import LogFits
    from linesim.report.plain import Terminal
    from linesim.scenario import Scenario

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
_OF_THE_LOG = STUDIES["validate"].options.declared()


@click.command("fit-stops")
@click.argument("logs", metavar="LOG...", nargs=-1, required=True, type=click.Path(path_type=Path))
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
    multiple=True,
    metavar="FILE",
    help="The plant's counts: shift start, shift end, good reams, web km. They tell when the line"
    " was meant to run, and move the meters of reams and kilometres. Several times for several"
    " files.",
)
@click.option(
    "--hours-per-day",
    type=above_zero(24),
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
    " cause, and counter in place of start. Several times. Kept for the next log with the same"
    " headings.",
)
@click.option(
    "--forget-columns",
    is_flag=True,
    help="Forget the columns and the order of dates told earlier for these headings.",
)
@declared_option(_OF_THE_LOG["dates"])
@click.option(
    "--counter",
    "counter",
    type=click.Choice(["runs-on", "stands"]),
    help="Whether a running counter runs on while a stop lasts, or stands, as the hour meter of a"
    " machine does; otherwise told by readings and heading.",
)
@click.option(
    "--counter-unit",
    type=click.Choice(["h", "min", "s"]),
    help="What a running counter counts, where its heading does not say.",
)
@click.option(
    "--counter-began",
    metavar="DATE",
    help="When the log of a running counter begins, such as 2026-03-02T06:00; without it the log"
    " has no dates.",
)
@declared_option(_OF_THE_LOG["causes"])
@declared_option(_OF_THE_LOG["stations"])
@click.option(
    "--forget-causes",
    is_flag=True,
    help="Forget the causes and machines told earlier for these headings.",
)
@click.option("--sheet", metavar="NAME", help="Which sheet of a workbook.")
@click.option(
    "--longest",
    type=above_zero(1000),
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
@json_option("the answer", instead="text")
@csv_option("Write each table to FOLDER as CSV, and the pictures.")
@wide_option("--csv FOLDER")
@pictures_option(
    "Draw each cause to FOLDER as SVG and PDF: its intervals over time, and intervals and times to"
    " restore on probability paper."
)
def fit_stops(
    logs: tuple[Path, ...],
    terminal: Terminal,
    json_file: str | None,
    csv_folder: Path | None,
    pictures: Path | None,
    **given: Any,
) -> None:
    """What your own stop log says of each cause.

    Reads a log as the plant keeps it (CSV or workbook), lists every row that cannot be used with
    its reason, and fits intervals and times to restore, cause by cause. Several logs are fitted
    together, and what the newest of them changes is told.

    \b
        linesim fit-stops scenarios/plant/stop-log.csv \\
            --production scenarios/plant/production.csv --for plant-line.toml
    """
    from linesim.report.answers.stop_fits import fit_answer

    refuse_bad_file("--json", json_file)
    refuse_bad_folder("--csv", csv_folder)
    refuse_bad_folder("--pictures", pictures)
    if given["into"] and given["match_to"]:
        raise click.UsageError("give either --into or --for: both name the scenario")
    text, scenario = _scenario(given)
    try:
        found = _fitted(logs, given, scenario)
    except QuestionError as error:
        flag = STUDIES["validate"].flag_of(error.option)
        raise click.UsageError(f"{flag}: {error.problem}") from None
    answer, rewritten = fit_answer(found, into=text, into_name=str(given["into"]))
    if rewritten is not None:
        _write_into(given["into"], text, rewritten)
    if csv_folder or pictures:
        from linesim.report.page.picture_files import fit_figures

        write_figures(fit_figures(found.fits), csv_folder, pictures)
    write_answer(answer, terminal, json_file, csv_folder)


def _fitted(paths: Sequence[Path], given: dict[str, Any], scenario: Scenario | None) -> LogFits:
    """The logs, read and fitted as the options say."""
    from linesim.plant.kept_columns import forget
    from linesim.plant.log_columns import plain
    from linesim.plant.log_fits import FitSettings, fit_log
    from linesim.plant.log_settings import LogSettings
    from linesim.plant.several_logs import open_logs
    from linesim.plant.table_files import read_table
    from linesim.questions.log_words import log_words, pairs, read_date

    since, until = read_date("since", given["since"]), read_date("until", given["until"])
    until = None if until is None else until + dt.timedelta(days=1)
    counter = given["counter"]
    reading = LogSettings(
        columns=pairs("column", given["columns"]),
        sheet=given["sheet"],
        longest_h=given["longest"],
        counter_stands=None if counter is None else counter == "stands",
        counter_unit=given["counter_unit"],
        counter_began=read_date("counter_began", given["counter_began"]),
        terms=log_words(given["dates"], given["causes"], given["stations"], scenario),
        counts=given["production"],
    )
    settings = FitSettings(
        production=given["production"],
        hours_per_day=given["hours_per_day"],
        day_starts=_time(given["day_starts"]),
        since=since,
        until=until,
        seed=given["seed"],
        resamples=given["resamples"],
    )
    columns, causes = given["forget_columns"], given["forget_causes"]
    if columns or causes:
        for path in paths:
            table = read_table(path, sheet=reading.sheet)
            if trouble := forget(table, columns=columns, causes=causes):
                click.echo(trouble, err=True)
    log = open_logs(paths, reading, since=since, until=until)
    here = {plain(stop.cause) for stop in log.stops}
    for cause in reading.terms.causes:
        if plain(cause) not in here:
            click.echo(f"Note: --cause: the log has no stop of {cause!r}.", err=True)
    return fit_log(log, scenario, settings)


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


def _write_into(path: Path, before: str | None, text: str) -> None:
    """Write the scenario, unless somebody else wrote into it while the fits were made."""
    from linesim.files import write_text

    if path.read_bytes().decode("utf-8-sig", "replace") != before:
        raise RefusedError(
            f"--into: {path} was changed by another program meanwhile, and is left as it is; give"
            " the command once more"
        )
    write_text(path, text)


def _time(text: str) -> dt.time:
    try:
        return dt.time.fromisoformat(text)
    except ValueError:
        raise click.UsageError(f"--day-starts: {text!r} is no time of day, such as 06:00") from None
