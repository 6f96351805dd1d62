"""What the stop that was put in costs over many replications: run beside the window, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

import linesim
from gui.shift import ShownShift, connect_weakly

if TYPE_CHECKING:
    from gui.workers import Task, WorkerPool


class StopCost(QObject):
    """Asks whenever another stop is on screen, and gives up asking when it is taken out."""

    changed = Signal()
    """``text`` are others."""

    def __init__(self, shown: ShownShift, pool: WorkerPool, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown, self._pool = shown, pool
        self._asked: tuple[object, ...] | None = None
        self._task: Task | None = None
        self.text = ""
        """What is known, or how far it is; empty where no stop was put in."""
        self.found: linesim.studies.StopOverReplications | None = None
        """What it costs in each replication, once all are run."""
        connect_weakly(shown.record_changed, self._on_record)

    def _on_record(self) -> None:
        record, forced = self._shown.record, self._shown.forced
        asked = None
        if record is not None and forced:
            asked = record.scenario, forced, record.hours, record.seed
        if asked == self._asked:
            return
        self._asked, self.found = asked, None
        task, self._task = self._task, None
        if task is not None:
            task.cancel()
        if record is None or not forced:
            self._set("")
            return
        self._set(_progress_text("starting"))
        self._task = task = self._pool.call(
            "stop_cost_over_replications",
            scenario=record.scenario,
            forced=forced,
            hours=record.hours,
            seed=record.seed,
        )
        task.progress.connect(self._on_progress)
        task.finished.connect(self._on_finished)
        task.failed.connect(self._on_failed)

    def _on_progress(self, _part: float, words: str) -> None:
        if self._is_current():
            self._set(_progress_text(words))

    def _on_finished(self, found: linesim.studies.StopOverReplications) -> None:
        if self._is_current():
            self._task, self.found = None, found
            self._set(linesim.report.over_replications_words(found))

    def _on_failed(self, words: str, _details: str) -> None:
        if self._is_current():
            self._task = None
            self._set(f"The cost over many runs could not be found: {words}")

    def _is_current(self) -> bool:
        return self._task is not None and self.sender() is self._task

    def _set(self, words: str) -> None:
        self.text = words
        self.changed.emit()


def _progress_text(how_far: str) -> str:
    return f"Finding what the same stop costs over many runs: {how_far} …"
