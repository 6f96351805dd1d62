"""How long a line takes to forget how it was started, for studies of the long run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from linesim.scenario import Scenario
from linesim.statistics import mser5
from linesim.studies.runner import Runner, Settings

_BUCKETS = 400
_PILOTS = 5


@dataclass(frozen=True)
class Settled:
    """Hours left out at the start of each run, and whether the pilot runs were long enough.

    It was found from ``pilot_runs`` runs (a count) of ``pilot_h`` each.
    """

    warm_up_h: float
    settled: bool
    pilot_runs: int
    pilot_h: float


def find_warm_up(scenario: Scenario, runner: Runner) -> Settled:
    """Warm-up by MSER-5 (White 1997) on output, averaged moment by moment over pilot runs."""
    hours = runner.settings.hours
    rows = runner.pilot(scenario, _BUCKETS, min(_PILOTS, runner.settings.replications))
    series = [sum(parts) / len(rows) for parts in zip(*(r.buckets for r in rows), strict=True)]
    found = mser5(series)
    return Settled(found.length * hours / _BUCKETS, found.settled, len(rows), hours)


def warm_up_for(
    scenario: Scenario,
    *,
    hours: float,
    replications: int,
    seed: int,
    stop: Callable[[], bool] | None = None,
) -> Settled:
    """Warm-up of runs of ``hours``, by pilot runs of that length made here and now.

    ``stop`` is asked between the pilots; raises ``StoppedError`` once it says True.
    """
    # Two pilots at least: one run's ups and downs would pass for a start that is over.
    pilots = max(2, replications)
    settings = Settings(replications=pilots, most=pilots, seed=seed, hours=hours, processes=1)
    with Runner(settings, stop=stop) as runner:
        return find_warm_up(scenario, runner)


def settings_after(settings: Settings, settled: Settled) -> Settings:
    """Settings whose runs begin to count when the line has settled."""
    return replace(settings, warm_up_h=settled.warm_up_h)
