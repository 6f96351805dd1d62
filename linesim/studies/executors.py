"""Who makes the runs: this process, processes on this machine, or a cluster."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


_HOURS_WORTH_PROCESSES = 300.0


class ClusterError(ValueError):
    """The cluster cannot be used, and why."""


def processes_for(hours: float) -> int:
    """How many processes so many hours of a line, of all runs together, are worth."""
    # Starting a process takes about as long as some hundreds of hours of a line.
    return 1 if hours < _HOURS_WORTH_PROCESSES else os.cpu_count() or 1


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
        with _cluster(cluster) as found:
            yield found
    elif processes <= 1:
        yield InThisProcess(), 1
    else:
        with _processes(processes) as pool:
            yield pool, processes + 1


@contextlib.contextmanager
def _processes(count: int) -> Iterator[Executor]:
    # Fresh interpreters: a copy of one with threads (a progress bar has one) may hang.
    context = multiprocessing.get_context("spawn")
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


@contextlib.contextmanager
def _cluster(address: str) -> Iterator[tuple[Executor, int]]:
    try:
        from distributed import Client as _Client
    except ImportError:
        raise ClusterError(
            "--cluster needs the package distributed: pip install 'linesim[cluster]'"
        ) from None
    try:
        make: Any = _Client
        client: Any = make(address, timeout=10, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise ClusterError(f"no scheduler answers at {address}: {error}") from None
    try:
        workers = sum(client.ncores().values())
        if not workers:
            raise ClusterError(f"the scheduler at {address} has no workers")
        # Not "pure": what a killed study left in flight there must not answer for this one.
        yield client.get_executor(pure=False), 2 * workers
    finally:
        client.close()
