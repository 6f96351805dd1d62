"""``linesim run``: run a line and say what it delivers, and why."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from linesim.commands.answer_output import say, write_figures
from linesim.commands.declared_options import run_option
from linesim.commands.exit_codes import AUDIT_FAILED, STOPPED, RefusedError
from linesim.commands.helps import helps_of, see_to_engine
from linesim.commands.progress import StderrProgress
from linesim.commands.run_options import (
    above_zero,
    csv_option,
    json_option,
    loaded,
    pictures_option,
    processes_option,
    refuse_bad_file,
    refuse_bad_folder,
    scenario_argument,
    start_option,
    started,
    wide_option,
)

if TYPE_CHECKING:
    from linesim.record import Record
    from linesim.report.plain import Terminal
    from linesim.scenario import ForcedStop, Scenario
    from linesim.studies import Replicated, WhatHelps


@click.command()
@scenario_argument
@run_option(
    "hours",
    help="Hours of the line in each run; one shift unless given.",
    default=None,
    least=0,
    above_least=True,
)
@run_option(
    "replications",
    help="Independent runs; the intervals come from these.",
    default=10,
    least=1,
)
@start_option
@run_option("long_run")
@run_option("within_percent")
@run_option("most")
@run_option("seed")
@json_option("all figures", instead="report")
@csv_option(
    "Write spans, sets, reams, bridge level, sums and energy of the first run to FOLDER, and the"
    " pictures."
)
@pictures_option("Draw line, typical shift, losses and rates to FOLDER, each as SVG and PDF.")
@click.option(
    "--share",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write the first run to FILE as one page that plays in any browser, to mail or to show:"
    " below 3 MB, no network.",
)
@click.option(
    "--stop",
    metavar="STATION HOUR MINUTES",
    type=(str, click.FloatRange(0), above_zero(1e6)),
    help="With --share: put a stop into the run that is written, so many hours after it starts and"
    " so many minutes long. The page tells what it did.",
)
@click.option(
    "--audit",
    is_flag=True,
    help="Check that the paper and reams of every run balance; exits with 3 if not.",
)
@wide_option("--json FILE")
@click.option(
    "--levers/--no-levers",
    default=None,
    help="Say which levers would help most, each alone; unless told otherwise from two runs on,"
    " where the compiled engine is ready.",
)
@processes_option
@click.pass_context
def run(
    ctx: click.Context,
    scenario: str,
    hours: float | None,
    replications: int,
    start: str | None,
    long_run: bool,
    within_percent: float | None,
    most: int,
    seed: int,
    json_file: str | None,
    csv_folder: Path | None,
    pictures: Path | None,
    share: Path | None,
    stop: tuple[str, float, float] | None,
    audit: bool,
    terminal: Terminal,
    levers: bool | None,
    processes: int | None,
) -> None:
    """Run a line and report its reams, losses and effectiveness.

    Every figure comes with its interval.

    SCENARIO is a path or the name of a demo scenario. Ctrl-C ends early and reports the
    runs that are complete.

    \b
        linesim run short-bridge
        linesim run two-wrappers --hours 12 --replications 20 --audit
    """
    from linesim.files import write_text
    from linesim.report.as_json import json_text
    from linesim.report.as_text import run_text
    from linesim.report.csv_folder import write_folder
    from linesim.report.words import narrow_words
    from linesim.studies import replicate
    from linesim.studies.settling import NotSettledError, in_the_long_run, long_run_for

    refuse_bad_file("--json", json_file)
    refuse_bad_file("--share", share)
    refuse_bad_folder("--csv", csv_folder)
    refuse_bad_folder("--pictures", pictures)
    if within_percent is not None and not 2 <= replications <= most:
        raise click.UsageError(
            f"--within needs from 2 runs to begin with up to --most ({most}); --replications is"
            f" {replications}"
        )
    line = started(loaded(scenario), start)
    length = hours if hours is not None else line.line.shift_hours
    forced = _forced(line, stop, length, may=share is not None and not long_run)
    see_to_engine(replications, length, levers)
    settled = None
    if long_run:
        try:
            settled = long_run_for(line, hours=length, replications=replications, seed=seed)
        except NotSettledError as error:
            raise RefusedError(f"--long-run: {error}") from None
        line, length = in_the_long_run(line), settled.hours
    with StderrProgress() as progress:
        result = replicate(
            line,
            replications=replications,
            seed=seed,
            hours=length,
            warm_up_h=settled.warm_up_h if settled is not None else 0.0,
            processes=processes,
            check=audit,
            narrow=within_percent / 100 if within_percent is not None else None,
            most=most,
            progress=progress,
        )
    helps = helps_of(result, levers)
    found = None if isinstance(helps, str) else helps
    if json_file is not None and json_file != "-":
        write_text(Path(json_file), json_text(result, found))
    if csv_folder is not None:
        write_folder(csv_folder, _first_run(result))
    if csv_folder or pictures:
        from linesim.report.page.picture_files import run_figures

        write_figures(run_figures(result), csv_folder, pictures)
    if json_file == "-":
        click.echo(json_text(result, found), nl=False)
    else:
        say(run_text(result, helps, settled=settled, audit=audit, terminal=terminal))
    if within_percent is not None and not result.interrupted:
        click.echo(narrow_words(result, within_percent), err=True)
    if share is not None and not result.interrupted:
        _write_shared(share, result, helps, forced)
    if result.interrupted:
        click.echo(f"Stopped: {len(result.runs)} of {result.asked} runs were complete.", err=True)
        ctx.exit(STOPPED)
    if any(check.faults for each in result.runs for check in each.checks):
        ctx.exit(AUDIT_FAILED)


def _forced(
    line: Scenario, stop: tuple[str, float, float] | None, hours: float, *, may: bool
) -> tuple[ForcedStop, ...]:
    """The stop that is asked for, if there is one, of a station of this line."""
    from linesim.scenario import WEB_STATIONS, ForcedStop

    if stop is None:
        return ()
    if not may:
        raise click.UsageError("--stop needs --share, and does not go with --long-run")
    station, at_h, minutes = stop
    up_to_wrapper = [*WEB_STATIONS, "transfer", "bridge", "wrapper"]
    known = dict.fromkeys([*up_to_wrapper, *line.stations_called("wrapper"), *line.end_of_line])
    if station not in known:
        raise RefusedError(f"--stop: {station!r} is none of {', '.join(known)}")
    if not at_h < hours:
        raise RefusedError(f"--stop: {at_h:g} h is not within the run of {hours:g} h")
    return (ForcedStop(station=station, at_h=at_h, minutes=minutes),)


def _first_run(result: Replicated, forced: tuple[ForcedStop, ...] = ()) -> Record:
    """The first run of the line as stated, with all that happened."""
    from linesim.fast import simulate

    hours, warm_up_h = result.runs[0].hours, result.warm_up_h
    return simulate(
        result.scenario, seed=result.seed, hours=hours, warm_up_h=warm_up_h, forced=forced
    )


def _write_shared(
    path: Path, result: Replicated, helps: WhatHelps | str, forced: tuple[ForcedStop, ...]
) -> None:
    """The first run as a page that plays; of one with a stop put in, what that did."""
    from linesim.files import write_text
    from linesim.record import disturbance
    from linesim.report.shared import TooLongToShareError, shared_shift

    with StderrProgress() as progress:

        def so_far(part: float) -> bool:
            progress.say(f"the page that plays: {100 * part:.0f} %")
            return True

        try:
            record, without, did = _first_run(result, forced), None, None
            if forced:
                without = _first_run(result)
                did = disturbance(without, record, *forced)
            page = shared_shift(
                record, result, helps, disturbance=did, without=without, progress=so_far
            )
        except TooLongToShareError as error:
            raise RefusedError(f"--share: {error}") from None
    write_text(path, page)
