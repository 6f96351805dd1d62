"""What can be set to reach an output, and what it costs: bridge, levels, reels, crew, wrappers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from linesim.money import Purchase, yearly_cost
from linesim.paper.reels import reel_length_m
from linesim.scenario import Scenario
from linesim.scenario.reels_together import together_below_m
from linesim.studies.bridge_levels import Levels, present_levels
from linesim.studies.changes import (
    Data,
    changed,
    ready_for_more,
    with_another,
    with_bridge,
    with_levels,
    with_more_people,
)
from linesim.studies.outcome import Outcome
from linesim.studies.worth import prices_of, purchase_of

Rows = Sequence[Outcome]

_SHARES_OF_A_REEL = (0.02, 0.05, 0.1, 0.2)


class Setting(NamedTuple):
    """Places on the bridge, levels in reams, metres below which reels change together, people,
    wrappers."""

    places: int
    levels: Levels
    change_together_below_m: float
    crew: int
    wrappers: int


def present_setting(scenario: Scenario) -> Setting:
    """How the scenario has it."""
    return Setting(
        scenario.bridge_places,
        present_levels(scenario),
        together_below_m(scenario),
        scenario.crew.size,
        len(scenario.wrapper),
    )


def scenario_with(scenario: Scenario, setting: Setting) -> Scenario:
    """The line set so. Raises ``ScenarioFaults`` where that makes no line."""
    if setting == present_setting(scenario):
        return scenario
    below_m = setting.change_together_below_m

    def change(data: Data) -> None:
        data["unwind"]["change_together_below_m"] = below_m

    line = with_levels(with_bridge(scenario, setting.places), *setting.levels)
    if below_m != together_below_m(scenario):
        line = changed(line, change)
    for _ in range(setting.wrappers - len(scenario.wrapper)):
        line = with_another(ready_for_more(line))
    more = setting.crew - scenario.crew.size
    return with_more_people(line, more) if more else line


def moved_to(scenario: Scenario, setting: Setting, places: int) -> Setting:
    """The setting with another bridge; its levels keep their distance from the end.

    Raises ``ScenarioFaults`` where that makes no line.
    """
    if places == setting.places:
        return setting
    longer = with_bridge(scenario_with(scenario, setting), places)
    return setting._replace(places=places, levels=present_levels(longer))


def together_to_try(scenario: Scenario) -> tuple[float, ...]:
    """Lengths in m below which reels change together: the present one, none, shares of a reel.

    The present one alone where nothing can change together: one web, or reels that change
    without a standstill.
    """
    unwind, reels = scenario.unwind, scenario.reels
    present = together_below_m(scenario)
    if unwind.webs < 2 or unwind.change == "flying_splice":
        return (present,)
    whole = reel_length_m(reels.diameter_mm, reels.core_diameter_mm, scenario.product.thickness_um)
    # Round metres: nobody sets a line to the centimetre.
    shares = [float(f"{share * whole:.2g}") for share in _SHARES_OF_A_REEL]
    return tuple(dict.fromkeys((present, 0.0, *(each for each in shares if each <= 50_000))))


@dataclass(frozen=True)
class Prices:
    """What settings cost a year, beyond the line as it is; 0 for what has no price.

    Capital counts by what must come in each year to make up for it, at the discount rate; wages
    and running cost as they are. ``paper`` is money per kg of avoidable waste.
    """

    place: float
    wrapper: float
    person: float
    paper: float
    building: float = 0.0
    """What a longer bridge costs beside its places."""

    @classmethod
    def of(cls, scenario: Scenario, years: float) -> Prices:
        """By the scenario's money, what is bought lasting so many years."""

        def a_year(purchase: Purchase | None) -> float:
            if purchase is None:
                return 0.0
            capital = yearly_cost(purchase.capital, scenario.money.discount_rate, years)
            return capital + purchase.running_cost + purchase.wages

        one, two = (a_year(purchase_of(scenario, years, bridge=more)) for more in (1, 2))
        return cls(
            two - one,
            a_year(purchase_of(scenario, years, wrappers=1)),
            a_year(purchase_of(scenario, years, people=1)),
            prices_of(scenario).waste_per_t / 1000,
            one - (two - one),
        )

    @property
    def known(self) -> bool:
        """Whether anything has a price that is bought once or hired."""
        return self.place > 0 or self.wrapper > 0 or self.person > 0

    def fixed(self, present: Setting, setting: Setting) -> float:
        """Places, wrappers and people beyond the present ones, money a year."""
        more = beyond(present, setting)
        building = self.building if more.places else 0.0
        places = self.place * more.places + building
        return places + self.wrapper * more.wrappers + self.person * more.people

    def rank(self, present: Setting, setting: Setting, paper: float) -> tuple[float, ...]:
        """What settings are sorted by, cheapest first; ``paper`` is money a year.

        People without a price are the last thing to be asked for.
        """
        more = setting.crew - present.crew
        cost = self.fixed(present, setting) + paper
        return (0 if self.person else more, cost, more, setting.wrappers, setting.places)


class Beyond(NamedTuple):
    """How many more of each a setting has than the line as it is; a shorter bridge saves none."""

    places: int
    wrappers: int
    people: int


def beyond(present: Setting, setting: Setting) -> Beyond:
    """What has to be bought or hired."""
    return Beyond(
        max(0, setting.places - present.places),
        max(0, setting.wrappers - present.wrappers),
        max(0, setting.crew - present.crew),
    )


def kg_wasted_per_ream(outcome: Outcome) -> float:
    """Avoidable waste for each good ream; 0 where none was made."""
    return outcome.avoidable_waste_kg / outcome.good_reams if outcome.good_reams else 0.0


def paired(a: Rows, b: Rows) -> tuple[list[Outcome], list[Outcome]]:
    """The runs that both have, in order: those of one number and plant met the same draws."""
    of_b = {_met(each): each for each in b}
    both = [(each, of_b[_met(each)]) for each in a if _met(each) in of_b]
    return [each for each, _ in both], [each for _, each in both]


def _met(outcome: Outcome) -> tuple[int, int]:
    return outcome.replication, outcome.plant
