"""What would help the line most, for commands that tell its story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.commands.progress import StderrProgress

if TYPE_CHECKING:
    from linesim.studies import Replicated, WhatHelps


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
