"""``linesim report``: one page for those who sign, and the evidence behind it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from linesim.commands.declared_options import run_option
from linesim.commands.exit_codes import RefusedError
from linesim.commands.helps import helps_of, see_to_engine
from linesim.commands.progress import StderrProgress
from linesim.commands.run_options import (
    processes_option,
    refuse_bad_file,
    scenario_argument,
)
from linesim.questions import STUDIES, Question, QuestionError, RunSettings, report_typed

if TYPE_CHECKING:
    from linesim.plant.log_fits import LogFits
    from linesim.report.answers import Answer
    from linesim.scenario import Scenario

_KINDS = (".html", ".pdf")


@click.command()
@scenario_argument
@click.option(
    "--study",
    "studies",
    multiple=True,
    metavar="STUDY",
    help="A study to be told of, by the name of its command (run now, with its defaults) or a file"
    " kept with --keep. May be given several times; page one is about the first.",
)
@click.option(
    "-o",
    "--output",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Where the report goes: FILE.html or FILE.pdf.",
)
@click.option("--question", metavar="TEXT", help="The question in your own words, put first.")
@click.option(
    "--log",
    "logs",
    multiple=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    metavar="FILE",
    help="The plant's log that stops of the scenario were fitted to: the report shows how well they"
    " fit. May be given several times.",
)
@click.option(
    "--production",
    multiple=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    metavar="FILE",
    help="With --log: the plant's counts that were given to fit-stops.",
)
@click.option("--from", "since", metavar="DATE", help="With --log: as it was given to fit-stops.")
@click.option("--to", "until", metavar="DATE", help="With --log: as it was given to fit-stops.")
@click.option(
    "--appendix", is_flag=True, help="Add the rest: every input, all tables, figures in words."
)
@click.option("--date", metavar="TEXT", help="A date to print; without it the report has none.")
@run_option(
    "hours",
    help="Hours of the line in each run, those of studies run now, too; unless given, one shift,"
    " and what a study takes by itself.",
    default=None,
    least=0,
    above_least=True,
)
@run_option(
    "replications",
    help="Independent runs; the intervals come from these. Studies run now make as many"
    " where it is given.",
    least=1,
)
@run_option("seed", help="The same seed gives the same report, to the byte.")
@processes_option
@click.pass_context
def report(
    ctx: click.Context,
    /,
    scenario: str,
    studies: tuple[str, ...],
    output: Path,
    question: str | None,
    date: str | None,
    appendix: bool,
    hours: float | None,
    replications: int,
    seed: int,
    processes: int | None,
    **log: Any,
) -> None:
    """Write a report to be read and signed.

    One page to sign: the question, the answer in one sentence, the money, a picture, three risks.
    Then the evidence on five pages at most, and the rest where it is asked for. As HTML, one file
    that needs no network, or as PDF.

    \b
        linesim report slow-wrapper --study what-to-change -o slow-wrapper.pdf
    """
    from linesim.files import write_bytes
    from linesim.report.page import PageRefusedError, report_page
    from linesim.scenario import find_scenario, load
    from linesim.studies import replicate

    _refuse_bad_target(output)
    path = find_scenario(scenario)
    loaded = load(path)
    kept = {study: _kept_answer(study) for study in studies if _is_file(study)}
    settings: dict[str, Any] = {"seed": seed}
    given = ctx.get_parameter_source("replications") is not ParameterSource.DEFAULT
    settings |= {"hours": hours} if hours is not None else {}
    settings |= {"replications": replications} if given else {}
    questions = {study: _question(study) for study in studies if study not in kept}
    fits = _fits(log, loaded)
    # A study says better what would help.
    levers = False if studies else None
    see_to_engine(replications, hours or loaded.line.shift_hours, levers)
    answers = [
        kept.get(study) or _asked(questions[study], loaded, settings, processes)
        for study in studies
    ]
    with StderrProgress() as progress:
        result = replicate(
            loaded,
            replications=replications,
            seed=seed,
            hours=hours,
            processes=processes,
            progress=progress,
        )
    try:
        page = report_page(
            loaded,
            result,
            answers,
            question=question,
            date=date,
            typed=_typed(ctx, log, output),
            text=path.read_text(encoding="utf-8"),
            fits=fits,
            appendix=appendix,
            helps=helps_of(result, levers),
        )
    except PageRefusedError as error:
        raise RefusedError(str(error)) from None
    if output.suffix.lower() == ".pdf":
        write_bytes(output, page.pdf())
    else:
        write_bytes(output, page.html().encode())
    click.echo(f"Written: {output}")


def _refuse_bad_target(output: Path) -> None:
    """Say before the work, not after it, that its result could not be written."""
    if output.suffix.lower() not in _KINDS:
        raise RefusedError(
            f"-o: {output} is neither HTML nor PDF; name a file that ends in .html or .pdf"
        )
    refuse_bad_file("-o", output)


def _is_file(study: str) -> bool:
    return study not in STUDIES or Path(study).is_file()


def _kept_answer(study: str) -> tuple[Scenario, Answer]:
    from linesim.questions.from_file import answer_from_file
    from linesim.studies.study_file import StudyFileError

    if not Path(study).is_file():
        names = ", ".join(each.name for each in STUDIES.values() if not each.several)
        raise RefusedError(
            f"--study: {study} is neither a file kept with --keep nor a study; studies: {names}"
        )
    try:
        return answer_from_file(Path(study))
    except StudyFileError as error:
        raise RefusedError(str(error)) from None


def _question(study: str) -> Question:
    """The study with its defaults, refused where it has none."""
    declared = STUDIES[study]
    instead = f"ask it with linesim {study} ... --keep FILE and give --study FILE"
    if declared.several:
        raise RefusedError(f"--study: {study} is of several scenarios: {instead}")
    options = declared.options.declared().values()
    if any(each.required or each.kind is tuple for each in options):
        raise RefusedError(f"--study: {study} must be told what to try: {instead}")
    return Question(study)


def _asked(
    question: Question, scenario: Scenario, settings: dict[str, Any], processes: int | None
) -> Answer:
    from linesim.questions.asking import ask
    from linesim.studies.runner import StoppedError

    chosen = {"replications": question.declaration.replications} | settings
    try:
        asked = RunSettings(**chosen)
        with StderrProgress() as progress:
            return ask(
                question, {"": scenario}, asked.settings(processes=processes), progress=progress
            )
    except StoppedError:
        raise click.Abort from None
    except ValueError as error:
        raise RefusedError(f"--study {question.study}: {error}") from None


def _fits(log: dict[str, Any], scenario: Scenario) -> LogFits | None:
    """What the logs say of the scenario's causes, read as ``fit-stops`` does."""
    if not log["logs"]:
        if given := [name for name in ("production", "since", "until") if log[name]]:
            flags = {"since": "--from", "until": "--to", "production": "--production"}
            raise RefusedError(f"{flags[given[0]]}: name the log by --log, too")
        return None
    from linesim.plant.log_fits import FitSettings, fit_log
    from linesim.plant.log_settings import LogSettings
    from linesim.plant.several_logs import open_logs
    from linesim.questions.log_words import log_words, read_date

    try:
        since, until = read_date("since", log["since"]), read_date("until", log["until"])
    except QuestionError as error:
        raise RefusedError(f"--log: {error.problem}") from None
    until = None if until is None else until + dt.timedelta(days=1)
    reading = LogSettings(terms=log_words(None, (), (), scenario), counts=log["production"])
    settings = FitSettings(production=log["production"], since=since, until=until)
    found = open_logs(log["logs"], reading, since=since, until=until)
    return fit_log(found, scenario, settings)


def _typed(ctx: click.Context, log: dict[str, Any], output: Path) -> tuple[str, ...]:
    """The command that gives the same report again; folders are the reader's own."""
    given = ctx.params
    # Studies take as many by themselves as are best for them, unless it is given.
    counted = ctx.get_parameter_source("replications") is not ParameterSource.DEFAULT
    words = {"--from": log["since"], "--to": log["until"]}
    command = report_typed(
        given["scenario"],
        given["studies"],
        logs=[file.name for file in log["logs"]],
        production=[file.name for file in log["production"]],
        words=words | {"--question": given["question"], "--date": given["date"]},
        hours=given["hours"],
        replications=given["replications"] if counted else None,
        seed=given["seed"],
        appendix=given["appendix"],
        suffix=output.suffix,
    )
    return (command,)
