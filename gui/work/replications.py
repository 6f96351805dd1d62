"""Replications of a line, for any task that wants figures."""

from __future__ import annotations

from typing import Any

import linesim
from gui.work.talk import StoppedError, Talk


def replicated(
    talk: Talk, scenario: linesim.scenario.Scenario, **asked: Any
) -> linesim.studies.Replicated:
    """Replications as ``linesim.studies.replicate`` makes them, told to the window.

    Raises :class:`StoppedError` where the window no longer wants them.
    """

    def so_far(progress: linesim.studies.Progress) -> None:
        talk.told(progress.part, progress.words)

    try:
        result = linesim.studies.replicate(scenario, progress=so_far, stop=talk.stopped, **asked)
    except linesim.studies.StoppedError:
        raise StoppedError from None
    if result.interrupted:
        raise StoppedError
    return result
