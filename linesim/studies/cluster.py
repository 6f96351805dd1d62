"""Runs made by the workers of a Dask scheduler: one that is there, or one begun on this machine."""

from __future__ import annotations

import contextlib
import logging
import math
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor, Future
from typing import Any, ParamSpec, TypeVar

from linesim.interrupts import interrupt_held
from linesim.platforms import BUNDLED
from linesim.studies.run_spec import program_digest

P = ParamSpec("P")
T = TypeVar("T")

LOCAL = "local"
"""In place of an address: workers on this machine, for as long as the study takes."""

_PATIENCE_AT_THE_START_S = 10.0
_PATIENCE_WITHOUT_WORKERS_S = 30.0
_LOOK_S = 5.0
_SILENT_S = 15.0
"""A worker that was not heard of for so long beside others is asked for nothing; they tell of
themselves every second or so, a thousand of them every six."""
_MOST_BYTES_OF_A_WORKER = 2_000_000_000
_PART_OF_MEMORY = 0.8
"""Of what the machine, or whoever shares it out, lets this program have: for all workers."""
_LARGEST_BUNDLE = 200
BUNDLE_S = 2.0
"""About how long a bundle keeps a worker: a scheduler hands out a few hundred in a second."""


class ClusterError(ValueError):
    """The cluster cannot be used, and why."""


class WorkersLostError(RuntimeError):
    """What made the runs is gone, and why. Runs that are complete were kept."""


