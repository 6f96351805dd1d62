"""What falls short, in money a year: reams at their contribution, waste at what paper costs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesim.money import Purchase, Year, YearlySum, yearly_sum
from linesim.report import words
from linesim.report.page.model import Grid
from linesim.scenario import CURRENCY, in_currency, unit_in
from linesim.statistics import Interval
from linesim.studies import Replicated, RunFigures
from linesim.studies.figures import LINE, RATED
from linesim.studies.worth import prices_of

_FREE = Purchase(0.0, 0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Cost:
    """A loss and what it comes to in a year."""

    name: str
    reams: Interval | None
    money: Interval | None


def yearly_costs(replicated: Replicated) -> tuple[Cost, ...]:
    """The three largest losses of the line and its avoidable waste, for a year of manned hours.

    A loss counts the reams that its hours would have given at rated speed, and of them those that
    somebody buys at the contribution of a ream: what it comes to on the books, not what taking it
    away would bring.
    """
    prices = prices_of(replicated.scenario)

    def sum_of(run: RunFigures, reams: float, waste_kg: float) -> YearlySum:
        made = _in_a_year(run, replicated, run.measures["good_reams_per_hour"] * run.hours)
        return yearly_sum(Year(made, 0.0), Year(made + reams, waste_kg), prices, _FREE)

    def cost_of(name: str) -> Cost:
        def lost(run: RunFigures) -> float:
            rated = (run.effectiveness[LINE][RATED] or 0.0) * 60
            return _in_a_year(run, replicated, run.losses_h[LINE][name] * rated)

        # Nothing falls short by less than nothing.
        reams = replace(replicated.over_runs(lost, "reams/year"), least=0.0)
        if not prices.contribution:
            return Cost(name, reams, None)
        worth = replicated.over_runs(
            lambda run: sum_of(run, lost(run), 0.0).contribution, "money/year"
        )
        return Cost(name, reams, replace(worth, least=0.0))

    steps = replicated.over_table(lambda run: run.losses_h[LINE], "h")
    largest = sorted(words.LOSS_STEPS, key=lambda name: -steps[name].mean)[:3]
    found = [cost_of(name) for name in largest if steps[name].mean > 0]
    if prices.waste_per_t:
        wasted = replicated.over_runs(
            lambda run: (
                -sum_of(run, 0.0, _in_a_year(run, replicated, run.avoidable_waste_kg)).waste
            ),
            "money/year",
        )
        found.append(Cost("avoidable waste", None, wasted))
    return tuple(found)


def costs_grid(replicated: Replicated) -> Grid:
    """The same as a table, with what is not in it."""
    money, prices = replicated.scenario.money, prices_of(replicated.scenario)
    rows = tuple(
        (cost.name, *("-" if each is None else each.text() for each in (cost.reams, cost.money)))
        for cost in yearly_costs(replicated)
    )
    at = [f"{prices.contribution:.10g} {CURRENCY} a ream"] if prices.contribution else []
    if prices.waste_per_t:
        at.append(f"{prices.waste_per_t:,.10g} {CURRENCY} a tonne of avoidable waste")
    said = f"At {' and '.join(at)}. " if at else "The scenario has no prices in [money]. "
    if prices.demand is not None:
        said += f"No more than the {prices.demand:,.10g} reams that are bought count. "
    return Grid(
        f"What falls short in a year of {money.hours_per_year:,.10g} manned hours",
        ("loss", "reams not made", unit_in("money", money.currency)),
        rows,
        note=in_currency(
            f"{said}What taking a loss away really brings is less or more: a study tells."
            f" {words.wages_sentence(replicated.scenario)}".rstrip(),
            money.currency,
        ),
    )


def reams_a_year(replicated: Replicated) -> Interval:
    """What the line makes in its manned hours."""
    return replicated.over_runs(
        lambda run: _in_a_year(run, replicated, run.measures["good_reams_per_hour"] * run.hours),
        "reams/year",
    )


def _in_a_year(run: RunFigures, replicated: Replicated, value: float) -> float:
    """What a run had, in as many such runs as it takes for the manned hours to be a year's."""
    hours = replicated.scenario.money.hours_per_year
    return value * hours / run.manned_hours if run.manned_hours else 0.0
