"""The long run: how long runs must be for their parts to differ by nothing but chance."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from linesim.record.capacity import reference, stops_per_min, web_m_per_ream
from linesim.scenario import Scenario
from linesim.statistics import Steadiness, mser5, steadiness
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner, Settings

_BATCHES = 20
_PER_BATCH = 20
_BUCKETS = _BATCHES * _PER_BATCH
_PILOTS = 5
_LEVEL = 0.01
"""Differences between parts that are rarer than this are not put down to chance."""
_TIMES_ROUND = 3
"""Runs are so long that the slowest stop cause falls due so often, in the mean."""
_RARE_H = 2000.0
"""What falls due more rarely is not waited for: runs meet it by its chance."""
_LONGEST_H = 40_000.0


class NotSettledError(ValueError):
    """No run that could be tried is the long run of this line."""


@dataclass(frozen=True)
class Settled:
    """What the long run of a line takes, found from ``pilot_runs`` runs (a count)."""

    warm_up_h: float
    """Hours left out at the start of each run."""
    hours: float
    """Hours counted after them: never fewer than were asked for."""
    pilot_runs: int
    tried_h: tuple[float, ...]
    """Lengths of run that were tried, the last one long enough."""
    steadiness: Steadiness
    """How much the parts of the last ones differed."""
    slowest: str
    """The stop cause that takes longest to come round, of those that are waited for; or empty."""
    slowest_h: float
    """After how many hours it falls due, in the mean, at the pace of the line."""


def in_the_long_run(scenario: Scenario) -> Scenario:
    """The line without anything that is said of its start: the long run knows nothing of it."""
    start, reels = scenario.start, scenario.reels
    aged = any(stop.since_last is not None for stop in scenario.stop)
    if start.state == "as_found" and reels.at_start is None and not aged:
        return scenario
    return scenario.model_copy(
        update={
            "start": start.model_copy(update={"state": "as_found"}),
            "reels": reels.model_copy(update={"at_start": None}),
            "stop": tuple(s.model_copy(update={"since_last": None}) for s in scenario.stop),
        }
    )


def find_long_run(scenario: Scenario, runner: Runner) -> Settled:
    """Find runs, not shorter than ``runner`` is set to, whose successive parts do not differ.

    Their beginning is left out by MSER-5 (White 1997), on output, averaged moment by moment over
    the pilot runs. What is left is cut into parts: where they rise or fall together, or follow one
    another, the runs are too short and twice the length is tried. Raises
    :class:`NotSettledError` where that does not end, and for orders, which do.
    """
    if scenario.order:
        raise NotSettledError("orders begin with the run and end: they have no long run")
    scenario = in_the_long_run(scenario)
    runs = max(2, min(_PILOTS, runner.settings.replications))
    slowest, slowest_h = _slowest(scenario)
    least = max(runner.settings.hours, float(math.ceil(_TIMES_ROUND * slowest_h)))
    hours, tried = _whole_periods(scenario, least), []
    while True:
        tried.append(hours)
        rows = runner.pilot(scenario, _BUCKETS, runs, hours)
        series = [sum(parts) / len(rows) for parts in zip(*(r.buckets for r in rows), strict=True)]
        cut = mser5(series)
        left_out = -(-cut.length // _PER_BATCH)
        found = steadiness(_batches(rows, min(left_out, _BATCHES // 2)))
        if cut.settled and left_out <= _BATCHES // 2 and found.holds(_LEVEL):
            warm_up = cut.length * hours / _BUCKETS
            return Settled(warm_up, hours, len(rows), tuple(tried), found, slowest, slowest_h)
        if 2 * hours > max(_LONGEST_H, least):
            raise NotSettledError(_never(tried, found, cut.settled))
        hours *= 2


def long_run_for(
    scenario: Scenario,
    *,
    hours: float,
    replications: int,
    seed: int,
    stop: Callable[[], bool] | None = None,
) -> Settled:
    """The long run of a line, in runs of ``hours`` or more, by pilot runs made here and now.

    ``stop`` is asked between the pilots; raises ``StoppedError`` once it says True.
    """
    # Two pilots at least: one run's ups and downs would pass for a start that is over.
    pilots = max(2, replications)
    settings = Settings(replications=pilots, most=pilots, seed=seed, hours=hours, processes=1)
    with Runner(settings, stop=stop) as runner:
        return find_long_run(scenario, runner)


def settings_after(settings: Settings, settled: Settled) -> Settings:
    """Settings whose runs are as long as the long run takes, and count when it has begun."""
    return replace(settings, warm_up_h=settled.warm_up_h, hours=settled.hours)


def _batches(rows: Sequence[Outcome], left_out: int) -> list[list[float]]:
    return [
        [
            sum(row.buckets[i * _PER_BATCH : (i + 1) * _PER_BATCH]) / _PER_BATCH
            for i in range(left_out, _BATCHES)
        ]
        for row in rows
    ]


def _slowest(scenario: Scenario) -> tuple[str, float]:
    """The slowest stop cause that is waited for, and its mean interval at the line's pace, h."""
    pace = reference(scenario).rated
    speed = pace * web_m_per_ream(scenario) / scenario.unwind.webs
    found = [("", 0.0)]
    for stop in scenario.stop:
        if stop.meter == "every_clock_h":
            found.append((stop.cause, stop.mean_between))
        elif math.isfinite(pace):
            per_min = stops_per_min(scenario, stop, pace, speed)
            found.append((stop.cause, 1 / per_min / 60 if per_min else math.inf))
    return max((each for each in found if each[1] <= _RARE_H), key=lambda each: each[1])


def _whole_periods(scenario: Scenario, least: float) -> float:
    """At least so many hours, in parts that each hold the calendar whole."""
    calendar = scenario.calendar
    period = 0.0
    if scenario.rest:
        period = scenario.line.shift_hours
    if calendar.shifts_per_day is not None:
        period = 24.0
    if calendar.days_per_week < 7 or scenario.holiday:
        period = 168.0
    for work in scenario.planned_work:
        if work.every_h is not None:
            period = max(period, work.every_h)
    whole = _BATCHES * period
    return math.ceil(least / whole - 1e-9) * whole if whole else least


def _never(tried: Sequence[float], found: Steadiness, settled: bool) -> str:
    lengths = ", ".join(f"{hours:g}" for hours in tried)
    why = "their parts still rise or fall" if found.trend < _LEVEL else "their parts still follow"
    if found.holds(_LEVEL) or not settled:
        why = "their start takes more than half of them"
    elif found.trend >= _LEVEL:
        why += " one another"
    return (
        f"no long run was found: runs of {lengths} h were tried, and {why}. Runs of such a length"
        " that are not asked for as a long run say how the line is in that time"
    )
