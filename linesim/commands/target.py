"""The command that looks for the cheapest way to an output."""

from __future__ import annotations

from typing import Any

import click

from linesim.commands.run_options import (
    Number,
    above_zero,
    loaded,
    place_years_option,
    scenario_argument,
)
from linesim.commands.study_options import answer_at_desk, study_options


@click.command("meet-target")
@scenario_argument
@click.option(
    "--reams-per-week",
    type=above_zero(1e8),
    required=True,
    metavar="N",
    help="The good reams a week that are asked for.",
)
@click.option(
    "--certainty",
    type=Number(min=50, max=99.9),
    default=90.0,
    show_default=True,
    metavar="PERCENT",
    help="How sure it must be that the mean of all weeks is at least as much.",
)
@click.option(
    "--places",
    metavar="FROM:TO:COUNT",
    help="Places to try, or a list a,b,c if only those can be had.",
)
@click.option(
    "--more-people",
    type=click.IntRange(0, 20),
    default=2,
    show_default=True,
    metavar="N",
    help="People more than now to try.",
)
@click.option(
    "--person-cost",
    type=Number(min=0, max=1e9),
    default=0.0,
    metavar="MONEY",
    help="Cost of one more person a year, all shifts; unless given, as [money] says. Where neither"
    " does, the fewest people come first.",
)
@place_years_option
@study_options
@click.pass_context
def meet_target(
    ctx: click.Context,
    /,
    scenario: str,
    reams_per_week: float,
    certainty: float,
    places: str | None,
    more_people: int,
    person_cost: float,
    years: float,
    **options: Any,
) -> None:
    """The cheapest way to so many reams a week.

    Which bridge, levels, reels changed together, crew and wrappers reach an output with a certainty
    for the least money: searched with the same random numbers, checked with fresh ones. Bridges
    are as long as longest_m in [bridge] lets them; one more wrapper is tried where it has a price.

    \b
        linesim meet-target short-bridge --reams-per-week 330000 --hours 24 \\
            --replications 4
    """
    scenarios = {"": loaded(scenario)}
    given = {
        "reams_per_week": reams_per_week,
        "certainty_percent": certainty,
        "places": places,
        "more_people": more_people,
        "person_cost_per_year": person_cost,
        "years": years,
    }
    answer_at_desk(ctx, "meet-target", given, scenarios, options)
