"""Who makes the runs: this process, processes on this machine, or a cluster."""

from __future__ import annotations

import contextlib
import logging
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any, ParamSpec, TypeVar

from linesim.fast import is_quick
from linesim.interrupts import interrupt_held

P = ParamSpec("P")
T = TypeVar("T")


_HOURS_WORTH_PROCESSES = 300.0
_QUICKER = 20
"""Hours by the compiled engine for one by Python, roughly and rather too few."""
_HOURS_WORTH_ASKING = 100.0
"""Of compiled code, which works through them in some hundredths of a second."""
_PATIENCE_AT_THE_START_S = 10.0
_PATIENCE_WITHOUT_WORKERS_S = 30.0


class ClusterError(ValueError):
    """The cluster cannot be used, and why."""


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


class WorkersLostError(RuntimeError):
    """What made the runs is gone, and why. Runs that are complete were kept."""


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
        with interrupt_held():
            # The first call starts the processes, all at once.
            pool.submit(int)
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
    # What it has to say comes as errors, which are put in words here.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        make: Any = _Client
        client: Any = make(address, timeout=_PATIENCE_AT_THE_START_S, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise ClusterError(f"no scheduler answers at {address}: {error}") from None
    try:
        workers = sum(client.ncores().values())
        if not workers:
            raise ClusterError(f"the scheduler at {address} has no workers")
        yield OnCluster(client, address), 2 * workers
    finally:
        with contextlib.suppress(OSError, TimeoutError):
            client.close(timeout=5)


class OnCluster(Executor):
    """Makes runs on the workers of a Dask scheduler."""

    def __init__(self, client: Any, address: str) -> None:
        self._address = address
        self._client = client
        # Not "pure": what a killed study left in flight there must not answer for this one.
        self._executor: Executor = client.get_executor(pure=False)
        self._without_workers_since: float | None = None

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Send a call to the scheduler. Raises :class:`WorkersLostError` where it is gone."""
        try:
            return self._executor.submit(fn, *args, **kwargs)
        except (OSError, RuntimeError, TimeoutError):
            raise self._gone() from None

    def check(self) -> None:
        """Ask whether somebody is still at work; a scheduler waits for workers for ever.

        Raises :class:`WorkersLostError` where there was no worker for a while.
        """
        try:
            workers = len(self._client.ncores())
        except (OSError, RuntimeError, ValueError, TimeoutError):
            raise self._gone() from None
        now = time.monotonic()
        if workers:
            self._without_workers_since = None
        elif self._without_workers_since is None:
            self._without_workers_since = now
        elif now - self._without_workers_since > _PATIENCE_WITHOUT_WORKERS_S:
            raise WorkersLostError(
                f"the scheduler at {self._address} has had no workers for"
                f" {_PATIENCE_WITHOUT_WORKERS_S:.0f} s; runs in flight are lost"
            )

    def said(self, error: Exception) -> Exception:
        """What a failed run means here, in words where they are known."""
        if type(error).__name__ == "KilledWorker":
            return WorkersLostError(
                f"one run ended several workers of the scheduler at {self._address}, one after the"
                " other (out of memory?)"
            )
        if isinstance(error, ImportError | AttributeError):
            return ClusterError(
                f"a worker of the scheduler at {self._address} has no linesim, or another version"
                f" of it; install the same on both ({error})"
            )
        return self._gone() if isinstance(error, CancelledError | OSError | TimeoutError) else error

    def _gone(self) -> WorkersLostError:
        return WorkersLostError(
            f"the scheduler at {self._address} went away; runs in flight are lost"
        )
