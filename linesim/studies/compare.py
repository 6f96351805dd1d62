"""Whole scenarios side by side with the same random numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from linesim.record.capacity import SHEETER, slowest_net
from linesim.scenario import Scenario
from linesim.statistics import Choice, Interval
from linesim.studies.differences import Difference, between, mean_of, reams
from linesim.studies.faster_but_less import FasterButLess, faster_but_less
from linesim.studies.outcome import Outcome
from linesim.studies.plants import choice_by_reams
from linesim.studies.runner import Runner


@dataclass(frozen=True)
class Compared:
    """One scenario: figures of a week of the line, and its difference to the first."""

    name: str
    reams_per_week: Interval
    oee: Interval
    waste: Interval
    blocked_h_per_week: Interval
    slowest_by_net_rate: str
    against_first: Difference | None
    """This one less the first; None for the first itself."""
    too_fast: tuple[str, str, FasterButLess] | None = None
    """The faster of this one and the first, the other, and what its starts cost; if they do."""


@dataclass(frozen=True)
class Comparison:
    """All scenarios in the order given."""

    rows: tuple[Compared, ...]
    runs: int
    choice: Choice | None
    """Which makes most, in plants that agree with what is known; None where nothing is doubted."""


def compare(scenarios: Mapping[str, Scenario], runner: Runner) -> Comparison:
    """Run each scenario on the same draws; the first is what the others are held against.

    Raises ``ValueError`` for fewer than two scenarios.
    """
    if len(scenarios) < 2:
        raise ValueError("one scenario alone cannot be compared; name two or more")
    rows = runner.outcomes(scenarios, last=True)
    level = runner.settings.level
    first = next(iter(scenarios))
    return Comparison(
        tuple(
            Compared(
                name,
                mean_of(rows[name], reams, level),
                mean_of(rows[name], lambda o: o.measures["oee"], level),
                mean_of(rows[name], lambda o: o.measures["avoidable_waste_fraction"], level),
                mean_of(rows[name], lambda o: o.blocked_h(SHEETER) / o.hours * 168, level),
                slowest_net(scenario).station,
                None if name == first else between(rows[name], rows[first], reams, level),
                _too_fast(scenarios, rows, (name, first), level),
            )
            for name, scenario in scenarios.items()
        ),
        runs=len(rows[first]),
        choice=choice_by_reams(scenarios[first], runner, list(rows.values())),
    )


def _too_fast(
    scenarios: Mapping[str, Scenario],
    rows: Mapping[str, Sequence[Outcome]],
    pair: tuple[str, str],
    level: float,
) -> tuple[str, str, FasterButLess] | None:
    for fast, slow in (pair, pair[::-1]):
        cost = faster_but_less((scenarios[fast], rows[fast]), (scenarios[slow], rows[slow]), level)
        if cost is not None:
            return fast, slow, cost
    return None
