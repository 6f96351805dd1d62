"""What a place on the bridge costs a year, and which length is best in plants."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

import numpy as np

from linesim.money import Purchase, yearly_cost, yearly_sum
from linesim.scenario import Scenario
from linesim.statistics import Choice, choose
from linesim.studies.differences import reams
from linesim.studies.outcome import Outcome
from linesim.studies.plants import Plants
from linesim.studies.worth import prices_of


def place_cost(scenario: Scenario, years: float) -> float:
    """What a place that lasts so many years must bring in each, to make up for its cost."""
    return yearly_cost(scenario.money.ream_place_cost, scenario.money.discount_rate, years)


def best_length(
    places: Sequence[int],
    lines: Sequence[Sequence[Outcome]],
    years: float | None,
    asked: float,
    plants: Plants | None,
) -> Choice | None:
    """Which of the lengths is best in plants that agree with what is known; None without doubt.

    By the rule that judges each further place, added up from the shortest bridge on: money a year
    less what places that last so many ``years`` cost or, where that is None, reams a week less the
    ``asked`` share of the output for each place. ``lines`` are the runs of each length.
    """
    if plants is None:
        return None
    if years is not None:
        made: list[Any] = [plants.year(rows) for rows in lines]
        prices, free = prices_of(plants.priced), Purchase(0.0, 0.0, 0.0, years)
        cost: Any = place_cost(plants.priced, years)
        worth = [
            yearly_sum(made[0], year, prices, free).total - cost * (n - places[0])
            for n, year in zip(places, made, strict=True)
        ]
        return choose([np.broadcast_to(each, plants.count) for each in worth])
    if not plants.crossed:
        return None
    made = [[reams(each) for each in rows] for rows in lines]
    steps = [
        asked * float(np.mean(shorter)) * (b - a)
        for shorter, (a, b) in zip(made, itertools.pairwise(places), strict=False)
    ]
    bars = itertools.accumulate(steps, initial=0.0)
    return choose([plants.of(each) - bar for each, bar in zip(made, bars, strict=True)])
