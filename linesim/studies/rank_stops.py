"""What each stop cause really costs: the reams gained when it alone is taken away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.scenario import Scenario
from linesim.statistics import Interval, student_interval
from linesim.studies.changes import (
    REEL_CHANGES,
    ROLL_CHANGES,
    WEB_BREAKS,
    causes_of,
    faster,
    fewer_stops,
    shorter_stops,
    stations_of,
    without_cause,
)
from linesim.studies.differences import Difference, between, mean_of
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner

AS_IT_IS = "as it is"
SHARE = 0.1

IMPROVEMENTS: dict[str, Callable[[Scenario, str, float], Scenario]] = {
    "10 % faster": lambda scenario, name, share: faster(scenario, name, 1 + share),
    "10 % fewer stops": lambda scenario, name, share: fewer_stops(scenario, name, 1 - share),
    "10 % shorter stops": lambda scenario, name, share: shorter_stops(scenario, name, 1 - share),
}

_BUILT_IN = {
    REEL_CHANGES: ("reel change", "splice"),
    WEB_BREAKS: ("web break",),
    ROLL_CHANGES: ("wrapping roll",),
}


@dataclass(frozen=True)
class CauseCost:
    """One cause, a week of the line: what it takes on paper, and what it costs at the end."""

    cause: str
    minutes: Interval
    count: Interval
    reams_gained: Difference
    """Reams a week more when it alone is taken away."""

    @property
    def reams_per_minute(self) -> float | None:
        """Reams lost at the end of the line for each minute the cause takes."""
        minutes = self.minutes.mean
        return self.reams_gained.interval.mean / minutes if minutes > 0 else None


@dataclass(frozen=True)
class StationGain:
    """What improving one station would give, reams a week, by what is improved."""

    station: str
    gains: dict[str, Difference]


@dataclass(frozen=True)
class RankedStops:
    """Causes by true cost, dearest first, and stations as the paper moves."""

    reams_per_week: Interval
    causes: tuple[CauseCost, ...]
    stations: tuple[StationGain, ...]
    runs: int
    narrowing: float
    """Median over the causes of how many times pairing narrowed the interval."""


def rank_stops(scenario: Scenario, runner: Runner) -> RankedStops:
    """Take away each cause alone, then improve each station, always on the same luck."""
    level = runner.settings.level
    causes = causes_of(scenario)
    variants = {AS_IT_IS: scenario}
    variants |= {f"without {cause}": without_cause(scenario, cause) for cause in causes}
    rows = runner.outcomes(variants)
    base = rows[AS_IT_IS]
    found = [
        CauseCost(
            cause,
            student_interval([_stood(o, cause)[1] for o in base], level),
            student_interval([_stood(o, cause)[0] for o in base], level),
            between(rows[f"without {cause}"], base, lambda o: o.reams_per_week, level),
        )
        for cause in causes
    ]
    found.sort(key=lambda each: (-each.reams_gained.interval.mean, each.cause))
    narrowings = sorted(each.reams_gained.narrowing for each in found)
    return RankedStops(
        reams_per_week=mean_of(base, lambda o: o.reams_per_week, level),
        causes=tuple(found),
        stations=() if runner.interrupted else _stations(scenario, runner),
        runs=len(base),
        narrowing=narrowings[len(narrowings) // 2],
    )


def _stations(scenario: Scenario, runner: Runner) -> tuple[StationGain, ...]:
    level = runner.settings.level
    names = stations_of(scenario)
    variants = {AS_IT_IS: scenario} | {
        f"{name}: {what}": change(scenario, name, SHARE)
        for name in names
        for what, change in IMPROVEMENTS.items()
    }
    rows = runner.outcomes(variants, last=True)
    return tuple(
        StationGain(
            name,
            {
                what: between(
                    rows[f"{name}: {what}"], rows[AS_IT_IS], lambda o: o.reams_per_week, level
                )
                for what in IMPROVEMENTS
            },
        )
        for name in names
    )


def _stood(outcome: Outcome, cause: str) -> tuple[float, float]:
    """Count and minutes of a cause a week, all its stations and webs together."""
    names: Sequence[str] = _BUILT_IN.get(cause, (cause,))
    week = 168 / outcome.hours
    count = minutes = 0.0
    for stop in outcome.stops:
        name, _, web = stop.cause.partition(" (web ")
        if name in names or (stop.cause in names and not web):
            count += stop.count * week
            minutes += stop.ns / 60e9 * week
    return count, minutes
