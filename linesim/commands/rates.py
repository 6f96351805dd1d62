"""``linesim rates``: the V of a line, before any run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from linesim.commands.answer_output import say
from linesim.commands.run_options import loaded, scenario_argument, wide_option

if TYPE_CHECKING:
    from linesim.report.plain import Terminal


@click.command()
@scenario_argument
@wide_option()
def rates(scenario: str, terminal: Terminal) -> None:
    """Show the rated and net rate of each station.

    The net rate is what its own stops alone leave. No run is made: both follow from the
    scenario file. SCENARIO is a path or the name of a demo scenario.

    \b
        linesim rates my-line.toml
    """
    from linesim.report.as_text import rates_text

    say(rates_text(loaded(scenario), terminal))
