"""The levels at which a bridge stops, restarts and slows the sheeter: the best set of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from linesim.scenario import Scenario
from linesim.statistics import Interval
from linesim.studies.changes import with_levels
from linesim.studies.differences import Difference, between, mean_of, reams
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner


class Levels(NamedTuple):
    """Levels in reams; None where there is none."""

    stop: int | None
    restart: int | None
    slow: int | None


@dataclass(frozen=True)
class LevelRow:
    """The line with these levels; rejects at starts are cuts a week."""

    levels: Levels
    reams_per_week: Interval
    starts_rejects_per_week: Interval
    against_present: Difference | None
    """None for the present levels themselves."""


@dataclass(frozen=True)
class BestLevels:
    """Every set tried, best first, and the best one against the present on fresh draws."""

    present: Levels
    rows: tuple[LevelRow, ...]
    confirmed: Difference | None
    """None where the present levels came out first, or the study was cut short."""

    @property
    def best(self) -> Levels:
        """The levels that gave most."""
        return self.rows[0].levels


def levels_at(scenario: Scenario, restart: float, slow: float | None) -> Levels:
    """Levels as shares of the stop level; None: never slowed.

    The stop level stays where it is (its distance from the end is what a run-down needs); where
    there is none, one set of room is left free.
    """
    stop = scenario.bridge.stop_at_reams or max(1, scenario.bridge_places - scenario.set_reams)
    restart_at = max(0, min(stop - 1, round(stop * restart)))
    return Levels(stop, restart_at, None if slow is None else max(1, round(stop * slow)))


def levels_to_try(scenario: Scenario) -> tuple[Levels, ...]:
    """The present levels, none at all, and a grid of restart and slow levels."""
    found = [present_levels(scenario), Levels(None, None, None)]
    restarts = (0.0, 0.25, 0.5, 0.75, 1.0)
    found += [levels_at(scenario, at, slow) for slow in (None, 0.5, 0.8) for at in restarts]
    return tuple(dict.fromkeys(found))


def present_levels(scenario: Scenario) -> Levels:
    """The levels of the scenario."""
    bridge = scenario.bridge
    restart = bridge.restart_at_reams
    if bridge.stop_at_reams is not None and restart is None:
        restart = bridge.stop_at_reams - 1
    return Levels(bridge.stop_at_reams, restart, bridge.slow_at_reams)


def best_levels(scenario: Scenario, runner: Runner) -> BestLevels:
    """Try the levels on the same draws; good reams decide, so rejects at starts are in it.

    The best of many is flattered by the runs it was chosen on: it is compared with the present
    levels once more, on draws that none of them has met.
    """
    level = runner.settings.level
    tried = levels_to_try(scenario)
    present = tried[0]
    variants = {str(each): with_levels(scenario, *each) for each in tried}
    rows = runner.outcomes(variants)
    found = [
        LevelRow(
            each,
            mean_of(rows[str(each)], reams, level),
            mean_of(rows[str(each)], lambda o: _rejects(o, scenario) / o.hours * 168, level),
            None if each == present else between(rows[str(each)], rows[str(present)], reams, level),
        )
        for each in tried
    ]
    found.sort(key=lambda row: -row.reams_per_week.mean)
    confirmed = None
    if found[0].levels != present and not runner.interrupted:
        pair = {"best": variants[str(found[0].levels)], "present": variants[str(present)]}
        fresh = runner.outcomes(pair, first=len(next(iter(rows.values()))))
        confirmed = between(fresh["best"], fresh["present"], reams, level)
    return BestLevels(present, tuple(found), confirmed)


def _rejects(outcome: Outcome, scenario: Scenario) -> float:
    """Cuts rejected because the webs had stood."""
    um = outcome.rejected_um.get("after_stop", 0)
    return um / 1000 / scenario.product.sheet_length_mm / scenario.unwind.webs
