"""What the window loads, makes and waits for when it starts."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.window.main_window import MainWindow
from gui.work.messages import TaskRequest
from gui.work.shift_task import prefetch, shift
from gui.work.worker_process import start_worker_process
from gui.workers import WorkerPool

_LATER = (
    "scipy.special",
    "scipy.stats",
    "rich.console",
    "jinja2",
    "reportlab",
    "openpyxl",
    "pyqtgraph",
    "matplotlib",
)


def test_what_no_first_picture_needs_is_not_loaded_and_what_is_never_collected() -> None:
    code = (
        "import gc, sys; import gui.command, linesim; gui.command.load_window();"
        " looked_at = len(gc.get_objects()); assert gc.isenabled();"
        " linesim.scenario.load(linesim.scenario.find_scenario('short-bridge'));"
        f" print([name for name in {_LATER!r} if name in sys.modules], looked_at < 1000)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] True"


def test_pages_are_made_when_they_are_first_shown(qapp: QApplication) -> None:
    window = MainWindow(remember=False)
    assert window.pages.made == ["shift"]
    assert window.pages.go_to("vary")
    assert window.pages.made == ["shift", "vary"]
    page = window.pages.stack.currentWidget()
    window.pages.go_to("shift")
    window.pages.go_to("vary")
    assert window.pages.stack.currentWidget() is page
    assert window.close()


def test_starting_over_shows_the_file_as_it_was_opened(
    qtbot: QtBot, qapp: QApplication, path: Path
) -> None:
    window = MainWindow(remember=False)
    window.show()
    window.workspace.open(path)
    shown, strip = window.shown, window.pages.shift.strip
    qtbot.waitUntil(lambda: shown.record is not None, timeout=60_000)
    first = shown.record
    assert first is not None
    middle = shown.cursor_ns
    before = first
    window.document.set_field("bridge.places", 80)
    qtbot.waitUntil(lambda: shown.record is not before, timeout=60_000)
    window.run_bar.replication.setValue(7)
    qtbot.waitUntil(
        lambda: shown.record is not None and shown.record.replication == 7, timeout=60_000
    )
    window.runs.force(
        (linesim.scenario.ForcedStop(station="cutter", at_h=0.1, minutes=2, cause="jam"),)
    )
    qtbot.waitUntil(lambda: shown.disturbance is not None, timeout=60_000)
    shown.cursor_ns = 3
    strip.stretches["1 min"].click()
    window.workspace.start_over()
    qtbot.waitUntil(lambda: shown.disturbance is None and not shown.busy, timeout=60_000)
    record, looked_at = shown.record, strip.canvas.window_of_time
    assert record is not None
    assert (record.scenario, record.replication) == (first.scenario, 0)
    assert record.sums == first.sums
    assert (shown.ghost, shown.forced, shown.cursor_ns) == (None, (), middle)
    assert (looked_at.start_ns, looked_at.end_ns) == (record.start_ns, record.end_ns)
    assert window.run_bar.replication.value() == 0
    assert not window.isWindowModified()
    window.document.undo()
    assert window.document.value("bridge.places") == 80
    window.document.new()
    assert window.close()


class _Context:
    """Listens to nobody, and lets every task run to its end."""

    def progress(self, part: float | None, words: str = "") -> None:
        pass

    def partial(self, value: object) -> None:
        pass

    def cancelled(self) -> bool:
        return False


@pytest.fixture
def path(tmp_path: Path) -> Path:
    file = tmp_path / "short.toml"
    file.write_text("[line]\nshift_hours = 0.5\n", encoding="utf-8")
    return file


def test_the_run_made_ahead_is_the_run_asked_for_and_is_given_once(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scenario = linesim.scenario.load(path)
    prefetch(_Context(), scenario=str(path))
    calls = []
    real = linesim.fast.simulate
    monkeypatch.setattr(
        linesim.fast, "simulate", lambda *a, **k: calls.append(k["hours"]) or real(*a, **k)
    )
    asked = {"scenario": scenario, "seed": 1, "replication": 0}
    got = shift(_Context(), hours=scenario.line.shift_hours, **asked)
    assert calls == []
    again = shift(_Context(), hours=0.1, **asked)
    assert calls == [0.1]
    assert (got.record.hours, again.record.hours) == (scenario.line.shift_hours, 0.1)
    assert got.record.sums == real(scenario).sums


def test_what_is_made_ahead_is_not_given_for_another_run(path: Path) -> None:
    scenario = linesim.scenario.load(path)
    prefetch(_Context(), scenario=str(path))
    hours = scenario.line.shift_hours
    other = shift(_Context(), scenario=scenario, hours=hours, seed=2, replication=0)
    assert other.record.seed == 2


def test_a_process_that_was_begun_before_the_window_does_its_work(
    qtbot: QtBot, qapp: QApplication, path: Path
) -> None:
    begun = start_worker_process("linesim-shift")
    begun.connection.send(TaskRequest(0, "prefetch", {"scenario": str(path)}))
    pool = WorkerPool(shift_process=begun)
    arrived: list[tuple[object, bool]] = []

    def on_arrival(run: object) -> None:
        arrived.append((run, threading.current_thread() is threading.main_thread()))

    try:
        task = pool.run_shift(linesim.scenario.load(path), hours=0.5, seed=1, on_arrival=on_arrival)
        with qtbot.waitSignal(task.finished, timeout=60_000) as got:
            pass
        assert got.args[0].record.hours == 0.5
        assert arrived == [(got.args[0], False)]
        task = pool.run_shift(
            linesim.scenario.load(path), hours=0.1, seed=1, on_arrival=lambda _: 1 / 0
        )
        with qtbot.waitSignal(task.failed, timeout=60_000) as got:
            pass
        assert "ZeroDivisionError" in got.args[0]
    finally:
        pool.close()
