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


def helps_for(
    context: TaskContext, result: linesim.studies.Replicated
) -> linesim.studies.WhatHelps | str:
    """What would help the line of these runs most, or why that is not worth asking.

    Raises :class:`TaskCancelledError` where the window no longer wants it.
    """
    reason = linesim.report.no_help_words(result)
    if reason:
        return reason

    def so_far(progress: linesim.studies.Progress) -> None:
        context.progress(progress.part, "what would help")

    try:
        return linesim.studies.what_helps(result, progress=so_far, stop=context.cancelled)
    except linesim.studies.StoppedError:
        raise TaskCancelledError from None
