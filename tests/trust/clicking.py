"""One window used at random for some time, in a process of its own, for ``clicker.py``.

The folder that it is given takes everything that is written: the user's files, what is found
(``found.json``), the last actions (``actions.log``) and a trace where the process dies
(``trace.txt``).
"""

from __future__ import annotations

import argparse
import faulthandler
import gc
import json
import os
import random
import shutil
import threading
import time
from pathlib import Path
from typing import Any

from PySide6.QtCore import QThread, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication

import linesim
from gui.command import application
from gui.pages import run_controls
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from tests.trust.click_watch import Watch
from tests.trust.hand import Hand

_HANGS_S = 60.0
_ALIVE_EVERY, _LOOK_EVERY = 10, 40
_OWNERS_EVERY = 400
_MOST_RUNS, _MOST_HOURS, _SHIFT_HOURS = 4, 4.0, 2.0
_WIDE = "twelve lanes"
_DUE = (
    "2026-03-02 18:00",
    "2026-03-02 23:00",
    "2026-03-03 14:00",
    "2026-03-03 15:00",
    "2026-03-06 06:00",
)
_FIRST = ("short-bridge", "small-crew", "full-pallets", "slow-wrapper", _WIDE)
"""The line of the first four seeds, of the next four, and so on."""


class _StayingWindow(MainWindow):
    """Quit is asked for like any other thing, and not done."""

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        if self.files.confirm_discard():
            self.files.confirm_quit(self.pool.under_way())
        event.ignore()


class Clicking:
    """The window, the hand and the watch."""

    def __init__(self, folder: Path, asked: argparse.Namespace) -> None:
        self._luck = random.Random(asked.seed)
        self._folder, self._asked = folder, asked
        self._files = folder / "files"
        self._ends = time.monotonic() + asked.seconds
        self._log = (folder / "actions.log").open("w", encoding="utf-8")
        self._trace = (folder / "trace.txt").open("w", encoding="utf-8")
        faulthandler.enable(self._trace)
        self.done = 0
        self._busy_in = 0
        """How many event loops deep something is being done; 0 for nothing."""
        self.watch = Watch()
        self.watch.begin()
        self._hand = Hand(self._luck, self._file_name, by_place=asked.by == "place")
        self.window = _StayingWindow()
        # What a random hand asks for must not keep the machine busy for hours.
        self.window.run_bar.hours.setMaximum(_MOST_HOURS)
        self.window.resize(1280, 800)
        self.window.show()
        self.window.activateWindow()
        self.window.open_at_start(self._files / "line.toml")
        if asked.pages == "first":
            # What grows later is not pages that are made.
            for name in PAGES:
                self.window.pages.go_to(name)
            for group in linesim.scenario.field_groups():
                self.window.form.show_field(group.name)
        # One for all: a single shot with a delay leaves a weak reference to its method behind.
        self._timer = QTimer(singleShot=True, interval=asked.pause_ms)
        self._timer.timeout.connect(self._next)
        self._timer.start()

    def _file_name(self) -> str:
        there = sorted(str(path) for path in self._files.rglob("*") if path.is_file())
        fresh = str(self._files / f"new-{self._luck.randrange(20)}")
        fresh += self._luck.choice(("", "", ".toml", ".csv", ".json", ".png"))
        return self._luck.choice([*there, fresh, fresh, str(self._files / "none" / "there.toml")])

    def _next(self) -> None:
        if time.monotonic() >= self._ends or self.done == self._asked.actions:
            self._leave()
            return
        # Asked for first: what is done may open a dialog with a loop of its own.
        self._timer.start()
        # Qt's test lets events happen amid what it does to a widget, which must outlast that.
        loops = QThread.currentThread().loopLevel()
        if loops <= self._busy_in:
            return
        outer, self._busy_in = self._busy_in, loops
        try:
            self._act()
        finally:
            self._busy_in = outer

    def _act(self) -> None:
        if self.done % _ALIVE_EVERY == 0:
            faulthandler.dump_traceback_later(_HANGS_S, exit=True, file=self._trace)
        self.done += 1
        self._hand.act(self.window)
        self._log.write(f"{self.done} {self._hand.said}\n")
        self._log.flush()
        if self.done % _LOOK_EVERY == 0:
            self.watch.look()
        if self.done % _OWNERS_EVERY == 0:
            self.watch.look_at_owners()

    def _leave(self) -> None:
        for inner in (QApplication.activePopupWidget(), QApplication.activeModalWidget()):
            if inner is not None:
                inner.close()
                QTimer.singleShot(0, self._leave)
                return
        self.watch.look()
        self.watch.look_at_owners()
        self.window.abort()
        QApplication.exit(0)


