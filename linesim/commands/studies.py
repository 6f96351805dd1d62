"""The commands that answer with many runs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from linesim.commands.study_options import StudyRefusedError, study_desk, study_options

_SCENARIO = click.argument("scenario", metavar="SCENARIO")
_UNCERTAIN = ("contribution", "demand", "capital", "running_cost")


@click.command("size-bridge")
@_SCENARIO
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
    type=click.FloatRange(min=0, max=100),
    default=0.05,
    show_default=True,
    metavar="PERCENT",
    help="What a place must add where no money is known.",
)
@click.option(
    "--years",
    type=click.FloatRange(min=0, min_open=True, max=100),
    default=10.0,
    show_default=True,
    metavar="N",
    help="Years over which the cost of a place counts.",
)
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
    """
    from linesim.report.answers import bridge
    from linesim.scenario import find_scenario, load
    from linesim.studies.bridge_levels import best_levels
    from linesim.studies.size_bridge import places_to_try, size_bridge
    from linesim.studies.vary import read_span

    loaded = load(find_scenario(scenario))
    with study_desk(ctx, "size-bridge", {"": loaded}, options) as desk:
        if places is None:
            tried: Sequence[int] = places_to_try(loaded, points)
        else:
            span = read_span(loaded, f"bridge.places={places}")
            tried = sorted({loaded.bridge_places, *(int(value) for value in span.values)})
            if min(tried) < loaded.set_reams:
                raise StudyRefusedError(
                    f"--places: {min(tried)} places are fewer than the {loaded.set_reams} reams"
                    " of one set"
                )
        found = size_bridge(loaded, desk.runner, tried, asked_fraction=fraction / 100, years=years)
        best = best_levels(loaded, desk.runner) if levels and not desk.runner.interrupted else None
        desk.give(
            bridge.bridge_words(loaded, found, best),
            bridge.bridge_tables(found, best),
            bridge.bridge_notes(found),
        )


@click.command("rank-stops")
@_SCENARIO
@study_options
@click.pass_context
def rank_stops(ctx: click.Context, /, scenario: str, **options: Any) -> None:
    """What each stop cause really costs.

    The reams gained at the end of the line when that cause alone is taken away, all else
    meeting the same luck; then what improving each station would give.
    """
    from linesim.report.answers import stops
    from linesim.scenario import find_scenario, load
    from linesim.studies.rank_stops import rank_stops

    loaded = load(find_scenario(scenario))
    with study_desk(ctx, "rank-stops", {"": loaded}, options) as desk:
        found = rank_stops(loaded, desk.runner)
        desk.give(
            stops.stops_words(loaded, found), stops.stops_tables(found), stops.stops_notes(found)
        )


@click.command("add-wrapper")
@_SCENARIO
@click.option(
    "--payback-years",
    type=click.FloatRange(min=0, min_open=True, max=100),
    default=3.0,
    show_default=True,
    metavar="N",
    help="Chance of being paid back within N years.",
)
@click.option(
    "--years",
    type=click.FloatRange(min=0, min_open=True, max=100),
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
    """Whether a further wrapper pays, and what would do as much.

    With and without under the same luck, what then holds the line, the money (demand, payback,
    present value), and cheaper things beside it.
    """
    from linesim.report.answers import wrapper
    from linesim.scenario import find_scenario, load
    from linesim.studies.add_wrapper import add_wrapper

    loaded = load(find_scenario(scenario))
    doubt = _uncertainty(uncertain)
    with study_desk(ctx, "add-wrapper", {"": loaded}, options) as desk:
        found = add_wrapper(
            loaded, desk.runner, within_years=payback_years, years=years, uncertainty=doubt
        )
        desk.give(
            wrapper.wrapper_words(loaded, found),
            wrapper.wrapper_tables(found),
            wrapper.wrapper_notes(found),
        )


def _uncertainty(given: Sequence[str]) -> Any:
    from linesim.money import Uncertainty

    values: dict[str, float] = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or name not in _UNCERTAIN:
            raise StudyRefusedError(
                f"--uncertain: {text!r}; right would be one of {', '.join(_UNCERTAIN)} with"
                " a percentage, such as contribution=10"
            )
        try:
            values[name] = float(value.removesuffix("%")) / 100
            Uncertainty(**values)
        except ValueError:
            raise StudyRefusedError(
                f"--uncertain: {text!r}: the percentage must be 0 to 100"
            ) from None
    return Uncertainty(**values)


@click.command("what-holds")
@_SCENARIO
@click.option(
    "--step",
    type=click.FloatRange(min=0.1, max=100),
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
    """
    from linesim.report.answers import others
    from linesim.scenario import find_scenario, load
    from linesim.studies.what_holds import what_holds

    loaded = load(find_scenario(scenario))
    with study_desk(ctx, "what-holds", {"": loaded}, options) as desk:
        found = what_holds(loaded, desk.runner, step=step / 100)
        desk.give(others.holds_words(loaded, found), others.holds_tables(found), others.HOLDS_NOTES)


@click.command("vary")
@_SCENARIO
@click.argument("fields", nargs=-1, required=True, metavar="SECTION.FIELD=FROM:TO:COUNT...")
@study_options
@click.pass_context
def vary(ctx: click.Context, /, scenario: str, fields: tuple[str, ...], **options: Any) -> None:
    """What any field changes: a curve, or a map of two.

    Values may also be listed: crew.size=2,3,5. A field that holds a law of chance is scaled to
    the means given.
    """
    from linesim.report.answers import others
    from linesim.scenario import find_scenario, load
    from linesim.studies.vary import read_span, vary

    loaded = load(find_scenario(scenario))
    with study_desk(ctx, "vary", {"": loaded}, options) as desk:
        found = vary(loaded, desk.runner, [read_span(loaded, text) for text in fields])
        desk.give(others.vary_words(loaded, found), others.vary_tables(found))


@click.command("compare")
@click.argument("scenarios", nargs=-1, required=True, metavar="SCENARIO...")
@study_options
@click.pass_context
def compare(ctx: click.Context, /, scenarios: tuple[str, ...], **options: Any) -> None:
    """Whole scenarios side by side, under the same luck.

    The first one is what the others are held against.
    """
    from linesim.report.answers import others
    from linesim.scenario import find_scenario, load
    from linesim.studies.compare import compare

    if len(scenarios) < 2 or len(set(scenarios)) < len(scenarios):
        raise StudyRefusedError("name two or more different scenarios to compare")
    loaded = {name: load(find_scenario(name)) for name in scenarios}
    with study_desk(ctx, "compare", loaded, options) as desk:
        found = compare(loaded, desk.runner)
        desk.give(
            others.compare_words(found),
            others.compare_tables(found),
            others.COMPARE_NOTES,
            scenario=", ".join(scenarios),
        )


STUDIES = (size_bridge, rank_stops, add_wrapper, what_holds, vary, compare)
