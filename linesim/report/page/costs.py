"""What falls short, in money a year: reams at their contribution, waste at what paper costs."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from linesim.money import Purchase, Year, yearly_sum
from linesim.report import words
from linesim.report.page.loss_stairs import line_steps
from linesim.scenario.running_tables import Money
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


def reams_short(replicated: Replicated) -> Interval:
    """Good reams an hour less than the rated speed of the slowest station, over planned time."""

    def short(run: RunFigures) -> float:
        rated = (run.effectiveness[LINE][RATED] or 0.0) * 60
        planned = run.losses_h[LINE]["planned busy time"] / run.hours
        return rated * planned - run.measures["good_reams_per_hour"]

    return replicated.over_runs(short, "reams/h")


def yearly_costs(replicated: Replicated) -> tuple[Cost, ...]:
    """The three largest losses of the line and the paper wasted, for a year of manned hours.

    A loss counts the reams that its hours would have given at rated speed, and of them those that
    somebody buys at the contribution of a ream: what it comes to on the books, not what taking it
    away would bring.
    """
    money, prices = replicated.scenario.money, prices_of(replicated.scenario)
    made = [run.measures["good_reams_per_hour"] * _hours(run, money) for run in replicated.runs]
    found = []
    steps = line_steps(replicated)
    largest = sorted(words.LOSS_STEPS, key=lambda name: -steps[name].mean)[:3]
    for name in largest:
        if steps[name].mean <= 0:
            continue

        def reams(run: RunFigures, name: str = name) -> float:
            rated = (run.effectiveness[LINE][RATED] or 0.0) * 60
            return run.losses_h[LINE][name] / run.hours * rated * _hours(run, money)

        lost = [reams(run) for run in replicated.runs]
        worth = [
            yearly_sum(Year(now, 0.0), Year(now + more, 0.0), prices, _FREE).contribution
            for now, more in zip(made, lost, strict=True)
        ]
        found.append(
            Cost(
                name,
                replicated.estimate(lost, "reams/year"),
                replicated.estimate(worth, "money/year") if prices.contribution > 0 else None,
            )
        )
    if prices.waste_per_t > 0:
        wasted = [
            -yearly_sum(
                Year(now, 0.0),
                Year(now, run.avoidable_waste_kg / run.hours * _hours(run, money)),
                prices,
                _FREE,
            ).waste
            for now, run in zip(made, replicated.runs, strict=True)
        ]
        found.append(Cost("avoidable waste", None, replicated.estimate(wasted, "money/year")))
    return tuple(found)


def reams_a_year(replicated: Replicated) -> Interval:
    """What the line makes in its manned hours."""
    money = replicated.scenario.money
    return replicated.over_runs(
        lambda run: run.measures["good_reams_per_hour"] * _hours(run, money), "reams/year"
    )


def _hours(run: RunFigures, money: Money) -> float:
    """Hours of such runs in a year: as many as it takes for the manned ones to be those."""
    return run.hours * money.hours_per_year / run.manned_hours if run.manned_hours else 0.0


def prices_of_changes(money: Money, fields: Collection[str]) -> list[str]:
    """The prices that stand in these ``fields`` of [money], in words."""
    found = []
    if "wrapper_price" in fields and money.wrapper_price > 0:
        found.append(
            f"One more wrapper: {money.wrapper_price:,.10g}, and"
            f" {money.wrapper_cost_per_year:,.10g} a year to run it."
        )
    if "ream_place_cost" in fields and money.ream_place_cost > 0:
        found.append(f"One more place on the bridge: {money.ream_place_cost:,.10g}.")
    if "person_cost_per_year" in fields and money.person_cost_per_year > 0:
        found.append(f"One more person: {money.person_cost_per_year:,.10g} a year.")
    return found


def prices_of_losses(money: Money) -> str:
    """At which prices losses are counted: words to end a clause with, or nothing."""
    found = []
    if money.contribution_per_ream > 0:
        found.append(f"{money.contribution_per_ream:.10g} a ream")
    wasted = money.paper_cost_per_t - money.repulp_value_per_t
    if wasted > 0:
        found.append(f"{wasted:,.10g} a tonne of avoidable waste")
    return f", at {' and '.join(found)}" if found else ""
