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

from gui.jobs.job import Job
from gui.jobs.reader import Reader
from gui.work.begin import Begun, begin
from gui.work.process import words_for
from gui.work.talk import Done, Failed, Partly, Stop, Task, Told

_LOST = "The process that did this work ended unexpectedly. Nothing of yours is lost; try again."


class Worker(QObject):
    """Starts a process when first needed, and again after it died. Tasks queue up in it."""

    def __init__(
        self,
        name: str,
        parent: QObject | None = None,
        *,
        begun: Begun | None = None,
        reader: Reader | None = None,
        aside: bool = False,
        alone: bool = True,
    ) -> None:
        """``begun`` is its process where one runs already; else as :func:`gui.work.begin.begin`.

        ``reader`` is shared with others; without one the worker has its own.
        """
        super().__init__(parent)
        self._reader = reader or Reader(self)
        self._own_reader = reader is None
        self._name, self._aside, self._alone = name, aside, alone
        self._process: BaseProcess | None = None
        self._connection: Connection[Any, Any] | None = None
        self._watched = 0
        self._numbers = itertools.count(1)
        self._jobs: dict[int, Job] = {}
        # Apart from the jobs: one that the reading thread is the last to hold would end there.
        self._on_arrival: dict[int, Callable[[Any], None]] = {}
        if begun is not None:
            self._take_over(begun)

    def start(self) -> None:
        """Start the process now, so that the first task need not wait for it."""
        if self._process is None:
            self._take_over(begin(self._name, aside=self._aside, alone=self._alone))

    def _take_over(self, begun: Begun) -> None:
        self._process, self._connection = begun.process, begun.connection
        self._watched = self._reader.watch(begun.connection, self._on_heard, self._arrived)

    def submit(
        self, task: str, /, on_arrival: Callable[[Any], None] | None = None, **arguments: Any
    ) -> Job:
        """Have a task of ``gui.work.tasks`` done.

        ``on_arrival`` is called with the result before the job is said to be finished, in a
        thread that is not the window's.
        """
        self.start()
        assert self._connection is not None
        number = next(self._numbers)
        job = Job(self, task)
        if on_arrival is not None:
            self._on_arrival[number] = on_arrival
        job.when_cancelled(lambda: self._send(Stop(number)))
        self._jobs[number] = job
        self._send(Task(number, task, arguments))
        return job

    @property
    def tasks(self) -> list[str]:
        """The tasks under way or waiting, by name."""
        return [job.task for job in self._jobs.values()]

    @property
    def busy(self) -> bool:
        """Whether a task is under way or waits."""
        return bool(self._jobs)

    def close(self) -> None:
        """End the process and see it end. Jobs under way say ``cancelled``."""
        process = self._let_go()
        if process is not None:
            _end(process)
        if self._own_reader:
            self._reader.close()

    def retire(self) -> None:
        """The same, without waiting for it."""
        process = self._let_go()
        if process is not None:
            threading.Thread(target=_end, args=(process,), daemon=True).start()

    def _let_go(self) -> BaseProcess | None:
        process = self._process
        self._process = self._connection = None
        self._reader.drop(self._watched)
        for job in self._take_jobs():
            job.end_cancelled()
        return process

    def _send(self, message: Task | Stop) -> None:
        # A process that died is noticed by the reader.
        with contextlib.suppress(OSError, ValueError, AttributeError):
            self._connection.send(message)  # type: ignore[union-attr]

    def _arrived(self, message: Any) -> Any:
        """What its job has to do with a result, while the window goes on."""
        if not isinstance(message, Done) or message.value is None:
            return message
        on_arrival = self._on_arrival.get(message.number)
        if on_arrival is not None:
            try:
                on_arrival(message.value)
            except Exception as error:
                return Failed(message.number, words_for(error), traceback.format_exc())
        return message

    def _on_heard(self, message: Any) -> None:
        if message is None:
            self._died()
            return
        job = self._jobs.get(message.number)
        if job is None:
            return
        match message:
            case Told(part=part, words=words):
                job.progress.emit(-1.0 if part is None else part, words)
            case Partly(value=value):
                job.partial.emit(value)
            case Failed(words=words, details=details):
                self._forget(message.number)
                job.end_failed(words, details)
            case Done(value=value, stopped=stopped):
                self._forget(message.number)
                if stopped and value is None:
                    job.end_cancelled()
                else:
                    job.end_finished(value)

    def _died(self) -> None:
        self._reader.drop(self._watched)
        process = self._process
        self._process = self._connection = None
        code = None
        if process is not None:
            process.join(1)
            code = process.exitcode
        for job in self._take_jobs():
            job.end_failed(_LOST, f"process {self._name} ended with code {code}")

    def _forget(self, number: int) -> None:
        del self._jobs[number]
        self._on_arrival.pop(number, None)

    def _take_jobs(self) -> list[Job]:
        jobs = list(self._jobs.values())
        self._jobs.clear()
        self._on_arrival.clear()
        return jobs


def _end(process: BaseProcess) -> None:
    process.terminate()
    process.join(2)
    if process.is_alive():
        process.kill()
        process.join(2)
