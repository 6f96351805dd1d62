"""The lessons one after another, who answers them, and every answer that was given."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

import linesim
from gui.lessons.attempt import Attempt


class Course(QObject):
    """Answers stay, whoever answers next: a trainer takes all of them away as one table."""

    changed = Signal()
    """An answer came in, or somebody else answers."""
    begun = Signal()
    """Somebody else answers from here on."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.attempts: list[Attempt] = []
        self.answers: list[linesim.lessons.GivenAnswer] = []
        self.who = linesim.lessons.GROUP
        self.file: Path | None = None
        """Where answers are kept; each is written when it comes in."""
        self.unsaved = 0
        """How many answers are in no file."""

    def add(self, path: Path) -> Attempt:
        """One lesson more. Raises ``ScenarioFaults`` where the file is none that can be used."""
        attempt = Attempt(path, self)
        attempt.answered.connect(self._take_down)
        self.attempts.append(attempt)
        return attempt

    @property
    def running(self) -> bool:
        """Whether an answer stands that has not been told its truth in full."""
        return any(each.running for each in self.attempts)

    @property
    def mine(self) -> list[linesim.lessons.GivenAnswer]:
        """The answers of whoever answers now."""
        return [each for each in self.answers if each.who == self.who]

    def begin(self, who: str) -> None:
        """Somebody answers from the first lesson on; while runs are under way nobody else can."""
        if self.running or not who or who == self.who:
            return
        self.who = who
        for each in self.attempts:
            each.begin_again(by_another=True)
        self.begun.emit()
        self.changed.emit()

    def mark(self, attempt: Attempt) -> bool | None:
        """Whether the first answer to a lesson was right; None where that is not known."""
        for each in self.mine:
            if each.lesson == attempt.lesson.title and each.attempt == 1:
                return each.right
        return None

    def _take_down(self) -> None:
        attempt = self.sender()
        assert isinstance(attempt, Attempt)
        truth = attempt.truth
        assert truth is not None
        earlier = sum(each.lesson == attempt.lesson.title for each in self.mine)
        self.answers.append(
            linesim.lessons.given_answer(
                self.who, attempt.lesson, truth, attempt.given, earlier + 1
            )
        )
        self.unsaved += 1
        self.changed.emit()

    def save(self, path: Path) -> None:
        """Write all answers as CSV, now and whenever one comes in. Raises ``OSError``."""
        table = linesim.report.score_table(self.answers)
        linesim.files.write_text(path, linesim.report.table_csv(table))
        self.file, self.unsaved = path, 0
        self.changed.emit()
