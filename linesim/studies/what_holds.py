"""Which station holds the line, asked in four ways.

By net rate; by who waits for whom (Kuo, Lim and Meerkov 1996); by the longest active periods
(Roser, Nakano and Tanaka 2001); and by what a small improvement of each station adds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from linesim.record.capacity import SHEETER, line_rates
from linesim.scenario import Scenario
from linesim.statistics import Interval
from linesim.studies.changes import faster, stations_of
from linesim.studies.differences import (
    Difference,
    between,
    crossed,
    difference,
    interval_over,
    mean_of,
    reams,
)
from linesim.studies.faster_but_less import FasterButLess, faster_but_less
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner
from linesim.studies.waiting import held_by, waits_of

AS_IT_IS = "as it is"
SMALL_STEP = 0.05


@dataclass(frozen=True)
class StationSigns:
    """The four signs of one station. Rates in reams/min, shares 0 to 1, gain in reams a week."""

    station: str
    net_rate: float
    starved: Interval
    blocked: Interval
    alone_longest_active: Interval
    gain: Difference


@dataclass(frozen=True)
class WhatHolds:
    """The stations, and which each way points at; None where that way cannot tell."""

    stations: tuple[StationSigns, ...]
    by_net_rate: str
    by_pattern: str
    by_active_periods: str | None
    by_improvement: str | None
    step: float
    runs: int
    reams_per_week: Interval
    too_fast: FasterButLess | None = None
    """What its starts cost a faster sheeter, where they cost more than its speed brings."""

    @property
    def answers(self) -> tuple[str | None, ...]:
        """The four, in this order: net rate, waiting, active periods, small improvement."""
        return (self.by_net_rate, self.by_pattern, self.by_active_periods, self.by_improvement)

    @property
    def agree(self) -> bool:
        """Whether all that can tell say the same."""
        return len({answer for answer in self.answers if answer is not None}) == 1


def what_holds(scenario: Scenario, runner: Runner, *, step: float = SMALL_STEP) -> WhatHolds:
    """Ask all four ways; ``step`` is the small improvement of speed, 0.05 for 5 %."""
    level = runner.settings.level
    base = runner.outcomes({AS_IT_IS: scenario}, active_periods=True)[AS_IT_IS]
    names = stations_of(scenario)
    variants = {name: faster(scenario, name, 1 + step) for name in names}
    rows = runner.outcomes({AS_IT_IS: scenario} | variants, last=True)
    net = {rate.station: rate.net for rate in line_rates(scenario)}
    found = []
    for name in names:
        waits = [waits_of(outcome.waits, name) for outcome in base]
        found.append(
            StationSigns(
                name,
                net[name],
                interval_over(base, [w.starved for w in waits], level, least=0),
                interval_over(base, [w.blocked for w in waits], level, least=0),
                interval_over(base, [o.active_shares[name] for o in base], level, least=0),
                between(rows[name], rows[AS_IT_IS], reams, level),
            )
        )
    return WhatHolds(
        stations=tuple(found),
        by_net_rate=min(names, key=lambda name: net[name]),
        by_pattern=held_by([outcome.waits for outcome in base]),
        by_active_periods=_longest_active(found, base, level),
        by_improvement=_best_improved(found, rows, level),
        step=step,
        runs=len(rows[AS_IT_IS]),
        reams_per_week=mean_of(rows[AS_IT_IS], reams, level),
        too_fast=faster_but_less(
            (variants[SHEETER], rows[SHEETER]), (scenario, rows[AS_IT_IS]), level
        ),
    )


def _longest_active(
    found: Sequence[StationSigns], base: Sequence[Outcome], level: float
) -> str | None:
    first, second = sorted(found, key=lambda s: -s.alone_longest_active.mean)[:2]
    apart = difference(
        [outcome.active_shares[first.station] for outcome in base],
        [outcome.active_shares[second.station] for outcome in base],
        level,
        crossed=crossed(base),
    )
    return first.station if apart.shown else None


def _best_improved(
    found: Sequence[StationSigns], rows: Mapping[str, Sequence[Outcome]], level: float
) -> str | None:
    """The station whose improvement adds most, if it is shown to add more than any other's."""
    first, *others = sorted(found, key=lambda s: -s.gain.interval.mean)
    if not (first.gain.shown and first.gain.interval.mean > 0):
        return None
    for other in others:
        apart = between(rows[first.station], rows[other.station], reams, level)
        if not apart.shown:
            return None
    return first.station
