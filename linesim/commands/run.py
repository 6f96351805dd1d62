"""``linesim run``: run a line and say what it delivers, and why."""

from __future__ import annotations

import contextlib
import math
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from linesim.studies import Replicated

AUDIT_FAILED = 3
STOPPED = 130
_HOURS_WORTH_PROCESSES = 300.0


class _Hours(click.FloatRange):
    """Hours above 0; "nan" is no number of hours."""

    name = "hours"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        hours = float(super().convert(value, param, ctx))
        if math.isnan(hours):
            self.fail(f"{value!r} is not a number of hours", param, ctx)
        return hours


@click.command()
@click.argument("scenario", metavar="SCENARIO")
@click.option(
    "--hours",
    type=_Hours(min=0, min_open=True, max=200_000),
    metavar="H",
    help="Hours of the line to run in each replication; one shift unless given.",
)
@click.option(
    "--replications",
    type=click.IntRange(1, 100_000),
    default=10,
    show_default=True,
    metavar="N",
    help="Runs with independent luck; the intervals come from these.",
)
@click.option(
    "--seed",
    type=click.IntRange(0, 2**63 - 1),
    default=1,
    show_default=True,
    metavar="S",
    help="The same seed gives the same figures, to the byte.",
)
@click.option(
    "--json",
    "json_file",
    metavar="FILE",
    help='Write all figures to FILE as JSON; "-" prints them instead of the report.',
)
@click.option(
    "--csv",
    "csv_folder",
    metavar="FOLDER",
    help="Write spans, sets, reams, bridge level and sums of the first run to FOLDER.",
)
@click.option("--audit", is_flag=True, help="Check every run's books; exits with 3 on a fault.")
@click.option(
    "--processes",
    type=click.IntRange(1, 256),
    metavar="P",
    help="Processes to share the runs; unless given, chosen by the work. Changes no figure.",
)
@click.pass_context
def run(
    ctx: click.Context,
    scenario: str,
    hours: float | None,
    replications: int,
    seed: int,
    json_file: str | None,
    csv_folder: str | None,
    audit: bool,
    processes: int | None,
) -> None:
    """Run a line and report reams, losses, effectiveness.

    Every figure comes with its interval.

    SCENARIO is a path or the name of a demo scenario. Ctrl-C ends early and reports the
    replications that are complete.
    """
    from linesim.scenario import find_scenario, load
    from linesim.studies import replicate

    _refuse_bad_targets(json_file, csv_folder)
    loaded = load(find_scenario(scenario))
    length = hours if hours is not None else loaded.line.shift_hours
    with _progress(replications) as progress:
        result = replicate(
            loaded,
            replications=replications,
            seed=seed,
            hours=hours,
            processes=processes or _processes_for(replications * length),
            keep_first=csv_folder is not None,
            check=audit,
            progress=progress,
        )
    _write(result, json_file, csv_folder)
    _print(result, json_file, audit)
    if result.interrupted:
        click.echo(f"Stopped: {len(result.runs)} of {result.asked} runs were complete.", err=True)
        ctx.exit(STOPPED)
    if any(check.faults for each in result.runs for check in each.checks):
        ctx.exit(AUDIT_FAILED)


def _refuse_bad_targets(json_file: str | None, csv_folder: str | None) -> None:
    """Say before the work, not after it, that its result could not be written."""
    if json_file is not None and json_file != "-":
        path = Path(json_file)
        if path.is_dir():
            raise click.UsageError(f"--json: {json_file} is a folder; name a file")
        if not path.parent.is_dir():
            raise click.UsageError(f"--json: there is no folder {path.parent}")
    if csv_folder is not None and Path(csv_folder).exists() and not Path(csv_folder).is_dir():
        raise click.UsageError(f"--csv: {csv_folder} is a file; name a folder")


def _processes_for(hours: float) -> int:
    # Starting a process takes about as long as some hundreds of hours of a line.
    return 1 if hours < _HOURS_WORTH_PROCESSES else os.cpu_count() or 1


@contextlib.contextmanager
def _progress(replications: int) -> Iterator[Callable[[float, int], None] | None]:
    """A bar on the terminal; nothing where the errors go to a file."""
    from rich.console import Console
    from rich.progress import Progress, TimeRemainingColumn

    console = Console(stderr=True)
    if not console.is_terminal:
        yield None
        return
    columns = (*Progress.get_default_columns()[:-1], TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("running", total=replications)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def _write(result: Replicated, json_file: str | None, csv_folder: str | None) -> None:
    from linesim.report.csv_folder import write_folder
    from linesim.report.files import write_text
    from linesim.report.json_text import json_text

    if json_file is not None and json_file != "-":
        write_text(Path(json_file), json_text(result))
    if csv_folder is not None and result.first is not None:
        write_folder(Path(csv_folder), result.first)


def _print(result: Replicated, json_file: str | None, audit: bool) -> None:
    from linesim.report.json_text import json_text
    from linesim.report.plain import text_console
    from linesim.report.terminal import print_audit, print_report

    if json_file == "-":
        click.echo(json_text(result), nl=False)
        return
    console = text_console()
    print_report(result, console)
    if audit:
        print_audit(result, console)
