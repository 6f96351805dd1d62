"""Replications of a line, for any task that wants figures."""

from __future__ import annotations

from typing import Any

import linesim
from gui.work.messages import TaskCancelledError, TaskContext


def replicated(
    context: TaskContext, scenario: linesim.scenario.Scenario, **asked: Any
) -> linesim.studies.Replicated:
    """Replications as ``linesim.studies.replicate`` makes them, told to the window.

    Raises :class:`TaskCancelledError` where the window no longer wants them.
    """

    def so_far(progress: linesim.studies.Progress) -> None:
        context.progress(progress.part, progress.words)

    try:
        result = linesim.studies.replicate(
            scenario, progress=so_far, stop=context.cancelled, **asked
        )
    except linesim.studies.StoppedError:
        raise TaskCancelledError from None
    if result.interrupted:
        raise TaskCancelledError
    return result
