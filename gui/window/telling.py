"""What the status bar says of one piece of work, from its begin to its end, however it ends."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMainWindow

from gui.jobs import Job
from gui.window.trouble import say_trouble

_SAY_DONE_MS = 10_000


class Telling(QObject):
    """Follows a job; lives as long as it does. ``done`` makes the last words of the result."""

    def __init__(
        self, window: QMainWindow, job: Job, doing: str, done: Callable[[Any], str]
    ) -> None:
        super().__init__(job)
        self._window, self._doing, self._done = window, doing, done
        self._say(-1.0, "")
        job.progress.connect(self._say)
        job.finished.connect(self._finished)
        job.failed.connect(self._failed)
        job.cancelled.connect(self._cancelled)

    def _say(self, _part: float, words: str) -> None:
        self._window.statusBar().showMessage(f"{self._doing}… {words}".rstrip())

    def _finished(self, value: Any) -> None:
        self._window.statusBar().showMessage(self._done(value), _SAY_DONE_MS)

    def _failed(self, words: str, details: str) -> None:
        self._window.statusBar().clearMessage()
        say_trouble(self._window, words, details)

    def _cancelled(self) -> None:
        self._window.statusBar().clearMessage()
