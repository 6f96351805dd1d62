"""The tasks of the run on screen: one run with history, and many for its figures."""

from __future__ import annotations

from dataclasses import dataclass

import linesim
from gui.work.messages import TaskCancelledError, TaskContext
from gui.work.replications import helps_for, replicated


@dataclass(frozen=True)
class ShiftRun:
    """A run with its history and, where a stop was forced, the same run without it."""

    record: linesim.record.Record
    ghost: linesim.record.Record | None
    disturbance: linesim.record.Disturbance | None


_Asked = tuple[linesim.scenario.Scenario, float, int, int]
_prefetched: list[tuple[_Asked, ShiftRun]] = []
"""The run made before it was asked for, if there is one."""


def preload() -> None:
    """Load what every task needs, before the first of them comes."""
    _ = linesim.fast.simulate, linesim.studies.replicate


def prefetch(context: TaskContext, *, scenario: str) -> None:
    """Make the run that a window which opens a scenario will ask for, while it is being built.

    ``scenario`` is the path or name that the window was called with.

    Nothing is said of a file with faults: the window reads it, too.
    """
    try:
        checked = linesim.scenario.load(linesim.scenario.find_scenario(scenario))
    except (linesim.scenario.ScenarioFaults, OSError, ValueError):
        return
    hours = checked.line.shift_hours
    run = shift(context, scenario=checked, hours=hours, seed=1, replication=0)
    _prefetched[:] = [((checked, hours, 1, 0), run)]


def shift(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    hours: float,
    seed: int,
    replication: int,
    forced: tuple[linesim.scenario.ForcedStop, ...] = (),
) -> ShiftRun:
    """Run the line once, with history. With a forced stop also without it, on the same draws."""
    asked = scenario, hours, seed, replication
    found = [run for of, run in _prefetched if of == asked and not forced]
    _prefetched.clear()
    if found:
        return found[0]
    runs = [()] if not forced else [(), forced]
    records = []
    for number, stops in enumerate(runs):

        def so_far(part: float, number: int = number) -> bool:
            context.progress((number + part) / len(runs), "")
            return not context.cancelled()

        records.append(
            linesim.fast.simulate(
                scenario,
                seed=seed,
                replication=replication,
                hours=hours,
                forced=stops,
                progress=so_far,
            )
        )
        if context.cancelled():
            raise TaskCancelledError
    if not forced:
        return ShiftRun(records[0], None, None)
    quiet, disturbed = records
    return ShiftRun(disturbed, quiet, linesim.record.disturbance(quiet, disturbed, forced[0]))


def figures(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    hours: float,
    seed: int,
    replications: int,
) -> linesim.studies.Replicated:
    """The same line replicated: figures with intervals."""

    return replicated(context, scenario, hours=hours, seed=seed, replications=replications)


def story(context: TaskContext, *, figures: linesim.studies.Replicated) -> linesim.report.Story:
    """The line of these runs told in a paragraph; without what would help as soon as may be."""
    context.partial(linesim.report.story(figures))
    return linesim.report.story(figures, helps_for(context, figures))


def stop_cost_over_replications(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    forced: tuple[linesim.scenario.ForcedStop, ...],
    hours: float,
    seed: int,
) -> linesim.studies.StopOverReplications:
    """What stops that were put in cost, over many pairs of runs with and without them."""

    def so_far(done: int, asked: int) -> bool:
        context.progress(done / asked, f"{done} of {asked} pairs of runs")
        if context.cancelled():
            raise TaskCancelledError
        return True

    return linesim.studies.stop_cost_over_replications(
        scenario, forced, hours=hours, seed=seed, progress=so_far
    )
