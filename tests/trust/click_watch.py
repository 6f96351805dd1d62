"""What is watched while a window is used: warnings, exceptions, charts, owners, memory."""

from __future__ import annotations

import gc
import multiprocessing
import os
import sys
import threading
import time
import traceback
from collections import Counter
from pathlib import Path
from types import TracebackType
from typing import Any

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget
from shiboken6 import Shiboken

from gui.charts import ChartView
from gui.pages.answer_view import AnswerView
from tests.trust.owners import wrong_owners

_OF_OTHERS = ("This plugin does not support ", "Mouse event at ")
"""What Qt's platform without a screen says of itself, and QTest of drags beyond a window."""
_MINUTE_S = 60.0
_FEW = 50
"""Types of fewer objects are not told: they are no leak that a day would show."""
_PAGE_BYTES = os.sysconf("SC_PAGE_SIZE") if hasattr(os, "sysconf") else 4096


class Watch:
    """Collects findings, each with how often it came."""

    def __init__(self) -> None:
        self.found: Counter[str] = Counter()
        self.samples: list[tuple[float, float, int]] = []
        """Seconds, megabytes of memory, widgets there are."""
        self.minutes: list[tuple[float, float, dict[str, int]]] = []
        """Once a minute: seconds, megabytes, and how many objects there are of each type."""
        self.most_threads = self.most_processes = 0
        self._began = time.monotonic()

    def begin(self) -> None:
        """From now on nothing is lost."""
        qInstallMessageHandler(self._said_by_qt)
        sys.excepthook = self._raised
        sys.unraisablehook = lambda said: self._raised(
            type(said.exc_value), said.exc_value, said.exc_traceback
        )
        threading.excepthook = lambda said: self._raised(
            said.exc_type, said.exc_value, said.exc_traceback
        )

    def _said_by_qt(self, kind: QtMsgType, _: QMessageLogContext, words: str | None) -> None:
        if kind != QtMsgType.QtDebugMsg and not (words or "").startswith(_OF_OTHERS):
            where = "".join(traceback.format_stack(limit=6)[:-1])
            self.found[f"Qt: {words}\n{where}"] += 1

    def _raised(
        self, kind: type[BaseException], error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.found["".join(traceback.format_exception(kind, error, trace))] += 1

    def look(self) -> None:
        """Look at memory and at all charts on all pages."""
        widgets = QApplication.allWidgets()
        now = time.monotonic() - self._began
        self.samples.append((now, _megabytes(), len(widgets)))
        if now >= _MINUTE_S * (len(self.minutes) + 1):
            self.minutes.append((now, _megabytes(), _objects(widgets)))
        self.most_threads = max(self.most_threads, threading.active_count())
        self.most_processes = max(self.most_processes, len(multiprocessing.active_children()))
        for view in widgets:
            if isinstance(view, AnswerView):
                self._look_at(view)

    def _look_at(self, view: AnswerView) -> None:
        answer = view.answer
        if answer is None:
            return
        there = []
        for n in range(view.charts.count()):
            area = view.charts.widget(n)
            chart = area.widget() if isinstance(area, QScrollArea) else None
            there.append(isinstance(chart, ChartView) and Shiboken.isValid(chart))
        if there != [True] * len(answer.charts):
            self.found[f"charts lost: {there} of {[chart.name for chart in answer.charts]}"] += 1
        if view.tables.count() < len(answer.tables):
            self.found["tables lost"] += 1

    def look_at_owners(self) -> None:
        """Whether the binding and Qt agree on who owns what."""
        for each in wrong_owners():
            owned, owner = (type(part).__name__ for part in each)
            self.found[f"wrong owner: {owned} of {owner}"] += 1

    def report(self) -> dict[str, Any]:
        """What was seen, as data."""
        return {
            "found": dict(self.found),
            "samples": self.samples,
            "minutes": self.minutes,
            "threads": self.most_threads,
            "processes": self.most_processes,
        }


def _objects(widgets: list[QWidget]) -> dict[str, int]:
    """How many there are of each type: what the collector knows of, and the widgets of Qt."""
    gc.collect()
    found = Counter(
        f"{type(each).__module__}.{type(each).__qualname__}" for each in gc.get_objects()
    )
    found.update(f"widget {each.metaObject().className()}" for each in widgets)
    return {name: count for name, count in found.items() if count >= _FEW}


def _megabytes() -> float:
    """Resident memory of this process; 0 where the system does not say."""
    told = Path("/proc/self/statm")
    return int(told.read_text().split()[1]) * _PAGE_BYTES / 1e6 if told.exists() else 0.0
