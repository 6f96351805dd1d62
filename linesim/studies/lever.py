"""A lever: one thing that may be changed on a line, how far, and what each step costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesim.money import Purchase
from linesim.scenario import Scenario
from linesim.scenario.fields import values_of
from linesim.scenario.levers_table import LeverName

Change = Callable[[Scenario], Scenario]
Cost = Callable[[Scenario, float], Purchase | None]


@dataclass(frozen=True)
class Step:
    """How far a lever is moved: in words, the line changed so, and what it costs.

    ``cost`` is given the scenario that has the prices and the years that what is bought lasts; it
    gives None where a price is not known.
    """

    words: str
    change: Change
    cost: Cost
    far: float = 1.0
    """How far it is: of what has no price, the least is taken first."""


@dataclass(frozen=True)
class Lever:
    """One thing that may be changed, and how far: step by step."""

    key: LeverName
    name: str
    """In words; no two of a line have the same."""
    steps: tuple[Step, ...]


def free(_: Scenario, years: float) -> Purchase:
    """It costs nothing."""
    return Purchase(0.0, 0.0, 0.0, years)


def by_levers(key: str) -> Cost:
    """The price in [levers], and what it costs a year."""

    def cost(priced: Scenario, years: float) -> Purchase | None:
        said = values_of(priced.levers)
        price, a_year = said[f"{key}_price"], said[f"{key}_cost_per_year"]
        return None if price is None else Purchase(price, a_year, 0.0, years)

    return cost


def for_each(price: str, count: int, a_year: str | None = None) -> Cost:
    """So many at a price in [levers] each, by the names of its fields."""

    def cost(priced: Scenario, years: float) -> Purchase | None:
        said = values_of(priced.levers)
        if said[price] is None:
            return None
        running = said[a_year] if a_year is not None else 0.0
        return Purchase(count * said[price], count * running, 0.0, years)

    return cost


def shorter(key: LeverName, name: str, percent: float, change: Change) -> Lever:
    """What takes so much less time, in one step, at the price of that lever."""
    return Lever(key, name, (Step(f"{name}, by {percent:g} %", change, by_levers(key)),))
