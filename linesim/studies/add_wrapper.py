"""Does one more wrapper pay, or one more carton packer, or what cheaper would do as much?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesim.scenario import Scenario
from linesim.scenario.buffers import BRIDGE, bridge_of
from linesim.statistics import Choice, Interval, choose
from linesim.studies.changes import (
    ready_for_more,
    with_another,
    with_bridge,
    with_faster_roll_changes,
    with_more_people,
)
from linesim.studies.differences import Difference, between, interval_over, mean_of, reams
from linesim.studies.orders_pace import while_orders_last
from linesim.studies.outcome import Outcome
from linesim.studies.paid_back import PaidBack, paid_back
from linesim.studies.plants import Plants, plants_of
from linesim.studies.runner import Runner
from linesim.studies.waiting import held_by
from linesim.studies.worth import Market, Worth, market_of, worth_of

AS_IT_IS = "as it is"
ONE_MORE = "one more wrapper"
ONE_MORE_PACKER = "one more carton packer"

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
    in_plants: PaidBack | None
    """In how many plants that agree with what is known it is paid back in time; None where nothing
    is doubted, or its price is not known."""


@dataclass(frozen=True)
class AddWrapper:
    """The answer: first option is the wrapper, the others what might do as much."""

    now: Interval
    held_now_by: str
    options: tuple[Option, ...]
    utilisation: dict[str, Interval]
    """Share of time each wrapper works, with the added one."""
    market: Market
    within_years: float
    years: float
    runs: int
    before_price: Interval | None
    """Money a year that the wrapper brings before what it costs; None where its price is known, or
    a ream's contribution is not."""
    choice: Choice | None
    """Of the line as it is and the options with a price, which brings most in a year less what its
    capital costs; None where nothing is doubted or no option has a price."""


def add_wrapper(
    scenario: Scenario,
    runner: Runner,
    *,
    within_years: float = 3.0,
    years: float = 10.0,
) -> AddWrapper:
    """Run the line with and without, and with other things, all with the same random numbers.

    ``years`` is the life over which present values count; an option is paid back in time within
    ``within_years``.
    """
    level = runner.settings.level
    base = ready_for_more(scenario)
    variants = {AS_IT_IS: base, ONE_MORE: with_another(base)}
    bought = {ONE_MORE: {"wrappers": 1}}
    if base.carton_packer:
        packers = with_another(ready_for_more(base, "carton_packer"), "carton_packer")
        variants[ONE_MORE_PACKER] = packers
        bought[ONE_MORE_PACKER] = {"packers": 1}
    present = bridge_of(base)
    places = present.places
    longer = min(max(places + 1, round(places * LONGER)), present.most)
    if longer > places:
        # A hall has metres.
        bridge = f"a bridge of {longer} places, {present.metres(longer):.3g} m (now {places})"
        variants[bridge] = with_bridge(base, longer)
        bought[bridge] = {BRIDGE: longer - places}
    if any(wrapper.roll_length_m is not None for wrapper in base.wrapper):
        variants["roll changes in half the time"] = with_faster_roll_changes(base, ROLL_FACTOR)
    variants["one more person"] = with_more_people(base, 1)
    bought["one more person"] = {"people": 1}
    found = runner.outcomes(variants, last=True)
    rows = while_orders_last(variants, found, runner.settings.warm_up_h)
    now = rows[AS_IT_IS]

    plants = plants_of(base, runner, now)

    def option(name: str, then: tuple[Outcome, ...]) -> Option:
        worth = in_plants = None
        if name in bought and base.money.contribution_per_ream > 0:
            worth = worth_of(base, now, then, years, level, plants, **bought[name])
        if worth is not None and plants is not None:
            in_plants = paid_back(
                base, now, then, years, within_years, level, plants, **bought[name]
            )
        return Option(
            name,
            mean_of(then, reams, level),
            between(then, now, reams, level),
            held_by([o.waits for o in then]),
            worth,
            in_plants,
        )

    options = tuple(option(name, rows[name]) for name in variants if name != AS_IT_IS)
    more = rows[ONE_MORE]
    free = None
    if options[0].worth is None and base.money.contribution_per_ream > 0:
        free = worth_of(base, now, more, years, level, plants)
    return AddWrapper(
        now=mean_of(now, reams, level),
        held_now_by=held_by([o.waits for o in now]),
        options=options,
        utilisation={
            wrapper.name: interval_over(
                more, [_working(o, wrapper.name) for o in more], level, least=0
            )
            for wrapper in variants[ONE_MORE].wrapper
        },
        market=market_of(base, now, level, plants),
        within_years=within_years,
        years=years,
        runs=len(now),
        before_price=None if free is None else free.yearly,
        choice=_choice([each.in_plants for each in options], plants),
    )


def _working(outcome: Outcome, name: str) -> float:
    states = outcome.state_hours[name]
    return (states["running"] + states["slowed"]) / outcome.hours


def _choice(options: Sequence[PaidBack | None], plants: Plants | None) -> Choice | None:
    priced = [each.a_year for each in options if each is not None]
    return choose([np.zeros(plants.count), *priced]) if plants is not None and priced else None
