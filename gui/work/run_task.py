"""The tasks behind taking a run away: its figures as text and JSON, its course as tables."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import linesim
from gui.work.messages import TaskCancelledError, TaskContext
from gui.work.replications import helps_for, replicated


@dataclass(frozen=True)
class RunRequest:
    """What is asked of a run in figures; ``within_percent`` is None where no width is asked for."""

    hours: float
    replications: int
    seed: int
    long_run: bool = False
    within_percent: float | None = None
    most: int = 200
    audit: bool = False


@dataclass(frozen=True)
class RunReport:
    """The report as text and all figures as JSON; ``sound``: no audit found a fault."""

    text: str
    json: str
    sound: bool


def run_report(
    context: TaskContext, *, scenario: linesim.scenario.Scenario, request: RunRequest
) -> RunReport:
    """Run the line as asked, and say what ``linesim run`` says."""

    settled, hours = None, request.hours
    if request.long_run:
        context.progress(None, "finding out how long the long run is")
        try:
            settled = linesim.studies.long_run_for(
                scenario,
                hours=request.hours,
                replications=request.replications,
                seed=request.seed,
                stop=context.cancelled,
            )
        except linesim.studies.StoppedError:
            raise TaskCancelledError from None
        scenario, hours = linesim.studies.in_the_long_run(scenario), settled.hours
    result = replicated(
        context,
        scenario,
        hours=hours,
        replications=request.replications,
        seed=request.seed,
        warm_up_h=settled.warm_up_h if settled is not None else 0.0,
        narrow=None if request.within_percent is None else request.within_percent / 100,
        most=request.most,
        check=request.audit,
        processes=None,
    )
    helps = helps_for(context, result)
    text = linesim.report.run_text(
        result, helps, settled=settled, within_percent=request.within_percent, audit=request.audit
    )
    found = None if isinstance(helps, str) else helps
    sound = not any(check.faults for run in result.runs for check in run.checks)
    return RunReport(text, linesim.report.json_text(result, found), sound)


def run_tables(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    hours: float,
    seed: int,
    replication: int,
    forced: tuple[linesim.scenario.ForcedStop, ...],
    folder: Path,
) -> tuple[Path, ...]:
    """Run the line once and write its course into ``folder`` as tables."""

    def so_far(part: float) -> bool:
        context.progress(part, "")
        return not context.cancelled()

    record = linesim.fast.simulate(
        scenario,
        hours=hours,
        seed=seed,
        replication=replication,
        forced=forced,
        progress=so_far,
    )
    if context.cancelled():
        raise TaskCancelledError
    return linesim.report.write_folder(folder, record)
