"""Who makes the runs: this process, processes on this machine, or a cluster."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import ParamSpec, TypeVar

from linesim.fast import is_quick
from linesim.interrupts import interrupt_held
from linesim.studies.cluster import OnCluster, WorkersLostError, on_cluster

P = ParamSpec("P")
T = TypeVar("T")


_HOURS_WORTH_PROCESSES = 300.0
_QUICKER = 20
"""Hours by the compiled engine for one by Python, roughly and rather too few."""
_HOURS_WORTH_ASKING = 100.0
"""Of compiled code, which works through them in some hundredths of a second."""


def put_in_words(error: Exception, executor: Executor | None) -> Exception:
    """What a run that failed tells about those who made it; the error itself where nothing."""
    if isinstance(error, BrokenProcessPool):
        return WorkersLostError(
            "a process that made runs was ended from outside (out of memory?); runs in flight are"
            " lost"
        )
    return executor.said(error) if isinstance(executor, OnCluster) else error


def processes_for(hours: float) -> int:
    """How many processes so many hours of lines, of all runs together, are worth."""
    # Starting a process takes about as long as some hundreds of hours of a line, or some
    # thousands of hours by the compiled engine.
    worth = _HOURS_WORTH_PROCESSES * (_QUICKER if is_quick() else 1)
    return 1 if hours < worth else os.cpu_count() or 1


def worth_asking(hours: float) -> bool:
    """Whether a run of so many hours takes so long that it is asked on the way how far it is."""
    return hours >= _HOURS_WORTH_ASKING or not is_quick()


class InThisProcess(Executor):
    """Makes each run at once, when it is handed in."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Call ``fn`` now; the future is done when this returns."""
        future: Future[T] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future


@contextlib.contextmanager
def executor_for(processes: int, cluster: str | None) -> Iterator[tuple[Executor, int]]:
    """An executor of the standard library's kind, and how many runs to keep in flight.

    Raises :class:`ClusterError` where ``cluster`` cannot be reached or its package is missing.
    """
    if cluster is not None:
        with on_cluster(cluster, processes) as found:
            yield found, 2 * found.workers
    elif processes <= 1:
        yield InThisProcess(), 1
    else:
        with _processes(processes) as pool:
            yield pool, processes + 1


class _Worker(SpawnProcess):
    """One that no interrupt reaches from its first instruction on."""

    def start(self) -> None:
        """Start it, whenever a pool finds that it wants one more."""
        with interrupt_held():
            super().start()


class _Fresh(SpawnContext):
    """Fresh interpreters: a copy of one with threads (a progress bar has one) may hang."""

    Process = _Worker


@contextlib.contextmanager
def _processes(count: int) -> Iterator[Executor]:
    context = _Fresh()
    others = set(multiprocessing.active_children())
    pool = ProcessPoolExecutor(count, mp_context=context, initializer=_begin_worker)
    complete = False
    try:
        yield pool
        complete = True
    finally:
        pool.shutdown(wait=complete, cancel_futures=True)
        if not complete:
            # Nobody waits for runs that nobody wants any more.
            for worker in set(multiprocessing.active_children()) - others:
                worker.terminate()


def _begin_worker() -> None:
    """The parent decides what an interrupt means; a worker whose parent is gone goes, too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            parent.join()
            os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
