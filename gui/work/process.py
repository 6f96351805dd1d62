"""The main loop of a worker process: take a task, do it, say how it went."""

from __future__ import annotations

import os
import signal
import time
import traceback
from collections import deque
from multiprocessing.connection import Connection
from typing import Any

from gui.work.parcel import send
from gui.work.talk import Done, Failed, Partly, Stop, StoppedError, Task, Told

_SAY_EVERY_S = 0.05
_ASIDE = 5


class _Pipe:
    """A task's side of the pipe. Tasks that come while one is under way wait in ``waiting``."""

    def __init__(self, connection: Connection[Any, Any]) -> None:
        self._connection = connection
        self.waiting: deque[Task] = deque()
        self._unwanted: set[int] = set()
        self._number = 0
        self._said = 0.0

    def begin(self, task: Task) -> None:
        self._number = task.number
        self._said = 0.0

    def take(self) -> Task | None:
        """The next task; None when the window has gone."""
        while True:
            while self.waiting:
                task = self.waiting.popleft()
                if task.number not in self._unwanted:
                    return task
                self._unwanted.discard(task.number)
                send(self._connection, Done(task.number, None, stopped=True))
            try:
                self._heard(self._connection.recv())
            except (EOFError, OSError):
                return None

    def _heard(self, message: Task | Stop) -> None:
        if isinstance(message, Stop):
            self._unwanted.add(message.number)
        else:
            self.waiting.append(message)

    def told(self, part: float | None, words: str = "") -> None:
        now = time.monotonic()
        if now - self._said >= _SAY_EVERY_S:
            self._said = now
            send(self._connection, Told(self._number, part, words))

    def partly(self, value: Any) -> None:
        send(self._connection, Partly(self._number, value))

    def stopped(self) -> bool:
        while self._connection.poll():
            self._heard(self._connection.recv())
        return self._number in self._unwanted

    def send(self, message: Any) -> None:
        self._unwanted.discard(self._number)
        send(self._connection, message)


def serve(connection: Connection[Any, Any], aside: bool = False) -> None:
    """Do tasks until the window hangs up; ``aside``: giving way where the processors are busy."""
    # The window decides what an interrupt from the keyboard means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if aside and hasattr(os, "nice"):
        os.nice(_ASIDE)
    from gui.work.shift_task import make_ready
    from gui.work.tasks import TASKS

    make_ready()
    pipe = _Pipe(connection)
    while (task := pipe.take()) is not None:
        pipe.begin(task)
        try:
            value = TASKS[task.name](pipe, **task.arguments)
        except StoppedError:
            answer: Any = Done(task.number, None, stopped=True)
        except (BrokenPipeError, EOFError):
            return
        except Exception as error:
            answer = Failed(task.number, words_for(error), traceback.format_exc())
        else:
            answer = Done(task.number, value)
        try:
            pipe.send(answer)
        except (BrokenPipeError, OSError):
            return


def words_for(error: Exception) -> str:
    """What went wrong, for the user: our own errors speak for themselves."""
    import linesim

    if isinstance(error, linesim.scenario.ScenarioFaults | linesim.studies.StudyFileError):
        return str(error)
    if isinstance(error, linesim.studies.WorkersLostError):
        return f"That could not be done: {error}. Start goes on from the runs that are kept."
    if isinstance(error, MemoryError):
        return "There was not enough memory for this run. Ask for fewer hours."
    if isinstance(error, ValueError | OSError):
        return f"That could not be done: {error}"
    return f"Something went wrong inside the simulation ({type(error).__name__}: {error})."
