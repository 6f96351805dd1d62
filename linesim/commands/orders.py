"""The commands of promise and belief: when orders are done, and whether to believe the model."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from linesim.commands.log_options import cause_option, dates_option, station_option
from linesim.commands.run_options import loaded, scenario_argument
from linesim.commands.study_options import answer_at_desk, study_options


@click.command("plan-orders")
@scenario_argument
@click.option(
    "--sequence",
    "sequences",
    multiple=True,
    metavar="A,B,C",
    help="Another sequence to try: numbers of the orders, 1 for the first of the file. May be"
    " given several times.",
)
@study_options
@click.pass_context
def plan_orders(
    ctx: click.Context, /, scenario: str, sequences: tuple[str, ...], **options: Any
) -> None:
    """When each order is done, and what is late.

    In 1, 5 and 9 of 10 runs, with the chance of being late; then the orders by due date and by
    least change-over, and the reels and wrapping rolls to have ready. Unless
    given, --hours is as long as the orders need, and --replications 40.

    \b
        linesim plan-orders orders
    """
    from linesim.questions import QUESTIONS

    scenarios = {"": loaded(scenario)}
    if not _given(ctx, "replications"):
        options["replications"] = QUESTIONS["plan-orders"].replications
    given = {"sequences": ";".join(sequences) or None, "find_hours": not _given(ctx, "hours")}
    answer_at_desk(ctx, "plan-orders", given, scenarios, options)


@click.command("validate")
@scenario_argument
@click.option(
    "--against",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    required=True,
    metavar="PRODUCTION",
    help="The plant's counts: shift start, shift end, good reams; CSV or workbook.",
)
@click.option(
    "--log",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    metavar="LOG",
    help="The plant's stop log, to tell at which station the model goes astray.",
)
@dates_option
@cause_option
@station_option
@click.option(
    "--from",
    "since",
    metavar="DATE",
    help="Leave out counts that begin before DATE: what a fit was made on.",
)
@click.option("--to", "until", metavar="DATE", help="The last date whose counts are used.")
@study_options
@click.pass_context
def validate(
    ctx: click.Context,
    /,
    scenario: str,
    against: Path,
    log: Path | None,
    dates: str | None,
    causes: tuple[str, ...],
    stations: tuple[str, ...],
    since: str | None,
    until: str | None,
    **options: Any,
) -> None:
    """Whether to believe the model.

    What the plant counted beside what the line should have made, shift by shift and day by day.
    Says plainly where the model does not match. Runs are made longer than --hours where the
    plant's calendar needs it.

    \b
        linesim validate plant-line.toml --against scenarios/plant/production.csv \\
            --log scenarios/plant/stop-log.csv --from 2026-03-09
    """
    scenarios = {"": loaded(scenario)}
    given = {
        "against": str(against),
        "log": None if log is None else str(log),
        "dates": dates,
        "causes": ";".join(causes) or None,
        "stations": ";".join(stations) or None,
        "since": since,
        "until": until,
    }
    answer_at_desk(ctx, "validate", given, scenarios, options)


def _given(ctx: click.Context, name: str) -> bool:
    return ctx.get_parameter_source(name) is not ParameterSource.DEFAULT


ORDERS = (plan_orders, validate)
