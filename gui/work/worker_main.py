"""The main loop of a worker process: take a task, do it, say how it went."""

from __future__ import annotations

import signal
import time
import traceback
from collections import deque
from multiprocessing.connection import Connection
from typing import Any

import linesim
from gui.work.fault_words import fault_words
from gui.work.messages import (
    CancelRequest,
    PartialResult,
    TaskCancelledError,
    TaskFailure,
    TaskProgress,
    TaskRequest,
    TaskResult,
)
from gui.work.pipe_io import send

_REPORT_EVERY_S = 0.05
_NICENESS = 5


class _PipeContext:
    """A task's side of the pipe. Tasks that come while one is under way wait in ``waiting``."""

    def __init__(self, connection: Connection[Any, Any]) -> None:
        self._connection = connection
        self.waiting: deque[TaskRequest] = deque()
        self._cancelled: set[int] = set()
        self._number = 0
        self._reported_at = 0.0

    def begin(self, task: TaskRequest) -> None:
        self._number = task.number
        self._reported_at = 0.0

    def take(self) -> TaskRequest | None:
        """The next task; None when the window has gone."""
        while True:
            while self.waiting:
                task = self.waiting.popleft()
                if task.number not in self._cancelled:
                    return task
                self._cancelled.discard(task.number)
                send(self._connection, TaskResult(task.number, None, cancelled=True))
            try:
                self._take_message(self._connection.recv())
            except (EOFError, OSError):
                return None

    def _take_message(self, message: TaskRequest | CancelRequest) -> None:
        if isinstance(message, CancelRequest):
            self._cancelled.add(message.number)
        else:
            self.waiting.append(message)

    def progress(self, part: float | None, words: str = "") -> None:
        now = time.monotonic()
        if now - self._reported_at >= _REPORT_EVERY_S:
            self._reported_at = now
            send(self._connection, TaskProgress(self._number, part, words))

    def partial(self, value: Any) -> None:
        send(self._connection, PartialResult(self._number, value))

    def cancelled(self) -> bool:
        while self._connection.poll():
            self._take_message(self._connection.recv())
        return self._number in self._cancelled

    def send(self, message: Any) -> None:
        self._cancelled.discard(self._number)
        send(self._connection, message)


def serve(connection: Connection[Any, Any], low_priority: bool = False) -> None:
    """Do tasks until the window closes the pipe."""
    # The window decides what an interrupt from the keyboard means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    linesim.log_file.begin_log("linesim-window, a worker")
    linesim.log_file.note_crashes()
    if low_priority:
        linesim.platforms.give_way(_NICENESS)
    from gui.work.shift_task import preload
    from gui.work.tasks import TASKS

    preload()
    pipe = _PipeContext(connection)
    while (task := pipe.take()) is not None:
        pipe.begin(task)
        try:
            value = TASKS[task.name](pipe, **task.arguments)
        except TaskCancelledError:
            answer: Any = TaskResult(task.number, None, cancelled=True)
        except (BrokenPipeError, EOFError):
            return
        except Exception as error:
            answer = TaskFailure(task.number, error_text(error), traceback.format_exc())
        else:
            answer = TaskResult(task.number, value)
        try:
            pipe.send(answer)
        except (BrokenPipeError, OSError):
            return


def error_text(error: Exception) -> str:
    """What went wrong, for the user: files that are not right speak for themselves.

    Of all else the log has where it came about.
    """
    if isinstance(error, linesim.scenario.ScenarioFaults):
        return fault_words(error)
    if isinstance(error, linesim.studies.StudyFileError):
        return str(error)
    linesim.log_file.note_fault(error)
    if isinstance(error, linesim.studies.WorkersLostError):
        return f"That could not be done: {error}. Start goes on from the runs that are kept."
    if isinstance(error, MemoryError):
        return "There was not enough memory for this run. Ask for fewer hours."
    if isinstance(error, ValueError | OSError):
        return f"That could not be done: {error}"
    return f"Something went wrong inside the simulation ({type(error).__name__}: {error})."
