"""Runs on a cluster: in bundles, from slow workers and stuck ones, by other versions."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from linesim.studies import handed_out
from linesim.studies.cluster import ClusterError, OnCluster, on_cluster
from linesim.studies.handed_out import HandedOut, make_runs
from linesim.studies.run_spec import RunSpec, make_run, program_digest, spec_of
from linesim.studies.runner import Runner, Settings
from tests.studies.lines import quick_line
from tests.trust.listening import family, listening

LINE = quick_line()
SPECS = [spec_of(LINE, seed=1, replication=n, hours=0.2) for n in range(40)]


class _Workers:
    """A client with so many workers; what is asked of them is kept until the test answers."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.silent_s: dict[str, float] = {}
        self.only: list[str] = []
        self.asked: list[tuple[Future[Any], tuple[RunSpec, ...]]] = []

    def ncores(self) -> dict[str, int]:
        return {f"tcp://w{n}": 1 for n in range(self.count)}

    def scheduler_info(self) -> dict[str, Any]:
        """As an older scheduler is asked: it takes no argument."""
        seen = {name: {"last_seen": 1e9 - self.silent_s.get(name, 0.0)} for name in self.ncores()}
        return {"workers": seen}

    def get_executor(self, pure: bool, workers: Sequence[str] = ()) -> Any:
        self.only = list(workers)

        def submit(fn: Callable[..., Any], specs: list[RunSpec], most_s: float) -> Future[Any]:
            assert fn is make_runs
            future: Future[Any] = Future()
            self.asked.append((future, tuple(specs)))
            return future

        return SimpleNamespace(submit=submit)


def _made(client: _Workers, number: int, at_most: int = 1000) -> None:
    future, specs = client.asked[number]
    if future.cancelled():
        return
    future.set_result([make_run(spec) for spec in specs[:at_most]])


def _handed(client: _Workers) -> HandedOut:
    return HandedOut(OnCluster(client, "tcp://there"), SPECS, 1, lambda _: True)


def test_bundles_become_smaller_and_what_a_slow_worker_gives_back_is_made_by_others() -> None:
    client = _Workers(2)
    handed, found, number = _handed(client), dict[str, str](), 0
    while handed.left:
        found |= {spec.key: text for each in handed.ended(0.0) for spec, text in each}
        if number < len(client.asked):
            _made(client, number, at_most=2)
            number += 1
    sizes = [len(specs) for _, specs in client.asked]
    assert sizes[:4] == [5, 5, 4, 4]
    assert sizes[-1] <= 2
    assert found == {spec.key: make_run(spec) for spec in SPECS}


def test_a_stuck_worker_is_not_waited_for_and_no_run_comes_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(handed_out, "_LATE_S", 0.0)
    monkeypatch.setattr(handed_out, "_LATE_TIMES", 0.0)
    client = _Workers(2)
    handed, given, number = _handed(client), list[str](), 1
    while handed.left:
        given += [spec.key for each in handed.ended(0.0) for spec, _ in each]
        if number < len(client.asked):
            # The first is never answered.
            _made(client, number)
            number += 1
    assert sorted(given) == sorted(spec.key for spec in SPECS)
    assert client.asked[0][0].cancelled()


def test_a_worker_that_is_silent_is_asked_for_nothing() -> None:
    client = _Workers(3)
    there = OnCluster(client, "tcp://there")
    there.submit(make_runs, SPECS[:1], 1.0)
    assert (client.only, there.workers) == ([], 3)
    client.silent_s = {"tcp://w1": 60.0}
    there = OnCluster(client, "tcp://there")
    there.submit(make_runs, SPECS[:1], 1.0)
    assert (client.only, there.workers) == (["tcp://w0", "tcp://w2"], 2)


def test_a_worker_of_another_version_is_refused_by_its_address() -> None:
    client = _Workers(3)
    answers = {
        "tcp://w0": SimpleNamespace(status="finished", result=program_digest),
        "tcp://w1": SimpleNamespace(status="finished", result=lambda: "older"),
        "tcp://w2": SimpleNamespace(status="error"),
    }
    client.submit = lambda _, workers, pure: answers[workers[0]]  # type: ignore[attr-defined]
    there = OnCluster(client, "tcp://there")
    with pytest.raises(ClusterError, match="worker at tcp://w1 and 1 more has no linesim, or"):
        there.refuse_other_versions()
    del answers["tcp://w1"], answers["tcp://w2"]
    client.count = 1
    there.refuse_other_versions()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks Linux who listens")
def test_workers_of_this_machine_give_the_same_bytes_and_leave_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    import os

    heard: set[str] = set()
    settings = Settings(replications=8, hours=0.2, processes=2, cluster="local")
    with Runner(
        settings, progress=lambda _: heard.update(listening(family(os.getpid())))
    ) as runner:
        found = [row.text() for row in runner.outcomes({"line": LINE})["line"]]
    assert found == [make_run(spec) for spec in SPECS[:8]]
    assert heard
    # 127.0.0.1, as Linux writes it.
    assert all(" tcp 0100007F:" in address for address in heard), heard
    assert not list(tmp_path.glob("linesim-*"))
    assert not listening(family(os.getpid()))


def test_a_scheduler_file_that_is_not_there_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("linesim.studies.cluster._PATIENCE_AT_THE_START_S", 0.3)
    file = str(tmp_path / "none.json")
    with (
        pytest.raises(ClusterError, match=r"no scheduler answers at .*none\.json"),
        on_cluster(file, 1),
    ):
        pass


@pytest.mark.parametrize(
    ("bundled", "words"),
    [(False, r"needs the package distributed: pip install"), (True, "installed from its wheel")],
)
def test_a_missing_package_is_said_as_one_can_get_it(
    bundled: bool, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    monkeypatch.setattr("linesim.studies.cluster.BUNDLED", bundled)
    with pytest.raises(ClusterError, match=words), on_cluster("local", 1):
        pass
