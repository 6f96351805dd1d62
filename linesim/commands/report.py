"""``linesim report``: one page for those who decide, and the evidence behind it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from linesim.commands.declared_options import run_option
from linesim.commands.exit_codes import RefusedError
from linesim.commands.progress import StderrProgress
from linesim.commands.run_options import (
    processes_option,
    refuse_bad_file,
    scenario_argument,
)

if TYPE_CHECKING:
    from linesim.report.answers import Answer
    from linesim.scenario import Scenario

_KINDS = (".html", ".pdf")


@click.command()
@scenario_argument
@click.option(
    "--study",
    "studies",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A study kept with --keep, to be told of in the report. May be given several times.",
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
@click.option("--date", metavar="TEXT", help="A date to print; without it the report has none.")
@run_option(
    "hours",
    help="Hours of the line in each run; one shift unless given.",
    default=None,
    least=0,
    above_least=True,
)
@run_option(
    "replications", help="Independent replications; the intervals come from these.", least=1
)
@run_option("seed", help="The same seed gives the same report, to the byte.")
@processes_option
def report(
    scenario: str,
    studies: tuple[Path, ...],
    output: Path,
    question: str | None,
    date: str | None,
    hours: float | None,
    replications: int,
    seed: int,
    processes: int | None,
) -> None:
    """Write a report to be read and signed.

    One page first: the question, the answer, how sure it is, what it costs, what was assumed.
    Then the evidence: the line, a typical shift, the losses, studies, every input and where it
    comes from. As HTML, one file that needs no network, or as PDF.

    \b
        linesim report short-bridge -o short-bridge.html
    """
    from linesim.files import write_bytes
    from linesim.report.page import PageRefusedError, report_page
    from linesim.scenario import find_scenario, load
    from linesim.studies import replicate

    _refuse_bad_target(output)
    path = find_scenario(scenario)
    loaded = load(path)
    answers = [_answer(file) for file in studies]
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
            typed=_typed(scenario, studies, hours, replications, seed),
            text=path.read_text(encoding="utf-8"),
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


def _answer(file: Path) -> tuple[Scenario, Answer]:
    from linesim.questions.from_file import answer_from_file
    from linesim.studies.study_file import StudyFileError

    try:
        return answer_from_file(file)
    except StudyFileError as error:
        raise RefusedError(str(error)) from None


def _typed(
    scenario: str, studies: Sequence[Path], hours: float | None, replications: int, seed: int
) -> tuple[str, ...]:
    """The command that gives the same figures again; folders are the reader's own."""
    parts: list[Any] = ["linesim", "report", Path(scenario).name]
    for study in studies:
        parts += ["--study", study.name]
    if hours is not None:
        parts += ["--hours", f"{hours:.10g}"]
    parts += ["--replications", replications, "--seed", seed, "-o", "report.html"]
    return (shlex.join(str(part) for part in parts),)
