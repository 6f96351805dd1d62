"""One piece of work under way in another process."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal


class Task(QObject):
    """Says how it goes. Exactly one of ``finished``, ``failed`` and ``cancelled`` comes, once.

    ``progress`` carries a part from 0 to 1 (negative: cannot tell) and words. ``cancelled``
    comes where nothing is left of the work; work that was cut short but has something to say
    comes as ``finished``.
    """

    progress = Signal(float, str)
    partial = Signal(object)
    finished = Signal(object)
    failed = Signal(str, str)
    cancelled = Signal()

    def __init__(self, parent: QObject | None = None, name: str = "") -> None:
        super().__init__(parent)
        self.name = name
        self._over = False
        self._cancel: Callable[[], None] | None = None

    @property
    def over(self) -> bool:
        """Whether it has ended, in whatever way."""
        return self._over

    def when_cancelled(self, cancel: Callable[[], None]) -> None:
        """What :meth:`cancel` has to do."""
        self._cancel = cancel

    def cancel(self) -> None:
        """Ask for an end; the task says ``cancelled`` or ``finished`` when it came."""
        if not self._over and self._cancel is not None:
            self._cancel()

    def end_finished(self, value: Any) -> None:
        """The work is done."""
        if self._ends():
            self.finished.emit(value)

    def end_failed(self, words: str, details: str) -> None:
        """The work could not be done."""
        if self._ends():
            self.failed.emit(words, details)

    def end_cancelled(self) -> None:
        """Nobody wanted it any more."""
        if self._ends():
            self.cancelled.emit()

    def _ends(self) -> bool:
        """Whether it had not ended before. It goes when what it says now has been heard."""
        if self._over:
            return False
        self._over = True
        self._cancel = None
        # What is connected may be the last to hold the owner, which would delete it once more.
        self.setParent(None)
        self.deleteLater()
        return True
