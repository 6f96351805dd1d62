"""One learner's try at a lesson: the answer that stands, and what happens."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

if TYPE_CHECKING:
    import linesim
    from gui.workers import Task, WorkerPool


class Attempt(QObject):
    """Is kept as long as its lesson is in the list; its runs go on while others are looked at."""

    changed = Signal()
    """An answer stands, the truth is in, or it is told how far that is."""

    def __init__(
        self, path: Path, lesson: linesim.lessons.Lesson, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.path, self.lesson = path, lesson
        self.answer = 0.0
        """In the unit of the lesson; it stands from :meth:`commit` on."""
        self.truth: linesim.lessons.LessonTruth | None = None
        self.error = ""
        """Why there is no truth, where there should be one."""
        self.part, self.words = 0.0, ""
        """How far the runs are: from 0 to 1, and in words."""
        self._task: Task | None = None

    @property
    def running(self) -> bool:
        """Whether an answer stands, and the line is being run for it."""
        return self._task is not None

    def commit(self, answer: float, pool: WorkerPool) -> None:
        """The answer stands; now the line is run."""
        if self._task is not None or self.truth is not None:
            return
        self.answer, self.error = answer, ""
        self.part, self.words = 0.0, ""
        self._task = pool.call("lesson", path=self.path)
        self._task.progress.connect(self._on_progress)
        self._task.partial.connect(self._known)
        self._task.finished.connect(self._finished)
        self._task.failed.connect(self._failed)
        self._task.cancelled.connect(self._cancelled)
        self.changed.emit()

    def begin_again(self) -> None:
        """Another answer is wanted, once the runs are over; the one that stood is forgotten."""
        self.truth = None
        self.changed.emit()

    def _on_progress(self, part: float, words: str) -> None:
        self.part, self.words = max(0.0, part), words
        self.changed.emit()

    def _known(self, truth: linesim.lessons.LessonTruth) -> None:
        self.truth = truth
        self.part = 0.0
        self.changed.emit()

    def _finished(self, truth: linesim.lessons.LessonTruth) -> None:
        self.truth = truth
        self._over()

    def _failed(self, words: str, _details: str) -> None:
        self.error = words
        self._over()

    def _cancelled(self) -> None:
        self._over()

    def _over(self) -> None:
        self._task = None
        self.changed.emit()
