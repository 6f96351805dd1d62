"""Garbage of Python is collected in the window's thread, between two events."""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

_LOOK_EVERY_MS = 500


class GarbageCollector(QObject):
    """Takes the place of the collector that runs in whichever thread happens to need memory.

    What Qt's objects hang on to may be in a ring; the thread that collects it ends them, and only
    the window's may. As long as this is there no other collects by itself.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._was_on = gc.isenabled()
        gc.disable()
        self._timer = QTimer(self)
        self._timer.timeout.connect(collect_due_generation)
        self._timer.start(_LOOK_EVERY_MS)

    def close(self) -> None:
        """Python collects by itself again, if it did before."""
        self._timer.stop()
        if self._was_on:
            gc.enable()


def collect_due_generation() -> int | None:
    """Collect as Python would by itself; gives the generation, None where none was due."""
    counts, limits = gc.get_count(), gc.get_threshold()
    due = [n for n in range(len(counts)) if 0 < limits[n] < counts[n]]
    if not due:
        return None
    gc.collect(due[-1])
    return due[-1]
