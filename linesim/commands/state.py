"""``linesim state``: a state file to fill in, or that of a run at a moment."""

from __future__ import annotations

import datetime as dt

import click

from linesim.commands.exit_codes import RefusedError
from linesim.commands.run_options import loaded, scenario_argument

_MOST_HOURS = 10_000


@click.command()
@scenario_argument
@click.option("--at", metavar="MOMENT", help="Date and time of the state; now unless given.")
@click.option(
    "--after",
    type=click.FloatRange(0, _MOST_HOURS),
    metavar="H",
    help="Instead of one to fill in: the state of a run of the line after H hours.",
)
@click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True, help="Of that run."
)
def state(scenario: str, at: str | None, after: float | None, seed: int) -> None:
    """Print a state file for linesim forecast, with every field that the line may have.

    Fill in what is known; what is left out is drawn as such a line is found on any day.

    \b
        linesim state full-pallets > now.toml
    """
    from linesim.fast import state_after
    from linesim.scenario import dump_state, state_to_fill_in

    line = loaded(scenario)
    moment = at or f"{dt.datetime.now():%Y-%m-%d %H:%M}"
    try:
        moment = f"{dt.datetime.fromisoformat(moment):%Y-%m-%d %H:%M}"
    except ValueError:
        raise RefusedError(
            f"--at: {moment!r} is no date and time, such as 2026-03-02 14:20"
        ) from None
    if after is None:
        click.echo(state_to_fill_in(line, moment), nl=False)
    else:
        click.echo(dump_state(state_after(line, moment, seed=seed, hours=after)), nl=False)
