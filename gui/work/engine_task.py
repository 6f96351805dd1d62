"""The task of the compiled engine: have it made, and say how that stands."""

from __future__ import annotations

import linesim
from gui.work.messages import TaskContext


def engine(_: TaskContext) -> linesim.fast.EngineState:
    """As :func:`linesim.fast.see_to_engine`; a process of its own makes it, and nobody waits."""
    return linesim.fast.see_to_engine()
