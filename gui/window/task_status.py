"""What the status bar says of one piece of work, from its begin to its end, however it ends.

A button beside it ends the work before its time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMainWindow, QPushButton

from gui.window.error_box import show_error
from gui.workers import Task

_COVERED = 2
"""Labels of the window that messages cover; what stands beside them Qt counts from there on."""
_SHOW_DONE_MS = 10_000


class TaskStatus(QObject):
    """Follows a task; lives as long as it does. ``done`` makes the last words of the result."""

    def __init__(
        self, window: QMainWindow, task: Task, doing: str, done: Callable[[Any], str]
    ) -> None:
        super().__init__(task)
        self._window, self._doing, self._done = window, doing, done
        self._cancel = QPushButton("Cancel")
        self._cancel.setAccessibleName(f"Cancel: {doing}")
        self._cancel.clicked.connect(task.cancel)
        window.statusBar().insertPermanentWidget(_COVERED, self._cancel)
        for ended in (task.finished, task.failed, task.cancelled):
            ended.connect(self._on_end)
        self._on_progress(-1.0, "")
        task.progress.connect(self._on_progress)
        task.finished.connect(self._on_finished)
        task.failed.connect(self._on_failed)
        task.cancelled.connect(self._on_cancelled)

    def _on_progress(self, _part: float, words: str) -> None:
        self._window.statusBar().showMessage(f"{self._doing}… {words}".rstrip())

    def _on_end(self, *_: object) -> None:
        self._cancel.hide()
        self._cancel.deleteLater()

    def _on_finished(self, value: Any) -> None:
        self._window.statusBar().showMessage(self._done(value), _SHOW_DONE_MS)

    def _on_failed(self, words: str, details: str) -> None:
        self._window.statusBar().clearMessage()
        show_error(self._window, words, details)

    def _on_cancelled(self) -> None:
        self._window.statusBar().clearMessage()
