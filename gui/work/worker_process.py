"""Starting a worker process. No Qt here, so that one can be at work while Qt is still loading."""

from __future__ import annotations

import multiprocessing
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

import linesim
from gui.work.worker_main import serve


@dataclass(frozen=True)
class WorkerProcess:
    """A process and our end of the pipe to it."""

    process: BaseProcess
    connection: Connection[Any, Any]

    def terminate(self) -> None:
        """No window will take it over."""
        self.connection.close()
        self.process.terminate()
        self.process.join()


def start_worker_process(
    name: str, *, low_priority: bool = False, daemon: bool = True
) -> WorkerProcess:
    """Start a process that takes tasks.

    ``low_priority``: it gives way to others where the processors are busy. ``daemon``: it has no
    processes of its own, and ends with the window whatever happens.
    """
    # A fresh interpreter: a copy of one with Qt and threads in it may hang.
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=serve, args=(theirs, low_priority), name=name, daemon=daemon)
    with linesim.interrupts.interrupt_held():
        process.start()
    theirs.close()
    return WorkerProcess(process, ours)
