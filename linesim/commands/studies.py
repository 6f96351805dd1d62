"""The commands that answer with many runs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from linesim.commands.endings import RefusedError
from linesim.commands.run_options import (
    Number,
    above_zero,
    loaded,
    place_years_option,
    scenario_argument,
)
from linesim.commands.study_options import answer_at_desk, study_options

_UNCERTAIN = ("contribution", "demand", "capital", "running_cost")


@click.command("size-bridge")
@scenario_argument
@click.option("--places", metavar="FROM:TO:COUNT", help="Places to try, or a list a,b,c.")
@click.option(
    "--points",
    type=click.IntRange(3, 100),
    default=15,
    show_default=True,
    metavar="N",
    help="Points of the curve, where --places is not given.",
)
@click.option(
    "--fraction",
    type=Number(min=0, max=100),
    default=0.05,
    show_default=True,
    metavar="PERCENT",
    help="What a place must add where no money is known.",
)
@place_years_option
@click.option("--levels/--no-levels", default=True, help="Also look for the best levels.")
@study_options
@click.pass_context
def size_bridge(
    ctx: click.Context,
    /,
    scenario: str,
    places: str | None,
    points: int,
    fraction: float,
    years: float,
    levels: bool,
    **options: Any,
) -> None:
    """How long a bridge pays, and its best levels.

    Output, effectiveness and blocked hours against the places on the bridge, beside the
    two-station estimate, and where one more place earns less than it costs.

    \b
        linesim size-bridge short-bridge --places 14,21,40,60 --no-levels --hours 24 \\
            --replications 4
    """
    scenarios = {"": loaded(scenario)}
    given = {
        "places": places,
        "points": points,
        "fraction_percent": fraction,
        "years": years,
        "levels": levels,
    }
    answer_at_desk(ctx, "size-bridge", given, scenarios, options)


@click.command("rank-stops")
@scenario_argument
@study_options
@click.pass_context
def rank_stops(ctx: click.Context, /, scenario: str, **options: Any) -> None:
    """What each stop cause really costs.

    The reams gained at the end of the line when that cause alone is taken away, all else
    meeting the same random numbers; then what improving each station would give.

    \b
        linesim rank-stops short-bridge --hours 8 --replications 4
    """
    scenarios = {"": loaded(scenario)}
    answer_at_desk(ctx, "rank-stops", {}, scenarios, options)


@click.command("add-wrapper")
@scenario_argument
@click.option(
    "--payback-years",
    type=above_zero(100),
    default=3.0,
    show_default=True,
    metavar="N",
    help="Chance of being paid back within N years.",
)
@click.option(
    "--years",
    type=above_zero(100),
    default=10.0,
    show_default=True,
    metavar="N",
    help="Life over which present value counts.",
)
@click.option(
    "--uncertain",
    multiple=True,
    metavar="WHAT=PERCENT",
    help="Standard deviation of an input: "
    + ", ".join(_UNCERTAIN)
    + ". May be given several times.",
)
@study_options
@click.pass_context
def add_wrapper(
    ctx: click.Context,
    /,
    scenario: str,
    payback_years: float,
    years: float,
    uncertain: tuple[str, ...],
    **options: Any,
) -> None:
    """Whether one more wrapper pays, and what would do as much.

    The line with and without it, all else by the same random numbers; what then holds the line,
    the money (demand, payback,
    present value), and cheaper things beside it.

    \b
        linesim add-wrapper slow-wrapper --hours 8 --replications 4
    """
    scenarios = {"": loaded(scenario)}
    given = {"payback_years": payback_years, "years": years, **_uncertainty(uncertain)}
    answer_at_desk(ctx, "add-wrapper", given, scenarios, options)


def _uncertainty(given: Sequence[str]) -> dict[str, float]:
    values: dict[str, float] = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or name not in _UNCERTAIN:
            raise RefusedError(
                f"--uncertain: {text!r}; right would be one of {', '.join(_UNCERTAIN)} with"
                " a percentage, such as contribution=10"
            )
        try:
            percent = float(value.removesuffix("%"))
        except ValueError:
            percent = -1.0
        if not 0 <= percent <= 100:
            raise RefusedError(f"--uncertain: {text!r}: the percentage must be 0 to 100")
        values[f"{name}_percent"] = percent
    return values


@click.command("what-holds")
@scenario_argument
@click.option(
    "--step",
    type=Number(min=0.1, max=100),
    default=5.0,
    show_default=True,
    metavar="PERCENT",
    help="The small improvement of each station's speed.",
)
@study_options
@click.pass_context
def what_holds(ctx: click.Context, /, scenario: str, step: float, **options: Any) -> None:
    """Which station holds the line, asked in four ways.

    By net rate, by what the others wait for, by the longest active periods, and by what a small
    improvement adds; with what to believe where they differ.

    \b
        linesim what-holds slow-wrapper --hours 8 --replications 4
    """
    scenarios = {"": loaded(scenario)}
    answer_at_desk(ctx, "what-holds", {"step_percent": step}, scenarios, options)


@click.command("vary")
@scenario_argument
@click.argument("fields", nargs=-1, required=True, metavar="SECTION.FIELD=FROM:TO:COUNT...")
@study_options
@click.pass_context
def vary(ctx: click.Context, /, scenario: str, fields: tuple[str, ...], **options: Any) -> None:
    """What any field changes: a curve, or a map of two.

    Values may also be listed: crew.size=2,3,5. A field that holds a law of chance is scaled to
    the means given. One of several stop causes, wrappers or orders goes by its name:
    "stop.wrapper jam.restore_min=2:6:3" (in quotes where the name has a space).

    \b
        linesim vary small-crew crew.size=1,2,3 --hours 24 --replications 4
    """
    scenarios = {"": loaded(scenario)}
    answer_at_desk(ctx, "vary", {"fields": fields}, scenarios, options)


@click.command("compare")
@click.argument("scenarios", nargs=-1, required=True, metavar="SCENARIO...")
@study_options
@click.pass_context
def compare(ctx: click.Context, /, scenarios: tuple[str, ...], **options: Any) -> None:
    """Whole scenarios side by side, with the same random numbers.

    The first one is what the others are held against.

    \b
        linesim compare short-bridge two-wrappers --hours 24 --replications 4
    """
    if len(scenarios) < 2 or len(set(scenarios)) < len(scenarios):
        raise RefusedError("name two or more different scenarios to compare")
    lines = {name: loaded(name) for name in scenarios}
    answer_at_desk(ctx, "compare", {}, lines, options)


STUDIES = (size_bridge, rank_stops, add_wrapper, what_holds, vary, compare)
