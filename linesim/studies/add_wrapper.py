"""Does one more wrapper pay, and what cheaper things would do as much?"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.money import PaybackChance, Purchase, Uncertainty, chance_of_payback
from linesim.scenario import Scenario
from linesim.statistics import Interval
from linesim.studies.changes import (
    ready_for_more_wrappers,
    with_another_wrapper,
    with_bridge,
    with_faster_roll_changes,
    with_more_people,
)
from linesim.studies.differences import Difference, between, interval_over, mean_of, reams
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner
from linesim.studies.waiting import held_by
from linesim.studies.worth import (
    Market,
    Worth,
    market_of,
    prices_of,
    purchase_of,
    worth_of,
    year_of,
)

AS_IT_IS = "as it is"
ONE_MORE = "one more wrapper"

LONGER = 1.5
ROLL_FACTOR = 0.5


@dataclass(frozen=True)
class Option:
    """One thing to change, against the line as it is; output in reams a week of the line."""

    name: str
    reams_per_week: Interval
    gain: Difference
    held_by: str
    """The station the others wait for (pattern of waiting)."""
    worth: Worth | None
    """None where its price is not known."""
    chance: PaybackChance | None
    """Of being paid back in time; None where nothing was said to be uncertain."""


@dataclass(frozen=True)
class AddWrapper:
    """The answer: first option is the wrapper, the others are cheaper things."""

    now: Interval
    held_now_by: str
    options: tuple[Option, ...]
    utilisation: dict[str, Interval]
    """Share of time each wrapper works, with the added one."""
    market: Market
    within_years: float
    years: float
    uncertainty: Uncertainty
    runs: int


def add_wrapper(
    scenario: Scenario,
    runner: Runner,
    *,
    within_years: float = 3.0,
    years: float = 10.0,
    uncertainty: Uncertainty | None = None,
) -> AddWrapper:
    """Run the line with and without, and with cheaper things, all with the same random numbers.

    ``years`` is the life over which present values count; the chance is that of being paid back
    within ``within_years``.
    """
    doubt = uncertainty if uncertainty is not None else Uncertainty()
    level = runner.settings.level
    base = ready_for_more_wrappers(scenario)
    variants = {AS_IT_IS: base, ONE_MORE: with_another_wrapper(base)}
    purchases = {ONE_MORE: purchase_of(base, years, wrappers=1)}
    places = base.bridge_places
    longer = min(max(places + 1, round(places * LONGER)), base.most_bridge_places)
    if longer > places:
        bridge = f"a bridge of {longer} places instead of {places}"
        variants[bridge] = with_bridge(base, longer)
        purchases[bridge] = purchase_of(base, years, places=longer - places)
    if any(wrapper.roll_length_m is not None for wrapper in base.wrapper):
        variants["roll changes in half the time"] = with_faster_roll_changes(base, ROLL_FACTOR)
    variants["one more person"] = with_more_people(base, 1)
    purchases["one more person"] = purchase_of(base, years, people=1)
    rows = runner.outcomes(variants, last=True)
    now = rows[AS_IT_IS]

    def option(name: str, then: tuple[Outcome, ...]) -> Option:
        purchase = purchases.get(name) if base.money.contribution_per_ream > 0 else None
        chance = None
        if purchase is not None and doubt.stated:
            chance = _chance(base, now, then, purchase, within_years, doubt, runner.settings.seed)
        return Option(
            name,
            mean_of(then, reams, level),
            between(then, now, reams, level),
            held_by([o.waits for o in then]),
            None if purchase is None else worth_of(base, now, then, purchase, level),
            chance,
        )

    return AddWrapper(
        now=mean_of(now, reams, level),
        held_now_by=held_by([o.waits for o in now]),
        options=tuple(option(name, rows[name]) for name in variants if name != AS_IT_IS),
        utilisation={
            wrapper.name: interval_over(
                rows[ONE_MORE], [_working(o, wrapper.name) for o in rows[ONE_MORE]], level
            )
            for wrapper in variants[ONE_MORE].wrapper
        },
        market=market_of(base, now, level),
        within_years=within_years,
        years=years,
        uncertainty=doubt,
        runs=len(now),
    )


def _working(outcome: Outcome, name: str) -> float:
    states = outcome.state_hours[name]
    return (states["running"] + states["slowed"]) / outcome.hours


def _chance(
    scenario: Scenario,
    now: tuple[Outcome, ...],
    then: tuple[Outcome, ...],
    purchase: Purchase,
    within_years: float,
    doubt: Uncertainty,
    seed: int,
) -> PaybackChance:
    before, after = ([year_of(scenario, [row]) for row in rows] for rows in (now, then))
    return chance_of_payback(
        before, after, prices_of(scenario), purchase, within_years, doubt, seed=seed
    )
