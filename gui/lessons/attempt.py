"""One lesson as it is being answered: the answer that stands, and what happens."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

import linesim

if TYPE_CHECKING:
    from gui.workers import Task, WorkerPool


def same(these: tuple[object, ...], those: tuple[object, ...]) -> bool:
    """Whether they are the same things: runs are too long to be compared by what is in them."""
    return len(these) == len(those) and all(
        one is other for one, other in zip(these, those, strict=True)
    )


class Attempt(QObject):
    """Is kept as long as its lesson is in the list; its runs go on while others are looked at."""

    changed = Signal()
    """An answer stands, the truth is in, the picture is, or it is told how far that is."""
    answered = Signal()
    """What happens is known beside an answer that stands: once for each answer."""

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        """Raises ``ScenarioFaults`` where the file is no lesson that can be used."""
        super().__init__(parent)
        self.path = path
        self.lesson = linesim.lessons.load_lesson(path)
        self.scenario = linesim.lessons.lesson_scenario(self.lesson, file=path)
        self.answer: float | None = None
        """In the unit of the lesson, None before one is typed; it stands where ``committed``."""
        self.committed = False
        self.number = 0
        """How many answers have been committed to by whoever answers now."""
        self.error = ""
        """Why there is no truth, where there should be one."""
        self.part, self.words = 0.0, ""
        """How far the runs are: from 0 to 1, and in words."""
        self.quiet: linesim.Record | None = None
        """The line of the story without its stop, to be looked at before the answer."""
        self._truth: linesim.lessons.LessonTruth | None = None
        self._task: Task | None = None
        self._looking: Task | None = None

    @property
    def running(self) -> bool:
        """Whether an answer stands, and the line is being run for it."""
        return self._task is not None

    @property
    def truth(self) -> linesim.lessons.LessonTruth | None:
        """What happens; None as long as no answer stands, known or not."""
        return self._truth if self.committed else None

    @property
    def given(self) -> float:
        """The answer that stands. Raises ``AssertionError`` where none was given."""
        assert self.answer is not None
        return self.answer

    def look(self, pool: WorkerPool) -> None:
        """Have the line run as it is before the stop, unless that is there or under way."""
        if self.quiet is None and self._looking is None and not self.error:
            self._looking = pool.call("lesson_picture", path=self.path)
            self._looking.finished.connect(self._seen)
            self._looking.failed.connect(self._failed)

    def commit(self, answer: float, pool: WorkerPool) -> None:
        """The answer stands; now the line is run, unless it was for another answer."""
        if self.committed:
            return
        self.answer, self.error = answer, ""
        self.committed = True
        self.number += 1
        if self._truth is not None:
            self.changed.emit()
            self.answered.emit()
            return
        self.part, self.words = 0.0, ""
        self._task = pool.call("lesson", path=self.path)
        self._task.progress.connect(self._on_progress)
        self._task.partial.connect(self._known)
        self._task.finished.connect(self._finished)
        self._task.failed.connect(self._failed)
        self._task.cancelled.connect(self._over)
        self.changed.emit()

    def begin_again(self, *, by_another: bool = False) -> None:
        """Another answer is wanted, once the runs are over."""
        if self.running:
            return
        self.committed = False
        if by_another:
            self.number, self.answer = 0, None
        self.changed.emit()

    def _seen(self, quiet: linesim.Record) -> None:
        self._looking = None
        self.quiet = quiet
        self.changed.emit()

    def _on_progress(self, part: float, words: str) -> None:
        self.part, self.words = max(0.0, part), words
        self.changed.emit()

    def _known(self, truth: linesim.lessons.LessonTruth) -> None:
        first = self._truth is None
        self._truth = truth
        self.part = 0.0
        self.changed.emit()
        if first:
            self.answered.emit()

    def _finished(self, truth: linesim.lessons.LessonTruth) -> None:
        self._task = None
        self._known(truth)

    def _failed(self, words: str, _details: str) -> None:
        self.error = words
        self._looking = None
        self._over()

    def _over(self) -> None:
        self._task = None
        if self._truth is None and self.committed:
            # It came to nothing: the answer may be given once more.
            self.committed = False
            self.number -= 1
        self.changed.emit()
