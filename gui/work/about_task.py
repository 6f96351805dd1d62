"""The task of what the program is here, with its self-check."""

from __future__ import annotations

import linesim
from gui.work.messages import TaskContext


def about(_: TaskContext) -> linesim.about.Facts:
    """As :func:`linesim.about.facts`; it runs lines, so a worker does it."""
    return linesim.about.facts()
