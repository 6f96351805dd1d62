"""What made the runs is gone: it is said in words, and what was complete is kept."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Future
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import pytest

from linesim.studies import cluster
from linesim.studies.cluster import ClusterError, OnCluster, WorkersLostError
from linesim.studies.executors import InThisProcess
from linesim.studies.outcome import Outcome
from linesim.studies.progress import Progress
from linesim.studies.run_spec import make_run, spec_of
from linesim.studies.runner import Runner, Settings
from linesim.studies.study_file import StudyFile
from tests.studies.lines import quick_line

P = ParamSpec("P")
T = TypeVar("T")

LINE = quick_line()


def kept_in(path: Path) -> StudyFile:
    return StudyFile(path, scenario="s", name="n", program="p")


class Client:
    """Stands for a cluster's client: some calls come through, then something happens."""

    def __init__(self, through: int, then: BaseException, workers: dict[str, int] | None = None):
        self.through, self.then = through, then
        self.workers = {"one": 1} if workers is None else workers

    def get_executor(self, pure: bool) -> Any:
        client = self

        class Executor(InThisProcess):
            def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
                client.through -= 1
                if client.through >= 0:
                    return super().submit(fn, *args, **kwargs)
                future: Future[T] = Future()
                if isinstance(client.then, CancelledError):
                    future.cancel()
                    future.set_running_or_notify_cancel()
                else:
                    future.set_exception(client.then)
                return future

        return Executor()

    def ncores(self) -> dict[str, int]:
        return self.workers

    def scheduler_info(self, n_workers: int) -> dict[str, Any]:
        return {"workers": {name: {"last_seen": 0.0} for name in self.workers}}


class KilledWorker(Exception):  # noqa: N818 - as the cluster's library calls it
    """A run that ended several workers."""


@pytest.mark.parametrize(
    ("then", "kind", "said"),
    [
        (CancelledError(), WorkersLostError, "tcp://there went away; runs in flight are lost"),
        (ConnectionError(), WorkersLostError, "tcp://there went away"),
        (KilledWorker(), WorkersLostError, "ended several workers .*out of memory"),
        (ModuleNotFoundError("linesim"), ClusterError, "has no linesim, or another version"),
        (ZeroDivisionError("ours"), ZeroDivisionError, "ours"),
    ],
)
def test_a_cluster_in_trouble_is_put_in_words(
    tmp_path: Path, then: Exception, kind: type[Exception], said: str
) -> None:
    there = OnCluster(Client(2, then), "tcp://there")
    settings = Settings(replications=4, hours=0.5)
    with (
        kept_in(tmp_path / "a") as file,
        Runner(settings, file=file, executor=there) as runner,
        pytest.raises(kind, match=said),
    ):
        runner.outcomes({"line": LINE})
    with kept_in(tmp_path / "a") as file, Runner(settings, file=file) as runner:
        assert len(runner.outcomes({"line": LINE})["line"]) == 4
        assert (runner.from_file, runner.made) == (2, 2)


def test_a_full_disk_is_not_taken_for_a_scheduler_that_went_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = OnCluster(Client(9, CancelledError()), "tcp://there")

    def full(*_: object) -> None:
        raise OSError("a run could not be kept: disk is full")

    monkeypatch.setattr(StudyFile, "put_all", full)
    with (
        kept_in(tmp_path / "a") as file,
        Runner(Settings(replications=3, hours=0.5), file=file, executor=there) as runner,
        pytest.raises(OSError, match="disk is full"),
    ):
        runner.outcomes({"line": LINE})


def test_a_scheduler_without_workers_is_not_waited_for_for_ever(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clock = iter([0.0, 29.0, 35.0])
    monkeypatch.setattr(cluster.time, "monotonic", lambda: next(clock))
    there = OnCluster(Client(0, CancelledError(), workers={}), "tcp://there")
    there.check()
    with pytest.raises(WorkersLostError, match="no workers for 30 s"):
        there.check()


@pytest.mark.skipif(sys.platform == "win32", reason="kills by signal")
def test_a_process_that_is_killed_is_said_and_the_rest_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held: list[bool] = []
    start = SpawnProcess.start

    def watched(process: SpawnProcess) -> None:
        held.append(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, ()))
        start(process)

    monkeypatch.setattr(SpawnProcess, "start", watched)
    settings = Settings(replications=300, most=300, hours=1.0, processes=2)
    # Those of tests before this one may not have ended yet.
    others = set(multiprocessing.active_children())
    with kept_in(tmp_path / "a") as file:

        def kill_one(progress: Progress) -> None:
            if progress.done == 2:
                [one, _other] = set(multiprocessing.active_children()) - others
                os.kill(one.pid or 0, signal.SIGKILL)

        with (
            pytest.raises(WorkersLostError, match="ended from outside"),
            Runner(settings, file=file, progress=kill_one) as runner,
        ):
            runner.outcomes({"line": LINE})
        assert 2 <= len(file) < 300
    # A pool starts its second process after the first; an interrupt reaches neither as it loads.
    assert held == [True, True]


_SERVE = """
import sys, distributed
if __name__ == "__main__":
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        print(cluster.scheduler_address, *(each.pid for each in cluster.workers.values()))
        sys.stdout.flush()
        sys.stdin.read()
"""


@pytest.fixture
def scheduler(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[str], str, int]]:
    """A scheduler in a process of its own, its address, and the process of one of two workers."""
    pytest.importorskip("distributed")
    script = tmp_path / "serve.py"
    script.write_text(_SERVE)
    process = subprocess.Popen(
        [sys.executable, script],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env=os.environ | {"PYTHONPATH": os.getcwd()},
        start_new_session=True,
    )
    assert process.stdout is not None
    address, worker, _ = process.stdout.readline().split()
    yield process, address, int(worker)
    os.killpg(process.pid, signal.SIGKILL)
    process.communicate()


@pytest.mark.skipif(sys.platform == "win32", reason="kills by signal")
def test_on_a_cluster_runs_are_the_same_a_dead_worker_costs_nothing_a_dead_scheduler_is_said(
    scheduler: tuple[subprocess.Popen[str], str, int], tmp_path: Path
) -> None:
    process, address, worker = scheduler
    settings = Settings(replications=2000, most=2000, seed=3, hours=1.0, cluster=address)
    with kept_in(tmp_path / "a") as file:
        ends = iter([(2, worker), (12, process.pid)])
        goal, victim = next(ends)

        def kill(_: object) -> None:
            # The worker's guardian starts another, whose runs come after this one's.
            nonlocal goal, victim
            if len(file) >= goal:
                os.kill(victim, signal.SIGKILL)
                goal, victim = next(ends, (10**6, 0))

        with (
            pytest.raises(WorkersLostError, match="went away"),
            Runner(settings, file=file, progress=kill) as runner,
        ):
            runner.outcomes({"line": LINE})
        assert 12 <= len(file) < 2000
        kept = [
            found.text()
            for n in range(2000)
            if (found := file.get(spec_of(LINE, seed=3, replication=n, hours=1.0).key)) is not None
        ]
        assert len(kept) == len(file)
    # Wherever they were made, the bytes are the same.
    for text in kept[:12]:
        number = Outcome.from_text(text).replication
        assert text == make_run(spec_of(LINE, seed=3, replication=number, hours=1.0))
