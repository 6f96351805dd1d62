"""What every study command shares: its options, its study file, its progress, its exports."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from linesim.commands.study_progress import StderrProgress, duration

if TYPE_CHECKING:
    from linesim.report.answers import AnswerTable
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner
    from linesim.studies.settling import Settled

F = TypeVar("F", bound=Callable[..., Any])

STOPPED = 130

_OPTIONS = (
    click.option(
        "--hours",
        type=click.FloatRange(min=1, max=200_000),
        default=168.0,
        metavar="H",
        show_default=True,
        help="Hours of the line in each run.",
    ),
    click.option(
        "--replications",
        type=click.IntRange(2, 100_000),
        default=20,
        metavar="N",
        show_default=True,
        help="Runs of each variant, each with luck of its own.",
    ),
    click.option(
        "--seed",
        type=click.IntRange(0, 2**63 - 1),
        default=1,
        metavar="S",
        show_default=True,
        help="The same seed gives the same figures, to the byte.",
    ),
    click.option(
        "--long-run",
        is_flag=True,
        help="Leave the start out (by MSER-5): how the line is in the long run. Without"
        " it each run starts as a real week does: reels as found, bridge empty.",
    ),
    click.option(
        "--within",
        type=click.FloatRange(min=0, min_open=True, max=50),
        metavar="PERCENT",
        help="Add runs until good reams are known to within so much, or --most is reached.",
    ),
    click.option(
        "--most",
        type=click.IntRange(2, 100_000),
        default=200,
        metavar="N",
        show_default=True,
        help="With --within: no more runs of each variant than this.",
    ),
    click.option(
        "--processes",
        type=click.IntRange(1, 256),
        metavar="P",
        help="Processes to share the runs; unless given, chosen by the work.",
    ),
    click.option(
        "--cluster",
        metavar="ADDRESS",
        help="Make the runs on the workers of a Dask scheduler, such as tcp://10.0.0.5:8786.",
    ),
    click.option(
        "--keep",
        type=click.Path(dir_okay=False, path_type=Path),
        metavar="FILE",
        help="Keep every finished run in FILE for good. Unless given, runs are kept in"
        " the cache until the study is complete, so that a killed one resumes.",
    ),
    click.option("--start-over", is_flag=True, help="Throw the kept runs away first."),
    click.option(
        "--json",
        "json_file",
        metavar="FILE",
        help='Write the answer to FILE as JSON; "-" prints it instead of the text.',
    ),
    click.option(
        "--csv",
        "csv_folder",
        type=click.Path(file_okay=False, path_type=Path),
        metavar="FOLDER",
        help="Write each table to FOLDER as CSV.",
    ),
    click.option(
        "--xlsx",
        type=click.Path(dir_okay=False, path_type=Path),
        metavar="FILE",
        help="Write the tables to FILE as a workbook.",
    ),
)


def study_options(command: F) -> F:
    """Give a command the options of all studies; it takes them as ``**options``."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


class StudyRefusedError(click.ClickException):
    """What cannot be done as asked."""

    exit_code = 2


@dataclass
class Desk:
    """Where a study command works: scenarios in, answer out."""

    ctx: click.Context
    study: str
    options: Mapping[str, Any]
    scenario: Scenario
    runner: Runner
    settled: Settled | None

    def give(
        self,
        words: Sequence[str],
        tables: Sequence[AnswerTable],
        notes: Sequence[str] = (),
        *,
        scenario: str | None = None,
    ) -> None:
        """Print and export the answer; say so and exit with 130 where the study was stopped."""
        from linesim.report.answers import (
            Answer,
            answer_json,
            print_answer,
            write_answer_csv,
            write_answer_xlsx,
        )
        from linesim.report.files import write_text
        from linesim.report.plain import text_console

        answer = Answer(
            self.study,
            scenario or self.scenario.line.name,
            tuple(words),
            tuple(tables),
            (*notes, *self._closing()),
            self._facts(),
        )
        json_file = self.options["json_file"]
        if self.options["csv_folder"] is not None:
            write_answer_csv(self.options["csv_folder"], answer)
        if self.options["xlsx"] is not None:
            write_answer_xlsx(self.options["xlsx"], answer)
        if json_file == "-":
            click.echo(answer_json(answer), nl=False)
        else:
            if json_file is not None:
                write_text(Path(json_file), answer_json(answer))
            print_answer(answer, text_console())
        click.echo(self._work(), err=True)

    def _facts(self) -> dict[str, str | int | float | bool | None]:
        settings = self.runner.settings
        return {
            "seed": settings.seed,
            "hours": settings.hours,
            "level": settings.level,
            "warm_up_h": settings.warm_up_h,
            "replications": settings.replications,
            "stopped_early": self.runner.interrupted,
            "invented": self.scenario.line.invented,
        }

    def _closing(self) -> Iterator[str]:
        from linesim.report.plain import CAUTIONS, INVENTED
        from linesim.version import __version__

        settings = self.runner.settings
        if self.settled is None:
            yield (
                "Each run starts as a real one does: reels as the scenario says, bridge empty."
                " (--long-run leaves the start out.)"
            )
        else:
            yield _settled_words(self.settled)
        if self.scenario.line.invented:
            yield f"Note: {INVENTED}"
        for caution in CAUTIONS:
            yield f"Caution: {caution}"
        early = (
            " Stopped early: what is said rests on the runs that were complete."
            if (self.runner.interrupted)
            else ""
        )
        yield (
            f"linesim {__version__}, seed {settings.seed}, runs of {settings.hours:g} h,"
            f" {100 * settings.level:.0f} % intervals.{early}"
        )

    def _work(self) -> str:
        runner = self.runner
        kept = f", {runner.from_file} taken from the study file" if runner.from_file else ""
        return f"{runner.made} runs made in {duration(runner.seconds)}{kept}."