class OnCluster(Executor):
    """Makes runs on the workers of a Dask scheduler."""

    def __init__(self, client: Any, address: str) -> None:
        self._address = address
        self._client = client
        self._executors: dict[frozenset[str], Executor] = {}
        self._without_workers_since: float | None = None
        self._looked = -math.inf
        self._lively: frozenset[str] = frozenset()
        self.workers = 1
        """How many runs are made at once; they come and go."""
        self.check()

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Send a call to the scheduler. Raises :class:`WorkersLostError` where it is gone."""
        try:
            return self._executor_for(self._lively).submit(fn, *args, **kwargs)
        except (OSError, RuntimeError, TimeoutError):
            raise self._gone() from None

    def bundle(self, waiting: int) -> int:
        """How many of the runs that wait go to a worker at once.

        Part of an equal share, so that bundles become smaller towards the end and no worker is
        waited for long: guided self-scheduling, Polychronopoulos and Kuck 1987.
        """
        return max(1, min(_LARGEST_BUNDLE, math.ceil(waiting / (4 * self.workers))))

    def check(self) -> None:
        """Ask now and then who is at work; a scheduler waits for workers for ever.

        Raises :class:`WorkersLostError` where there was no worker for a while.
        """
        now = time.monotonic()
        if now - self._looked < _LOOK_S:
            return
        self._looked = now
        try:
            cores = self._client.ncores()
            seen = self._last_seen()
        except (OSError, RuntimeError, ValueError, TimeoutError):
            raise self._gone() from None
        if cores:
            newest = max(seen.values(), default=0.0)
            silent = {name for name, at in seen.items() if at < newest - _SILENT_S}
            self._lively = frozenset(cores) - silent if silent else frozenset()
            self.workers = sum(cores[name] for name in cores if name not in silent) or 1
            self._without_workers_since = None
        elif self._without_workers_since is None:
            self._without_workers_since = now
        elif now - self._without_workers_since > _PATIENCE_WITHOUT_WORKERS_S:
            raise WorkersLostError(
                f"the scheduler at {self._address} has had no workers for"
                f" {_PATIENCE_WITHOUT_WORKERS_S:.0f} s; runs in flight are lost"
            )

    def _last_seen(self) -> dict[str, float]:
        """When the scheduler heard of each worker last, by its own clock, s."""
        ask = self._client.scheduler_info
        try:
            found = ask(n_workers=-1)
        except TypeError:
            # An older one tells of all without being asked to.
            found = ask()
        return {name: worker["last_seen"] for name, worker in found["workers"].items()}

    def _executor_for(self, lively: frozenset[str]) -> Executor:
        """Any worker, unless some are silent: then those that are heard of."""
        if lively not in self._executors:
            # Not "pure": what a killed study left in flight there must not answer for this one.
            more: dict[str, Any] = {"workers": sorted(lively)} if lively else {}
            self._executors[lively] = self._client.get_executor(pure=False, **more)
        return self._executors[lively]

    def refuse_other_versions(self) -> None:
        """Raises :class:`ClusterError` where a worker has no linesim, or another one than this.

        One that is busy with something else is asked by its first run.
        """
        asked = {
            worker: self._client.submit(program_digest, workers=[worker], pure=False)
            for worker in self._client.ncores()
        }
        until = time.monotonic() + _PATIENCE_AT_THE_START_S
        while time.monotonic() < until and any(f.status == "pending" for f in asked.values()):
            time.sleep(0.02)
        others = []
        for worker, future in asked.items():
            if future.status == "error" or (
                future.status == "finished" and future.result() != program_digest()
            ):
                others.append(worker)
        if others:
            more = f" and {len(others) - 1} more" if len(others) > 1 else ""
            raise ClusterError(
                f"the worker at {others[0]}{more} has no linesim, or another version of it;"
                " install the same everywhere"
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


@contextlib.contextmanager
def on_cluster(where: str, workers: int) -> Iterator[OnCluster]:
    """An executor on the scheduler at an address or of a scheduler file, or on its own ``workers``.

    Raises :class:`ClusterError` where it cannot be reached, has no workers or other versions of
    the program, or where its package is missing.
    """
    try:
        from distributed import Client as _Client
    except ImportError:
        raise ClusterError(_needs_package("distributed")) from None
    # What it has to say comes as errors, which are put in words here.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    make: Any = _Client
    with contextlib.ExitStack() as stack:
        if where == LOCAL:
            to: Any = {"address": stack.enter_context(_workers_here(workers))}
        elif where.endswith(".json"):
            _wait_for(where)
            to = {"scheduler_file": where}
        else:
            to = {"address": where}
        try:
            client: Any = make(**to, timeout=_PATIENCE_AT_THE_START_S, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise ClusterError(f"no scheduler answers at {where}: {error}") from None
        stack.callback(_close, client)
        try:
            client.wait_for_workers(1, timeout=_PATIENCE_WITHOUT_WORKERS_S)
        except (OSError, TimeoutError):
            raise ClusterError(
                f"the scheduler at {where} has had no workers for"
                f" {_PATIENCE_WITHOUT_WORKERS_S:.0f} s"
            ) from None
        found = OnCluster(client, where)
        found.refuse_other_versions()
        yield found


def _needs_package(name: str) -> str:
    if BUNDLED:
        return "a cluster needs the program installed from its wheel: this one has no Dask"
    return f"a cluster needs the package {name}: pip install 'linesim[cluster]'"


def _wait_for(file: str) -> None:
    """Raises :class:`ClusterError` where no scheduler writes its file for a while."""
    until = time.monotonic() + _PATIENCE_AT_THE_START_S
    while not os.path.isfile(file):
        if time.monotonic() > until:
            raise ClusterError(f"no scheduler answers at {file}: there is no such file")
        time.sleep(0.1)


def _close(client: Any) -> None:
    with contextlib.suppress(OSError, TimeoutError):
        client.close(timeout=5)


@contextlib.contextmanager
def _workers_here(count: int) -> Iterator[Any]:
    """A scheduler and its workers on this machine. What listens does so for this machine alone,
    and talks only to who has the certificate made for it: others may work here, too."""
    import dask
    from distributed import LocalCluster as _LocalCluster
    from distributed.system import MEMORY_LIMIT

    make: Any = _LocalCluster
    memory = MEMORY_LIMIT * _PART_OF_MEMORY / count
    with (
        tempfile.TemporaryDirectory(prefix="linesim-", ignore_cleanup_errors=True) as scratch,
        dask.config.set({"temporary-directory": scratch}),
    ):
        try:
            import cryptography  # noqa: F401 - certificates are made with it

            with interrupt_held():
                cluster: Any = make(
                    n_workers=count,
                    threads_per_worker=1,
                    host="127.0.0.1",
                    dashboard_address=None,
                    memory_limit=int(min(memory, _MOST_BYTES_OF_A_WORKER)),
                    silence_logs=logging.CRITICAL,
                    security=True,
                )
        except ImportError as error:
            raise ClusterError(_needs_package(error.name or "")) from None
        except (OSError, RuntimeError, TimeoutError) as error:
            raise ClusterError(f"no workers can be started on this machine: {error}") from None
        try:
            yield cluster
        finally:
            with contextlib.suppress(OSError, RuntimeError, TimeoutError):
                cluster.close(timeout=5)
