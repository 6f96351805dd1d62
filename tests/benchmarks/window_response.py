"""How long the window takes: to its first picture, from an edit to the shift redrawn, and the
longest stall of its thread while others work for it.

Each time is taken by the clock, and as processor time of the window's own thread: on a machine
that others use, the truth about an idle one lies between the two.
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from gui.window.main_window import MainWindow
from linesim.record import Record

_FIRST = """
import time
if __name__ == "__main__":
    from gui.command import DEMO, application, load_window, prefetch_run
    begun = prefetch_run(DEMO)
    import linesim
    path = linesim.scenario.find_scenario(DEMO)
    window_class = load_window()
    app = application("light")
    window = window_class(remember=False, shift_process=begun)
    window.resize(1440, 900)
    window.show()
    window.open_at_start(path)
    while window.shown.record is None:
        app.processEvents()
        time.sleep(0.001)
    window.grab()
    print(time.process_time())
    window.jobs.close()
"""


@dataclass(frozen=True)
class Took:
    """Seconds by the clock, and of the processor in the window's thread."""

    clock_s: float
    processor_s: float


def cold_start(folder: str) -> Took:
    """From the start of a fresh interpreter to a finished shift drawn, as the command does it.

    The modules are compiled, as those of an installed program are after its first start.
    """
    compiled = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": folder}
    begun = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", _FIRST],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, **compiled},
    ) as window:
        assert window.stdout is not None
        processor = window.stdout.readline()
        took = time.perf_counter() - begun
    return Took(took, float(processor))


def wait(app: QApplication, done: Callable[[], object]) -> None:
    """Turn the event loop until ``done()``."""
    while not done():
        app.processEvents()
        time.sleep(0.0005)


def edit(app: QApplication, window: MainWindow, places: int) -> Took:
    """From an edit of the bridge to the shift redrawn."""
    clock, processor = time.perf_counter(), time.thread_time()
    before = window.shown.record
    # A length beside the places would have to agree with them.
    size = {"bridge.length_m": None, "bridge.places": places}
    window.document.set_fields(size, "bridge")
    wait(app, lambda: window.shown.record is not before)
    window.grab()
    return Took(time.perf_counter() - clock, time.thread_time() - processor)


class Stalls:
    """Watches the event loop: the longest time between two of its turns."""

    def __init__(self) -> None:
        self.longest = Took(0.0, 0.0)
        self._timer = QTimer()
        self._timer.timeout.connect(self._beat)
        self._timer.start(0)
        self._last = time.perf_counter(), time.thread_time()

    def _beat(self) -> None:
        now = time.perf_counter(), time.thread_time()
        clock, processor = (b - a for a, b in zip(self._last, now, strict=True))
        self.longest = Took(
            max(self.longest.clock_s, clock), max(self.longest.processor_s, processor)
        )
        self._last = now

    def stop(self) -> Took:
        """End of watching: the longest by each of the two measures."""
        self._beat()
        self._timer.stop()
        return self.longest


def stall_in_study(app: QApplication, window: MainWindow) -> Took:
    """The longest stall while a study of the bridge runs and its curve fills in."""
    from gui.pages import StudyPage

    assert window.pages.go_to("size-bridge")
    app.processEvents()
    (page,) = window.findChildren(StudyPage)
    page.settings.runs.setValue(4)
    page.settings.hours.setValue(4)
    stalls = Stalls()
    page.start()
    while page.busy:
        app.processEvents()
    app.processEvents()
    longest = stalls.stop()
    window.pages.go_to("shift")
    app.processEvents()
    return longest


@dataclass(frozen=True)
class Loaded:
    """How a long run came on screen."""

    ready_s: float
    """Until the views' indexes were made, beside the window ..."""
    beside: Took
    """... the longest stall meanwhile ..."""
    shown: Took
    """... and the stall when it was shown."""


def load(app: QApplication, window: MainWindow, record: Record) -> Loaded:
    """Put a run on screen as the thread that receives one from its process does."""
    begun = time.perf_counter()
    making = threading.Thread(target=window.shown.prepare, args=(record,))
    stalls = Stalls()
    making.start()
    while making.is_alive():
        app.processEvents()
    beside, ready = stalls.stop(), time.perf_counter() - begun
    stalls = Stalls()
    window.shown.show(record)
    for _ in range(5):
        app.processEvents()
    return Loaded(ready, beside, stalls.stop())