def _settled_words(settled: Settled) -> str:
    text = (
        f"Long run: the first {settled.warm_up_h:g} h of each run are left out (MSER-5, White"
        f" 1997, on {settled.pilot_runs} pilot runs of {settled.pilot_h:g} h)."
    )
    if not settled.settled:
        text += (
            " That is more than half of the pilot: it was too short to tell; ask for more --hours."
        )
    return text


@contextmanager
def study_desk(
    ctx: click.Context, study: str, scenarios: Mapping[str, Scenario], options: Mapping[str, Any]
) -> Iterator[Desk]:
    """A desk for a study of these scenarios (the first is the one it is about)."""
    from concurrent.futures.process import BrokenProcessPool

    from linesim.report.answers.exports import NoWorkbookError
    from linesim.studies.executors import ClusterError
    from linesim.studies.job import OtherProgramError
    from linesim.studies.runner import Runner, Settings, StoppedError
    from linesim.studies.settling import find_warm_up, settings_after
    from linesim.studies.study_file import StudyFileError
    from linesim.studies.vary import FieldError

    _refuse_bad_targets(options)
    try:
        settings = Settings(
            replications=options["replications"],
            seed=options["seed"],
            hours=options["hours"],
            narrow=options["within"] / 100 if options["within"] else None,
            most=options["most"],
            processes=options["processes"],
            cluster=options["cluster"],
        )
    except ValueError as error:
        raise StudyRefusedError(str(error)) from None
    scenario = next(iter(scenarios.values()))
    progress = StderrProgress()
    path: Path | None = None
    try:
        with _kept(study, scenarios, options) as file:
            path = file.path if file is not None else None
            if file is not None and len(file):
                click.echo(
                    f"{len(file)} finished runs found in {path}: going on from there.", err=True
                )
            with Runner(settings, file=file, progress=progress) as runner:
                settled = None
                if options["long_run"]:
                    settled = find_warm_up(scenario, runner)
                    runner.settings = settings_after(runner.settings, settled)
                yield Desk(ctx, study, options, scenario, runner, settled)
                progress.end()
                stopped = runner.interrupted
        if not stopped and path is not None and options["keep"] is None:
            path.unlink(missing_ok=True)
        if stopped:
            click.echo(f"Stopped.{_where(path)}", err=True)
            ctx.exit(STOPPED)
    except StoppedError:
        progress.end()
        click.echo(
            f"Stopped before every variant had two runs: nothing can be said yet.{_where(path)}",
            err=True,
        )
        ctx.exit(STOPPED)
    except BrokenProcessPool:
        progress.end()
        click.echo(
            "linesim: a process that made runs was ended from outside (out of memory?); runs in"
            f" flight are lost.{_where(path)}",
            err=True,
        )
        ctx.exit(1)
    except (
        StudyFileError,
        ClusterError,
        OtherProgramError,
        NoWorkbookError,
        FieldError,
    ) as error:
        progress.end()
        raise StudyRefusedError(str(error)) from None


def _where(path: Path | None) -> str:
    if path is None:
        return ""
    return f" Finished runs are kept in {path}; the same command goes on from there."


def _refuse_bad_targets(options: Mapping[str, Any]) -> None:
    """Say before the work, not after it, that its result could not be written."""
    for name in ("json_file", "xlsx", "keep"):
        target = options[name]
        if target is None or str(target) == "-":
            continue
        path = Path(target)
        option = "--" + name.removesuffix("_file")
        if path.is_dir():
            raise click.UsageError(f"{option}: {path} is a folder; name a file")
        if not path.parent.is_dir():
            raise click.UsageError(f"{option}: there is no folder {path.parent}")
    if options["xlsx"] is not None:
        try:
            import openpyxl  # noqa: F401
        except ImportError:
            raise StudyRefusedError(
                "--xlsx needs the package openpyxl: pip install 'linesim[xlsx]'"
            ) from None


@contextmanager
def _kept(
    study: str, scenarios: Mapping[str, Scenario], options: Mapping[str, Any]
) -> Iterator[Any]:
    """The study file; None, with a word about it, where the cache cannot be used."""
    import hashlib

    from linesim.studies.job import program_digest, scenario_digest
    from linesim.studies.study_file import StudyFile, StudyFileError, discard

    digests = [scenario_digest(each) for each in scenarios.values()]
    digest = (
        digests[0]
        if len(digests) == 1
        else (hashlib.sha256("\x1f".join(digests).encode()).hexdigest())
    )
    program = program_digest()
    name = ", ".join(each.line.name for each in scenarios.values())
    asked: Path | None = options["keep"]
    try:
        path = asked if asked is not None else _cache_path(study, digest, program)
        if options["start_over"]:
            discard(path)
        file = StudyFile(path, scenario=digest, name=name, program=program)
    except (OSError, StudyFileError) as error:
        if asked is not None:
            raise
        click.echo(f"Note: finished runs are not kept this time: {error}", err=True)
        yield None
        return
    with file:
        yield file


def _cache_path(study: str, scenario: str, program: str) -> Path:
    from platformdirs import user_cache_path

    folder = user_cache_path("linesim", appauthor=False) / "studies"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{study}-{scenario[:16]}-{program[:8]}.sqlite"
