"""The task of a shared shift: the run on screen as one page that plays."""

from __future__ import annotations

from pathlib import Path

import linesim
from gui.work.messages import TaskCancelledError, TaskContext
from gui.work.replications import helps_for, replicated
from gui.work.shift_task import shift


def share(
    context: TaskContext,
    *,
    scenario: linesim.scenario.Scenario,
    hours: float,
    seed: int,
    replication: int,
    forced: tuple[linesim.scenario.ForcedStop, ...],
    replications: int,
    target: Path,
) -> Path:
    """Run the line once, and as often as its paragraph needs; write the page to ``target``.

    Of a run with a stop put in, the page tells what that did and nothing of the line without it.
    """
    run = shift(
        context, scenario=scenario, hours=hours, seed=seed, replication=replication, forced=forced
    )
    runs, helps = None, ""
    if not forced:
        runs = replicated(
            context, scenario, hours=hours, seed=seed, replications=replications, processes=None
        )
        helps = helps_for(context, runs)

    def so_far(part: float) -> bool:
        context.progress(part, f"{100 * part:.0f} %")
        return not context.cancelled()

    try:
        page = linesim.report.shared_shift(
            run.record, runs, helps, disturbance=run.disturbance, without=run.ghost, progress=so_far
        )
    except linesim.studies.StoppedError:
        raise TaskCancelledError from None
    linesim.files.write_text(target, page)
    return target
