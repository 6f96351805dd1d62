"""``linesim rates``: the V of a line, before any run."""

from __future__ import annotations

import click


@click.command()
@click.argument("scenario", metavar="SCENARIO")
def rates(scenario: str) -> None:
    """Show the rated and net rate of each station.

    The net rate is what its own stops alone leave. No run is made: both follow from the
    scenario file. SCENARIO is a path or the name of a demo
    scenario.
    """
    from linesim.report.plain import text_console
    from linesim.report.rates_table import print_rates
    from linesim.scenario import find_scenario, load

    loaded = load(find_scenario(scenario))
    print_rates(loaded, text_console())
