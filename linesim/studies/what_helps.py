"""What would help a line most: every lever alone, by a few short runs, and the best of them again.

A small version of :func:`~linesim.studies.what_to_change.what_to_change` that stands beside every
run of a line. Each lever is moved one step, to the middle of those it has, in one run of about a
day. The few that promise most there are then run again with fresh random numbers, paired with the
line as it is: the gains told are of these runs alone, so that no lever looks good because it was
picked for it. The dearest causes are those that the line lost most to.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from linesim.scenario import Scenario, without_doubt
from linesim.studies.lever_search import LeverSearch
from linesim.studies.levers import levers_of
from linesim.studies.outcome import Outcome
from linesim.studies.progress import Progress
from linesim.studies.replications import Replicated
from linesim.studies.runner import Runner, Settings
from linesim.studies.what_to_change import Alone, each_alone

_ABOUT_A_DAY_H = 24.0
_LAST_YEARS = 10.0
RUNS = 5
_CONTENDERS = 4
_TOLD = 3
_TRIFLE = 0.2
"""Of what the best brings: what brings less is not told beside it."""


@dataclass(frozen=True)
class WhatHelps:
    """The levers that help most, alone, what brings most first; only those that are shown to."""

    levers: tuple[Alone, ...]
    tried: int
    """How many levers the line has."""
    runs: int
    """Of each of the few that promised most, and of the line as it is."""
    hours: float
    """Of each run."""


def what_helps(
    result: Replicated,
    *,
    hours: float | None = None,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> WhatHelps:
    """Which levers would help the line of these runs most, each alone, as it is stated.

    ``hours`` of each run are whole shifts of about a day unless given, of orders those of the runs.
    Raises :class:`StoppedError` where it was stopped.
    """
    scenario = without_doubt(result.scenario)
    if hours is None:
        hours = result.runs[0].hours if scenario.order else _whole_shifts(scenario)
    levers = levers_of(scenario, _dearest(scenario, result))
    known: dict[str, Outcome] = {}

    def search(runs: int) -> LeverSearch:
        settings = Settings(
            replications=runs,
            seed=result.seed,
            hours=hours,
            level=result.level,
            fewest=1,
            # So little that no process is worth its start; nothing is left to be closed.
            processes=1,
        )
        runner = Runner(settings, progress=progress, stop=stop, known=known)
        return LeverSearch(scenario, runner, levers, _LAST_YEARS)

    first = search(1)
    moved = [first.alone(n, (len(lever.steps) + 1) // 2) for n, lever in enumerate(levers)]
    first.run([first.now, *moved])
    there = [each for each in moved if each in first.rows and first.gain(each) > 0]
    best = sorted(there, key=first.value, reverse=True)[:_CONTENDERS]
    found: tuple[Alone, ...] = ()
    if best:
        again = search(RUNS)
        again.rows = again.fresh([again.now, *best], 0)
        found = _told(each_alone(again))
    return WhatHelps(found, len(levers), RUNS, hours)


def _told(found: Sequence[Alone]) -> tuple[Alone, ...]:
    """Those shown to bring more, and no less than they cost; no trifles beside a large one."""
    shown = [each for each in found if each.gain.shown and each.gain.interval.mean > 0]
    good = [each for each in shown if not _loses(each)]
    most = max((each.gain.interval.mean for each in good), default=0.0)
    return tuple(each for each in good if each.gain.interval.mean >= _TRIFLE * most)[:_TOLD]


def _loses(each: Alone) -> bool:
    return each.worth is not None and each.worth.present_value.mean <= 0


def _whole_shifts(scenario: Scenario) -> float:
    """Hours of about a day: so breaks and what comes once a shift have their share."""
    shift = scenario.line.shift_hours
    if scenario.bridge.slowing != "at_once":
        # The webs then change their speed with every ream: such runs take many times as long.
        return shift
    return shift * max(1, round(_ABOUT_A_DAY_H / shift))


def _dearest(scenario: Scenario, result: Replicated) -> list[str]:
    """The stop causes that the line lost most hours to, most first."""
    causes = dict.fromkeys(stop.cause for stop in scenario.stop)
    lost = dict.fromkeys(causes, 0.0)
    for run in result.runs:
        for row in run.lost_for:
            name = row.cause.partition(" (web ")[0]
            if name in lost:
                lost[name] += row.hours
    return sorted(causes, key=lambda cause: -lost[cause])[: scenario.levers.causes]
