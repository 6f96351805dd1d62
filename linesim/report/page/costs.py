"""What falls short, in money a year: reams at their contribution, waste at what paper costs."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from linesim.money import Purchase, Year, YearlySum, yearly_sum
from linesim.report import words
from linesim.scenario import CURRENCY, Scenario, in_currency
from linesim.scenario.running_tables import Money
from linesim.scenario.wages import yearly_wages
from linesim.statistics import Interval
from linesim.studies import Replicated, RunFigures
from linesim.studies.figures import LINE, RATED
from linesim.studies.worth import prices_of

_FREE = Purchase(0.0, 0.0, 0.0, 1.0)
_PLACES = {
    "ream_place_cost": "on the bridge",
    "conveyor_place_cost": "for a ream before outfeed or carton packer",
    "carton_place_cost": "for a carton before the palletiser",
}


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

        reams = replicated.over_runs(lost, "reams/year")
        if not prices.contribution:
            return Cost(name, reams, None)
        worth = replicated.over_runs(
            lambda run: sum_of(run, lost(run), 0.0).contribution, "money/year"
        )
        return Cost(name, reams, worth)

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


def prices_of_changes(scenario: Scenario, fields: Collection[str]) -> list[str]:
    """The prices that stand in these ``fields`` of [money], in words.

    What one more person costs goes by the field ``person_cost_per_year``, wages by the hour, too.
    """
    money, wages = scenario.money, yearly_wages(scenario)
    found = []
    if "wrapper_price" in fields and money.wrapper_price > 0:
        found.append(
            f"One more wrapper: {money.wrapper_price:,.10g} {CURRENCY}, and"
            f" {money.wrapper_cost_per_year:,.10g} {CURRENCY} a year to run it."
        )
    if "carton_packer_price" in fields and money.carton_packer_price:
        found.append(
            f"One more carton packer: {money.carton_packer_price:,.10g} {CURRENCY}, and"
            f" {money.carton_packer_cost_per_year or 0:,.10g} {CURRENCY} a year to run it."
        )
    for name, where in _PLACES.items():
        price = getattr(money, name)
        if name in fields and price:
            found.append(f"One more place {where}: {price:,.10g} {CURRENCY}.")
    if money.buffer_fixed_cost and not set(fields).isdisjoint(_PLACES):
        fixed = f"{money.buffer_fixed_cost:,.10g} {CURRENCY}"
        found.append(f"To make a buffer longer at all: {fixed}.")
    if "person_cost_per_year" in fields and wages > 0:
        found.append(f"One more person: {wages:,.10g} {CURRENCY} a year.")
    return [in_currency(text, money.currency) for text in found]


def prices_of_losses(money: Money) -> str:
    """At which prices losses are counted: words to end a clause with, or nothing."""
    found = []
    if money.contribution_per_ream > 0:
        found.append(f"{money.contribution_per_ream:.10g} {CURRENCY} a ream")
    wasted = money.paper_cost_per_t - money.repulp_value_per_t
    if wasted > 0:
        found.append(f"{wasted:,.10g} {CURRENCY} a tonne of avoidable waste")
    return in_currency(f", at {' and '.join(found)}" if found else "", money.currency)
