"""How a study is asked from the command line: its settings, study file, progress and exports."""

from __future__ import annotations

import errno
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from linesim.commands.answer_output import write_answer
from linesim.commands.exit_codes import (
    BAD_INPUT,
    FAULT_OF_THE_PROGRAM,
    STOPPED,
    RefusedError,
    os_error_words,
)
from linesim.commands.progress import StderrProgress
from linesim.commands.run_options import (
    refuse_bad_file,
    refuse_bad_folder,
    say_engine,
    started,
)
from linesim.questions import Question, QuestionError, RunSettings, Study

if TYPE_CHECKING:
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner, Settings
    from linesim.studies.study_file import StudyFile

_A_FEW_VARIANTS = 3


def run_study(
    ctx: click.Context,
    study: Study,
    given: Mapping[str, Any],
    scenarios: Mapping[str, Scenario],
    options: Mapping[str, Any],
) -> None:
    """Ask the study, print and export; exit with 130, saying so, where it was stopped.

    ``given`` are the options of the study itself, ``options`` those that every study takes.
    """
    from linesim.interrupts import interrupt_asked_for
    from linesim.questions.asking import answer_with
    from linesim.report.answers.exports import NoWorkbookError
    from linesim.studies.cluster import ClusterError, WorkersLostError
    from linesim.studies.field_names import FieldError
    from linesim.studies.run_spec import OtherProgramError
    from linesim.studies.runner import Runner, StoppedError
    from linesim.studies.study_file import StudyFileError

    try:
        question = Question(study.name, dict(given))
    except ValueError as error:
        raise RefusedError(str(error)) from None
    _refuse_bad_outputs(options)
    scenarios = {name: started(each, options["start"]) for name, each in scenarios.items()}
    settings = _settings(options)
    say_engine(settings.hours * settings.replications * _A_FEW_VARIANTS)
    progress = StderrProgress()
    path: Path | None = None
    try:
        with _kept(study.name, scenarios, options) as file:
            path = file.path if file is not None else None
            if file is not None and len(file):
                click.echo(
                    f"{len(file)} finished runs found in {path}: going on from there.", err=True
                )
            with (
                interrupt_asked_for() as stop,
                Runner(settings, file=file, progress=progress, stop=stop) as runner,
            ):
                answer = answer_with(
                    runner,
                    question,
                    scenarios,
                    file,
                    options["long_run"],
                    partial=progress.show_so_far,
                    growing=False,
                )
                files = (options[each] for each in ("json_file", "csv_folder", "xlsx", "pictures"))
                write_answer(answer, options["terminal"], *files)
                click.echo(_work(runner), err=True)
                progress.end()
                stopped = runner.interrupted
            if file is not None and file.failed:
                click.echo(f"Note: not every finished run was kept: {file.failed}", err=True)
        if not stopped and path is not None and options["keep"] is None:
            path.unlink(missing_ok=True)
        if stopped:
            click.echo(f"Stopped.{_where(path)}", err=True)
            ctx.exit(STOPPED)
    except StoppedError:
        progress.end()
        click.echo(
            f"Stopped before every variant had enough runs: nothing can be said yet.{_where(path)}",
            err=True,
        )
        ctx.exit(STOPPED)
    except WorkersLostError as error:
        progress.end()
        click.echo(f"linesim: {error}.{_where(path)}", err=True)
        ctx.exit(FAULT_OF_THE_PROGRAM)
    except OSError as error:
        progress.end()
        if error.errno == errno.EPIPE:
            raise
        # A run or the answer could not be written: a full disk, no right to.
        click.echo(f"linesim: {os_error_words(error)}.{_where(path)}", err=True)
        ctx.exit(BAD_INPUT)
    except QuestionError as error:
        progress.end()
        flag = f"{study.flag_of(error.option)}: " if error.option else ""
        raise RefusedError(f"{flag}{error.problem}") from None
    except (
        StudyFileError,
        ClusterError,
        OtherProgramError,
        NoWorkbookError,
        FieldError,
    ) as error:
        progress.end()
        raise RefusedError(str(error)) from None


def _settings(options: Mapping[str, Any]) -> Settings:
    asked = RunSettings(**{name: options[name] for name in RunSettings.declared()})
    try:
        return asked.settings(processes=options["processes"], cluster=options["cluster"])
    except ValueError as error:
        raise RefusedError(str(error)) from None


def _work(runner: Runner) -> str:
    from linesim.studies.progress import duration

    kept = f", {runner.from_file} taken from the study file" if runner.from_file else ""
    return f"{runner.made} runs made in {duration(runner.seconds)}{kept}."


def _where(path: Path | None) -> str:
    if path is None:
        return ""
    return f" Finished runs are kept in {path}; the same command goes on from there."


def _refuse_bad_outputs(options: Mapping[str, Any]) -> None:
    """Say before the work, not after it, that its result could not be written."""
    for name in ("json_file", "xlsx", "keep"):
        refuse_bad_file("--" + name.removesuffix("_file"), options[name])
    refuse_bad_folder("--csv", options["csv_folder"])
    refuse_bad_folder("--pictures", options["pictures"])
    if options["xlsx"] is not None:
        try:
            import openpyxl  # noqa: F401
        except ImportError:
            raise RefusedError(
                "--xlsx needs the package openpyxl: pip install 'linesim[xlsx]'"
            ) from None


@contextmanager
def _kept(
    study: str, scenarios: Mapping[str, Scenario], options: Mapping[str, Any]
) -> Iterator[StudyFile | None]:
    """The study file; None, with a word about it, where the cache cannot be used."""
    from linesim.questions.study_files import cached_study, study_file_for
    from linesim.studies.study_file import StudyFileError, discard

    asked: Path | None = options["keep"]
    try:
        path = asked if asked is not None else cached_study(study, scenarios)
        if options["start_over"]:
            discard(path)
        file = study_file_for(path, scenarios, may_fail=asked is None)
    except (OSError, StudyFileError) as error:
        if asked is not None:
            raise
        click.echo(f"Note: finished runs are not kept this time: {error}", err=True)
        yield None
        return
    with file:
        yield file
