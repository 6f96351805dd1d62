"""What the stop that was put in costs over many replications: run beside the window, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

import linesim
from gui.shift import ShownShift, listen

if TYPE_CHECKING:
    from gui.jobs import Job, Jobs


class OverLucks(QObject):
    """Asks whenever another stop is on screen, and gives up asking when it is taken out."""

    said = Signal()
    """``words`` are others."""

    def __init__(self, shown: ShownShift, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown, self._jobs = shown, jobs
        self._asked: tuple[object, ...] | None = None
        self._job: Job | None = None
        self.words = ""
        """What is known, or how far it is; empty where no stop was put in."""
        listen(shown.record_changed, self._look)

    def _look(self) -> None:
        record, forced = self._shown.record, self._shown.forced
        asked = None
        if record is not None and forced:
            asked = record.scenario, forced, record.hours, record.seed
        if asked == self._asked:
            return
        self._asked = asked
        job, self._job = self._job, None
        if job is not None:
            job.cancel()
        if record is None or not forced:
            self._say("")
            return
        self._say(_words("starting"))
        self._job = job = self._jobs.call(
            "stop_over_lucks",
            scenario=record.scenario,
            forced=forced,
            hours=record.hours,
            seed=record.seed,
        )
        job.progress.connect(self._tell)
        job.finished.connect(self._found)
        job.failed.connect(self._failed)

    def _tell(self, _part: float, words: str) -> None:
        if self._mine():
            self._say(_words(words))

    def _found(self, found: linesim.studies.StopOverLucks) -> None:
        if self._mine():
            self._job = None
            self._say(linesim.report.over_lucks_words(found))

    def _failed(self, words: str, _details: str) -> None:
        if self._mine():
            self._job = None
            self._say(f"What it costs over many replications could not be run: {words}")

    def _mine(self) -> bool:
        return self._job is not None and self.sender() is self._job

    def _say(self, words: str) -> None:
        self.words = words
        self.said.emit()


def _words(how_far: str) -> str:
    return f"What the same stop costs over many replications is being run: {how_far} …"
