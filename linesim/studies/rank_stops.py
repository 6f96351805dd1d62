"""What each stop cause really costs: the reams gained when it alone is taken away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.record.capacity import PALLET_CHANGE
from linesim.record.states import HAND_RAMP, RUN_UP
from linesim.scenario import Scenario
from linesim.scenario.stops import BY_PLAN
from linesim.scenario.units import MINUTE
from linesim.statistics import Interval
from linesim.studies.changes import (
    PALLET_CHANGES,
    REEL_CHANGES,
    ROLL_CHANGES,
    SPLICES,
    WEB_BREAKS,
    causes_of,
    faster,
    fewer_stops,
    shorter_stops,
    stations_of,
    without_cause,
)
from linesim.studies.differences import Difference, between, interval_over, mean_of, reams
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
    REEL_CHANGES: ("reel change",),
    SPLICES: ("splice",),
    WEB_BREAKS: ("web break",),
    ROLL_CHANGES: ("wrapping roll",),
    PALLET_CHANGES: (PALLET_CHANGE,),
}


@dataclass(frozen=True)
class CauseCost:
    """One cause, a week of the line: what it takes on paper, and what it costs at the end."""

    cause: str
    minutes: Interval
    """In which its stations stood for it, or the webs ran slowed because of it."""
    slowed: Interval
    """Of these, those in which the webs came down to it, ran at splice speed, and up again."""
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
    """Take away each cause alone, then improve each station, always on the same draws."""
    level = runner.settings.level
    causes = causes_of(scenario)
    variants = {AS_IT_IS: scenario}
    variants |= {f"without {cause}": without_cause(scenario, cause) for cause in causes}
    rows = runner.outcomes(variants)
    base = rows[AS_IT_IS]
    found = [
        CauseCost(
            cause,
            *_minutes(cause, base, rows[f"without {cause}"], level),
            interval_over(base, [_stood(o, cause)[0] for o in base], level, least=0),
            between(rows[f"without {cause}"], base, reams, level),
        )
        for cause in causes
    ]
    found.sort(key=lambda each: (-each.reams_gained.interval.mean, each.cause))
    narrowings = sorted(each.reams_gained.narrowing for each in found)
    return RankedStops(
        reams_per_week=mean_of(base, reams, level),
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
                what: between(rows[f"{name}: {what}"], rows[AS_IT_IS], reams, level)
                for what in IMPROVEMENTS
            },
        )
        for name in names
    )


def _minutes(
    cause: str, base: Sequence[Outcome], without: Sequence[Outcome], level: float
) -> tuple[Interval, Interval]:
    """Minutes a week that a cause takes, slowed time with them; and the slowed time alone.

    Which run-up belongs to which stop no account says: those are counted that are no longer made
    when the cause is taken away.
    """
    slowed = [_slowed(b, cause) - _slowed(w, cause) for b, w in zip(base, without, strict=True)]
    if not any(_met(each, cause) for each in base):
        # What it did before the time that is counted moves run-ups of others, and is no time of it.
        slowed = [0.0] * len(base)
    stood = [_stood(each, cause)[1] for each in base]
    less = interval_over(base, slowed, level)
    both = [a + b for a, b in zip(stood, slowed, strict=True)]
    # A station stands for no time at the least: only webs that come up less often make it less.
    return interval_over(base, both, level, least=min(0.0, less.low)), less


def _met(outcome: Outcome, cause: str) -> bool:
    """Whether a run's accounts have any stop or slowed time of a cause."""
    return any(each.count for each in outcome.stops if _is(each.cause, cause)) or any(
        hours for name, hours in outcome.slowed_h.items() if _is(name, cause)
    )


def _slowed(outcome: Outcome, cause: str) -> float:
    """Minutes a week in which the webs ran slowed for a cause, and all that they came up in."""
    hours = sum(
        each
        for name, each in outcome.slowed_h.items()
        if name in (RUN_UP, HAND_RAMP) or _is(name, cause)
    )
    return hours * 60 * 168 / outcome.hours


def _is(name: str, cause: str) -> bool:
    """Whether a name in the accounts is that of a cause, of one of its webs maybe."""
    names: Sequence[str] = _BUILT_IN.get(cause, (cause,))
    return name in names or name.partition(" (web ")[0].removesuffix(BY_PLAN) in names


def _stood(outcome: Outcome, cause: str) -> tuple[float, float]:
    """Count and minutes of a cause a week, all its stations and webs together."""
    week = 168 / outcome.hours
    named = [stop for stop in outcome.stops if _is(stop.cause, cause)]
    return sum(s.count for s in named) * week, sum(s.ns for s in named) / MINUTE * week
