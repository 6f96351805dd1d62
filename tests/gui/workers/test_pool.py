"""Work in other processes: results come, failures come in words, and the window never waits."""

from __future__ import annotations

import os
import signal
import threading
import time
import weakref
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.workers import Worker, WorkerPool


@pytest.fixture(scope="module")
def scenario() -> linesim.scenario.Scenario:
    return linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))


@pytest.fixture(scope="module")
def pool(qapp: QApplication) -> Iterator[WorkerPool]:
    made = WorkerPool()
    yield made
    made.close()


def test_a_run_comes_back_as_the_simulation_made_it(
    qtbot: QtBot,
    pool: WorkerPool,
    scenario: linesim.scenario.Scenario,
    fresh_processes: None,
) -> None:
    task = pool.run_shift(scenario, hours=1, seed=7)
    with qtbot.waitSignal(task.finished, timeout=60_000) as got:
        pass
    run = got.args[0]
    here = linesim.fast.simulate(scenario, hours=1, seed=7)
    assert run.ghost is None
    assert run.record.books == here.books
    assert run.record.sums == here.sums
    assert task.over


def test_the_window_is_free_while_a_run_is_made(
    qtbot: QtBot, pool: WorkerPool, scenario: linesim.scenario.Scenario
) -> None:
    before = time.monotonic()
    task = pool.run_shift(scenario, hours=2000, seed=1)
    submitted = time.monotonic() - before
    with qtbot.waitSignal(task.progress, timeout=60_000):
        pass
    task.cancel()
    with qtbot.waitSignal(task.cancelled, timeout=20_000):
        pass
    # Starting a process takes a moment; making 2,000 hours takes half a minute.
    assert submitted < 10


def test_a_newer_request_takes_the_place_of_the_older(
    qtbot: QtBot, pool: WorkerPool, scenario: linesim.scenario.Scenario
) -> None:
    old = pool.run_shift(scenario, hours=2000, seed=1)
    new = pool.run_shift(scenario, hours=1, seed=1)
    with qtbot.waitSignals([old.cancelled, new.finished], timeout=60_000):
        pass


def test_figures_have_as_many_runs_as_asked(
    qtbot: QtBot, pool: WorkerPool, scenario: linesim.scenario.Scenario
) -> None:
    task = pool.run_figures(scenario, hours=0.5, seed=3, replications=3)
    with qtbot.waitSignal(task.finished, timeout=60_000) as got:
        pass
    assert len(got.args[0].runs) == 3


def test_a_failure_comes_in_words_with_details_apart(qtbot: QtBot, pool: WorkerPool) -> None:
    task = pool.call("shift", scenario=None, hours=1, seed=1, replication=0)
    with qtbot.waitSignal(task.failed, timeout=60_000) as got:
        pass
    words, details = got.args
    assert "Traceback" not in words
    assert "Traceback" in details


@pytest.mark.skipif(os.name == "nt", reason="kills by signal")
def test_a_process_that_dies_takes_only_its_own_work_with_it(
    qtbot: QtBot, scenario: linesim.scenario.Scenario, caplog: pytest.LogCaptureFixture
) -> None:
    worker = Worker("test")
    arguments = {"scenario": scenario, "seed": 1, "replication": 0}
    task = worker.submit("shift", hours=2000, **arguments)
    with qtbot.waitSignal(task.progress, timeout=60_000):
        pass
    process = worker._process
    assert process is not None
    assert process.pid is not None
    with qtbot.waitSignal(task.failed, timeout=20_000) as got:
        os.kill(process.pid, signal.SIGKILL)
    assert "ended unexpectedly" in got.args[0]
    assert caplog.messages == [f"process test ended with code {-signal.SIGKILL}"]
    again = worker.submit("shift", hours=0.5, **arguments)
    with qtbot.waitSignal(again.finished, timeout=60_000):
        pass
    worker.close()


def test_a_job_that_goes_may_be_the_last_to_hold_its_owner(qtbot: QtBot) -> None:
    def ended_and_forgotten() -> None:
        pool = WorkerPool()
        # What is connected holds the tasks, and is held by the task alone.
        pool.call("shift", scenario=None, hours=1, seed=1, replication=0)
        pool.close()

    ended_and_forgotten()
    qtbot.wait(10)
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_no_job_is_held_by_the_thread_that_reads(
    qtbot: QtBot, scenario: linesim.scenario.Scenario
) -> None:
    begun, confirm_quit = threading.Event(), threading.Event()

    def on_arrival(_: object) -> None:
        begun.set()
        confirm_quit.wait(60)

    worker = Worker("test")
    task = worker.submit("shift", on_arrival, scenario=scenario, hours=0.1, seed=1, replication=0)
    there = weakref.ref(task)
    del task
    try:
        qtbot.waitUntil(begun.is_set, timeout=60_000)
        worker.retire()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        # Held there to the last, it would end there, with all that is connected to it.
        assert there() is None
    finally:
        confirm_quit.set()
        worker.close()
