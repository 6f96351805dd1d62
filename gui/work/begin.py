"""Starting a worker process. No Qt here, so that one can be at work while Qt is still loading."""

from __future__ import annotations

import multiprocessing
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

import linesim
from gui.work.process import serve


@dataclass(frozen=True)
class Begun:
    """A process and our end of the pipe to it."""

    process: BaseProcess
    connection: Connection[Any, Any]

    def end(self) -> None:
        """No window will take it over."""
        self.connection.close()
        self.process.terminate()
        self.process.join()


def begin(name: str, *, aside: bool = False, alone: bool = True) -> Begun:
    """Start a process that takes tasks.

    ``aside``: it gives way to others where the processors are busy. ``alone``: it has no
    processes of its own, and ends with the window whatever happens.
    """
    # A fresh interpreter: a copy of one with Qt and threads in it may hang.
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=serve, args=(theirs, aside), name=name, daemon=alone)
    with linesim.interrupts.interrupt_held():
        process.start()
    theirs.close()
    return Begun(process, ours)
