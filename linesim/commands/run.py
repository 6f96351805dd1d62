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
    from linesim.scenario import Scenario
    from linesim.studies import Replicated
    from linesim.studies.settling import Settled

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
    "--long-run",
    is_flag=True,
    help="Leave the start out (by MSER-5): how the line is in the long run. Without it each run"
    " starts as a real one does: reels as found, bridge empty.",
)
@click.option(
    "--within",
    type=click.FloatRange(min=0, min_open=True, max=50),
    metavar="PERCENT",
    help="Add runs until good reams are known to within so much, or --most is reached.",
)
@click.option(
    "--most",
    type=click.IntRange(2, 100_000),
    default=200,
    show_default=True,
    metavar="N",
    help="With --within: no more runs than this.",
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
    long_run: bool,
    within: float | None,
    most: int,
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
    if within is not None and not 2 <= replications <= most:
        raise click.UsageError(
            f"--within needs from 2 runs to begin with up to --most ({most}); --replications is"
            f" {replications}"
        )
    loaded = load(find_scenario(scenario))
    length = hours if hours is not None else loaded.line.shift_hours
    settled = _settle(loaded, length, replications, seed) if long_run else None
    with _progress(replications) as progress:
        result = replicate(
            loaded,
            replications=replications,
            seed=seed,
            hours=hours,
            warm_up_h=settled.warm_up_h if settled is not None else 0.0,
            processes=processes or _processes_for(replications * length),
            keep_first=csv_folder is not None,
            check=audit,
            narrow=within / 100 if within is not None else None,
            most=most,
            progress=progress,
        )
    _write(result, json_file, csv_folder)
    _print(result, json_file, audit, settled)
    if within is not None and not result.interrupted:
        _say_how_narrow(result, within)
    if result.interrupted:
        click.echo(f"Stopped: {len(result.runs)} of {result.asked} runs were complete.", err=True)
        ctx.exit(STOPPED)
    if any(check.faults for each in result.runs for check in each.checks):
        ctx.exit(AUDIT_FAILED)


def _settle(scenario: Scenario, hours: float, replications: int, seed: int) -> Settled:
    from linesim.studies.runner import Runner, Settings
    from linesim.studies.settling import find_warm_up

    # Two pilots at least: one run's ups and downs would pass for a start that is over.
    pilots = max(2, replications)
    settings = Settings(replications=pilots, most=pilots, seed=seed, hours=hours, processes=1)
    with Runner(settings) as runner:
        return find_warm_up(scenario, runner)


def _say_how_narrow(result: Replicated, within: float) -> None:
    good = result.measure("good_reams_per_hour")
    half = good.half_width or 0.0
    found = 100 * half / good.mean if good.mean else math.inf
    reached = "reached" if found <= within else "not reached"
    click.echo(
        f"Asked for ± {within:g} % of good reams: {reached}, ± {found:.2g} % with"
        f" {len(result.runs)} runs.",
        err=True,
    )


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


def _print(result: Replicated, json_file: str | None, audit: bool, settled: Settled | None) -> None:
    from linesim.report.json_text import json_text
    from linesim.report.plain import text_console
    from linesim.report.terminal import print_audit, print_report
    from linesim.report.words import settled_words

    if json_file == "-":
        click.echo(json_text(result), nl=False)
        return
    console = text_console()
    print_report(result, console)
    if settled is not None:
        console.print(settled_words(settled))
    if audit:
        print_audit(result, console)
