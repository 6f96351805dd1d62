"""Levers of the people: how many there are, and what those in groups can do."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from linesim.money import Purchase
from linesim.scenario import Scenario
from linesim.scenario.wages import yearly_wages
from linesim.statistics import counted
from linesim.studies.changes import Data, changed, with_more_people
from linesim.studies.lever import Lever, Step, for_each


def people_levers(scenario: Scenario) -> Iterator[Lever]:
    """More people on every shift, more of each group, and groups that can do everything."""
    yield Lever("more_people", "more people", tuple(_people(scenario, None)))
    for number, group in enumerate(scenario.crew_group):
        steps = tuple(_people(scenario, number))
        yield Lever("more_people", f"more people: {group.name}", steps)
    for number, group in enumerate(scenario.crew_group):
        if group.can is not None:
            words = f"{group.name} can do everything (now {group.can})"
            change = partial(changed, change=partial(_can_do_everything, number))
            step = Step(words, change, for_each("skills_price", group.number))
            yield Lever("more_skills", f"more skills: {group.name}", (step,))


def _people(scenario: Scenario, group: int | None) -> Iterator[Step]:
    if group is None:
        now, where = scenario.crew.size, "" if not scenario.crew_group else " on every shift"
    else:
        table = scenario.crew_group[group]
        now, where = table.number, f" in {table.name}"

    def cost(more: int, priced: Scenario, years: float) -> Purchase | None:
        wages = yearly_wages(priced, None if group is None else priced.crew_group[group])
        return Purchase(0.0, 0.0, more * wages, years) if np.any(wages) else None

    for more in range(1, scenario.levers.more_people + 1):
        words = f"{counted(more, 'more person', 'more people')}{where}, {now + more} in all"
        change = partial(with_more_people, people=more, group=group)
        yield Step(words, change, partial(cost, more), more)


def _can_do_everything(number: int, data: Data) -> None:
    del data["crew_group"][number]["can"]