def _provoke(ends: threading.Event, seed: int) -> None:
    luck = random.Random(seed)
    while not ends.wait(luck.uniform(0.05, 0.6)):
        gc.collect(luck.choice((0, 1, 2)))


def _fill(files: Path, first: str, *, doubted: bool) -> None:
    """The user's files: scenarios with and without faults, a log, counts, a lesson.

    ``first`` is the line that is opened at the start; it may have its causes ``doubted``.
    """
    files.mkdir()
    text = _wide_line() if first == _WIDE else _demo(first)
    doubts = _doubts(linesim.scenario.check_text(text)) if doubted else {}
    shift = {"line.shift_hours": _SHIFT_HOURS, "break": None}
    short = linesim.scenario.update(text, shift | doubts)
    (files / "line.toml").write_text(short, encoding="utf-8")
    (files / "faulty.toml").write_text(short.replace("places", "plcaes"), encoding="utf-8")
    (files / "noise.toml").write_bytes(bytes(range(256)))
    demos = linesim.scenario.shipped_scenarios()
    for name in ("two-wrappers", "orders"):
        shutil.copy(demos[name], files)
    for path in (
        *linesim.plant.invented_plant(),
        next(iter(linesim.lessons.shipped_lessons().values())),
    ):
        shutil.copy(path, files)


def _demo(name: str) -> str:
    return linesim.scenario.find_scenario(name).read_text(encoding="utf-8")


def _wide_line() -> str:
    """The demo with orders, three times as wide, its orders due on days instead of after hours."""
    changes: dict[str, Any] = {"line.name": _WIDE, "slitter.lanes": 12}
    for number, day in enumerate(_DUE):
        changes |= {f"order[{number}].due_h": None, f"order[{number}].due": day}
    changes |= {f"order[{number}].lanes": 8 for number in (2, 3)}
    return linesim.scenario.update(_demo("orders"), changes)


def _doubts(line: linesim.scenario.Scenario) -> dict[str, list[dict[str, Any]]]:
    """How long stops of each cause take is known by a third or so, as from a short log."""
    means = {n: stop.restore_min.average() for n, stop in enumerate(line.stop)}
    told = {"of": "restore_min", "why": "12 stops in the log", "stops": 12, "days": 14}
    return {
        f"stop[{n}].doubt": [told | {"between": [0.75 * mean, 1.35 * mean]}]
        for n, mean in means.items()
        if mean > 0
    }


def main() -> None:
    """Use the window, and write down what was found."""
    asked = _arguments()
    os.chdir(asked.folder)
    first = _FIRST[(asked.seed - 1) // 4 % len(_FIRST)]
    _fill(asked.folder / "files", first, doubted=asked.seed % 2 == 1)
    run_controls._MOST_RUNS, run_controls._MOST_HOURS = _MOST_RUNS, _MOST_HOURS
    app = application()
    app.setQuitOnLastWindowClosed(False)
    clicking = Clicking(asked.folder, asked)
    ends = threading.Event()
    if asked.collector == "threads":
        threading.Thread(target=_provoke, args=(ends, asked.seed), daemon=True).start()
    app.exec()
    ends.set()
    faulthandler.cancel_dump_traceback_later()
    told = clicking.watch.report() | {"actions": clicking.done}
    (asked.folder / "found.json").write_text(json.dumps(told), encoding="utf-8")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--actions", type=int, default=-1)
    parser.add_argument("--pause-ms", type=int, default=5)
    parser.add_argument("--by", choices=("widget", "place"), default="widget")
    parser.add_argument("--pages", choices=("first", "as they come"), default="first")
    parser.add_argument("--collector", choices=("own", "threads"), default="own")
    return parser.parse_args()
