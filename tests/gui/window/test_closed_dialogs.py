"""Dialogs and messages that are closed are gone, whoever collects Python's garbage meanwhile."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from pytestqt.qtbot import QtBot

from gui.window.about import show_about
from gui.window.error_box import show_error
from gui.window.listings import show_causes, show_faults, show_rates
from gui.window.main_window import MainWindow

ESCAPE = Qt.Key.Key_Escape
RUN_MS = 90_000
ROUNDS = 3


@pytest.fixture
def collected_elsewhere() -> Iterator[None]:
    """Another thread has the collector run all the time, over what is made from now on."""
    ends = threading.Event()
    gc.freeze()

    def collect() -> None:
        while not ends.wait(0.005):
            gc.collect()

    thread = threading.Thread(target=collect)
    thread.start()
    yield
    ends.set()
    thread.join()
    gc.unfreeze()


@pytest.mark.usefixtures("collected_elsewhere")
def test_windows_that_are_closed_are_gone(qtbot: QtBot, window: MainWindow) -> None:
    def widgets() -> int:
        return len(window.findChildren(QWidget))

    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    before = widgets()
    for _ in range(ROUNDS):
        show_causes(window)
        for show in (show_rates, show_faults):
            show(window.document, window)
        window.exports.show_run_dialog()
        show_error(window, "wrong", "why")
        opened = [each for each in window.findChildren(QDialog) if each.isVisible()]
        assert len(opened) == 5
        for each in opened:
            QTest.keyClick(each, ESCAPE)
        opened.clear()
        qtbot.waitUntil(lambda: widgets() == before, timeout=20_000)


@pytest.mark.usefixtures("collected_elsewhere")
def test_questions_that_were_answered_are_gone(qtbot: QtBot, window: MainWindow) -> None:
    asked = []

    def answer() -> None:
        dialog = QApplication.activeModalWidget()
        if dialog is None:
            QTimer.singleShot(5, answer)
            return
        asked.append(type(dialog).__name__)
        QTest.keyClick(dialog, ESCAPE)

    qtbot.waitUntil(lambda: window.shown.record is not None, timeout=RUN_MS)
    window.pages.go_to("shift")
    exports = window.exports
    asks = (lambda: show_about(window), exports.ask_report, window.workspace.ask_stop)
    for ask in (*asks, exports.ask_print):
        QTimer.singleShot(0, answer)
        ask()
    assert asked == ["About", "ReportDialog", "StopDialog", "QPrintDialog"]
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not window.findChildren(QDialog)
