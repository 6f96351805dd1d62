"""What would help the line most, for commands that tell its story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.commands.progress import StderrProgress
from linesim.commands.run_options import say_engine

if TYPE_CHECKING:
    from linesim.studies import Replicated, WhatHelps


_LEVERS = 40
"""About so many runs it takes to find out what would help."""


def see_to_engine(replications: int, hours: float, levers: bool | None = None) -> None:
    """See to the engine for these runs, and for what would help their line, asked after them.

    ``levers`` as ``helps_of`` has it.
    """
    asked = replications > 1 and levers is not False
    say_engine(hours * (replications + asked * _LEVERS))


def helps_of(result: Replicated, levers: bool | None = None) -> WhatHelps | str:
    """What would help, or why it was not asked: empty where it was left out on purpose.

    ``levers`` as ``--levers`` and ``--no-levers`` say; None: where it is worth its time.
    """
    from linesim.report.help_words import no_help_words
    from linesim.studies import StoppedError, what_helps

    reason = no_help_words(result)
    if levers is False:
        return ""
    if result.interrupted or (reason and not levers):
        return reason
    try:
        with StderrProgress() as progress:
            return what_helps(result, progress=progress)
    except StoppedError:
        return "Stopped before it was known what would help"
