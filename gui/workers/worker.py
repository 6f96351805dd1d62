"""A worker process as the window sees it."""

from __future__ import annotations

import contextlib
import itertools
import threading
import traceback
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from PySide6.QtCore import QObject

import linesim
from gui.work.messages import (
    CancelRequest,
    PartialResult,
    TaskFailure,
    TaskProgress,
    TaskRequest,
    TaskResult,
)
from gui.work.worker_main import error_text
from gui.work.worker_process import WorkerProcess, start_worker_process
from gui.workers.reader import Reader
from gui.workers.task import Task

_LOST = "The process that did this work ended unexpectedly. Nothing of yours is lost; try again."


class Worker(QObject):
    """Starts a process when first needed, and again after it died. Tasks queue up in it."""

    def __init__(
        self,
        name: str,
        parent: QObject | None = None,
        *,
        process: WorkerProcess | None = None,
        reader: Reader | None = None,
        low_priority: bool = False,
        daemon: bool = True,
    ) -> None:
        """``process`` is its process where one runs already; else one is started when needed.

        ``reader`` is shared with others; without one the worker has its own.
        """
        super().__init__(parent)
        self._reader = reader or Reader(self)
        self._own_reader = reader is None
        self._name, self._low_priority, self._daemon = name, low_priority, daemon
        self._process: BaseProcess | None = None
        self._connection: Connection[Any, Any] | None = None
        self._watched = 0
        self._numbers = itertools.count(1)
        self._tasks: dict[int, Task] = {}
        # Apart from the tasks: one that the reading thread is the last to hold would end there.
        self._on_arrival: dict[int, Callable[[Any], None]] = {}
        if process is not None:
            self._attach(process)

    def start(self) -> None:
        """Start the process now, so that the first task need not wait for it."""
        if self._process is None:
            self._attach(
                start_worker_process(
                    self._name, low_priority=self._low_priority, daemon=self._daemon
                )
            )

    def _attach(self, worker_process: WorkerProcess) -> None:
        self._process, self._connection = worker_process.process, worker_process.connection
        self._watched = self._reader.watch(
            worker_process.connection, self._on_message, self._arrived
        )

    def submit(
        self, name: str, /, on_arrival: Callable[[Any], None] | None = None, **arguments: Any
    ) -> Task:
        """Have a task of ``gui.work.tasks`` done.

        ``on_arrival`` is called with the result before the task is said to be finished, in a
        thread that is not the window's.
        """
        self.start()
        assert self._connection is not None
        number = next(self._numbers)
        task = Task(self, name)
        if on_arrival is not None:
            self._on_arrival[number] = on_arrival
        task.when_cancelled(lambda: self._send(CancelRequest(number)))
        self._tasks[number] = task
        self._send(TaskRequest(number, name, arguments))
        return task

    @property
    def task_names(self) -> list[str]:
        """The tasks under way or waiting, by name."""
        return [task.name for task in self._tasks.values()]

    @property
    def busy(self) -> bool:
        """Whether a task is under way or waits."""
        return bool(self._tasks)

    def close(self) -> None:
        """End the process and see it end. Tasks under way say ``cancelled``."""
        process = self._detach()
        if process is not None:
            _end(process)
        if self._own_reader:
            self._reader.close()

    def retire(self) -> None:
        """The same, without waiting for it."""
        process = self._detach()
        if process is not None:
            threading.Thread(target=_end, args=(process,), daemon=True).start()

    def _detach(self) -> BaseProcess | None:
        process = self._process
        self._process = self._connection = None
        self._reader.drop(self._watched)
        for task in self._take_tasks():
            task.end_cancelled()
        return process

    def _send(self, message: TaskRequest | CancelRequest) -> None:
        # A process that died is noticed by the reader.
        with contextlib.suppress(OSError, ValueError, AttributeError):
            self._connection.send(message)  # type: ignore[union-attr]

    def _arrived(self, message: Any) -> Any:
        """What its task has to do with a result, while the window goes on."""
        if not isinstance(message, TaskResult) or message.value is None:
            return message
        on_arrival = self._on_arrival.get(message.number)
        if on_arrival is not None:
            try:
                on_arrival(message.value)
            except Exception as error:
                return TaskFailure(message.number, error_text(error), traceback.format_exc())
        return message

    def _on_message(self, message: Any) -> None:
        if message is None:
            self._died()
            return
        task = self._tasks.get(message.number)
        if task is None:
            return
        match message:
            case TaskProgress(part=part, words=words):
                task.progress.emit(-1.0 if part is None else part, words)
            case PartialResult(value=value):
                task.partial.emit(value)
            case TaskFailure(words=words, details=details):
                self._forget(message.number)
                task.end_failed(words, details)
            case TaskResult(value=value, cancelled=cancelled):
                self._forget(message.number)
                if cancelled and value is None:
                    task.end_cancelled()
                else:
                    task.end_finished(value)

    def _died(self) -> None:
        self._reader.drop(self._watched)
        process = self._process
        self._process = self._connection = None
        code = None
        if process is not None:
            process.join(1)
            code = process.exitcode
        linesim.log_file.note_lost_process(self._name, code)
        for task in self._take_tasks():
            task.end_failed(_LOST, f"process {self._name} ended with code {code}")

    def _forget(self, number: int) -> None:
        del self._tasks[number]
        self._on_arrival.pop(number, None)

    def _take_tasks(self) -> list[Task]:
        tasks = list(self._tasks.values())
        self._tasks.clear()
        self._on_arrival.clear()
        return tasks


def _end(process: BaseProcess) -> None:
    process.terminate()
    process.join(2)
    if process.is_alive():
        process.kill()
        process.join(2)
