"""What the people at the line are paid: for the hours of their shifts, whether it runs or not.

A year are the manned hours of [money]. All shifts are as long: a group that is there on a third of
the shifts of a week is paid for a third of those hours.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from linesim.scenario.people import shifts_of_the_week
from linesim.scenario.running_tables import CrewGroup
from linesim.scenario.scenario import Scenario


class Paid(NamedTuple):
    """Some of the crew, and what they are paid."""

    name: str
    """Of the group; empty for the people of [crew]."""
    people: int
    hours: float
    """Of each in a year."""
    wage_per_h: float | None
    """Money; None where nobody says."""


def paid_hours(scenario: Scenario, group: CrewGroup | None = None) -> float:
    """Hours on shift in a year, h, of one of a group, or of the people of [crew]."""
    if group is None:
        return scenario.money.hours_per_year
    there = [group.is_there(day, shift) for day, shift in shifts_of_the_week(scenario)]
    return scenario.money.hours_per_year * sum(there) / len(there)


def yearly_wages(scenario: Scenario, group: CrewGroup | None = None) -> float:
    """What one more person costs in a year, in [crew] or in a group; 0 where nobody says.

    A cost of a year is of all manned hours, too, and comes before wages: a study may have been
    asked with one of its own.
    """
    money = scenario.money
    hours = paid_hours(scenario, group)
    if np.any(money.person_cost_per_year):
        return money.person_cost_per_year * (hours / money.hours_per_year)
    wage = _wage_per_h(scenario, group)
    return 0.0 if wage is None else wage * hours


def crew_paid(scenario: Scenario) -> Iterator[Paid]:
    """All who are at the line, those of [crew] first."""
    for group in (None, *scenario.crew_group):
        name, people = ("", scenario.crew.size) if group is None else (group.name, group.number)
        if people:
            wage = _wage_per_h(scenario, group)
            yield Paid(name, people, paid_hours(scenario, group), wage)


def wages_of_the_crew(scenario: Scenario) -> float | None:
    """What all are paid in a year, money; None where somebody's wages are not given."""
    total = 0.0
    for each in crew_paid(scenario):
        if each.wage_per_h is None:
            return None
        total += each.people * each.hours * each.wage_per_h
    return total


def _wage_per_h(scenario: Scenario, group: CrewGroup | None) -> float | None:
    own = None if group is None else group.wage_per_h
    return scenario.money.wage_per_h if own is None else own
