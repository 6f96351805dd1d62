"""Between which ends each input of a yearly sum is taken to lie."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from linesim.money import INPUTS, Case, Input, InputName
from linesim.scenario import Doubted, Scenario
from linesim.scenario.plants import with_values
from linesim.statistics import Interval

ASSUMED = 0.2
"""Part of itself by which an input may be off that the scenario does not doubt.

Prices, demand and rates that nobody has looked into are estimates: as great as an estimate of the
order of a project's first study is commonly taken to be off (common practice, no source)."""
_HOURS = "hours_per_year"
_MOST_HOURS = 8784.0


def inputs_of(
    scenario: Scenario,
    case_at: Callable[[Scenario], Case],
    doubts: Sequence[Doubted],
    from_runs: Mapping[InputName, Interval],
) -> Iterator[Input]:
    """The inputs that count in a sum, each with its ends.

    What the runs say has the ends of its interval. A price has those of its doubt; what is made of
    several prices has all of them at the ends that lower, and that raise, it. Every other one is
    taken to be off by :data:`ASSUMED`. ``case_at`` is the case at the prices it is given.
    """
    case = case_at(scenario)
    for name in INPUTS:
        value = case.value(name)
        if not value:
            continue
        if name in from_runs:
            found = from_runs[name]
            yield Input(name, found.low, found.high, "runs")
            continue
        low, high = _doubted_ends(scenario, case_at, doubts, name, value)
        if low < high:
            yield Input(name, low, high, "doubt")
            continue
        high = value * (1 + ASSUMED)
        yield Input(
            name,
            value * (1 - ASSUMED),
            min(high, _MOST_HOURS) if name == "hours" else high,
            "assumed",
        )


def _doubted_ends(
    scenario: Scenario,
    case_at: Callable[[Scenario], Case],
    doubts: Sequence[Doubted],
    name: InputName,
    value: float,
) -> tuple[float, float]:
    """The value with every doubted price at the end that lowers it, and that raises it."""
    low = high = value
    for each in doubts:
        if (each.field == _HOURS) != (name == "hours"):
            continue
        ends = [
            case_at(with_values(scenario, {each: end})).value(name) for end in each.doubt.between
        ]
        moved = [end - value for end in ends if end is not None]
        low, high = low + min(0.0, *moved), high + max(0.0, *moved)
    return low, high
