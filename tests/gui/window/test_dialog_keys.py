"""Each dialog by keys alone: Tab as one reads, a letter each, Return and Esc as one expects."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QLabel,
    QMessageBox,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

import linesim
from gui import dialogs
from gui.document import Recoverable
from gui.form.doubt_dialog import DoubtDialog
from gui.lessons.lesson_dialog import LessonDialog
from gui.window.about import show_about
from gui.window.error_box import show_error
from gui.window.help_window import HelpWindow
from gui.window.listings import show_faults
from gui.window.main_window import MainWindow
from gui.window.report_dialog import ReportDialog
from gui.window.tab_order import beside, tab_stops
from tests.gui.window.test_tab_order import name_of, place_of, walked

CHOOSE = dialogs.choose
"""The fixture's window has an answer of its own."""
STOP = linesim.ForcedStop(station="wrapper", at_h=0.2, minutes=4)
WORK = Recoverable(Path("none"), "mine", None, "format = 1", datetime.now(UTC), "")


def _asked(dialog: QDialog) -> None:
    dialog.exec()
    dialog.deleteLater()


def _lesson(window: MainWindow) -> None:
    assert window.shown.record is not None
    _asked(LessonDialog(STOP, window.shown.record.scenario, window))


def _unsaved(window: MainWindow) -> None:
    window.document.set_field("bridge.places", 33)
    assert not window.files.confirm_discard()
    window.document.undo()


def _doubt(window: MainWindow) -> None:
    DoubtDialog(window.document, "stop[0]", "restore_min", "Restoring", "min", window).exec()


DIALOGS: dict[str, Callable[[MainWindow], object]] = {
    "Begin": lambda window: window.files.ask_new(),
    "Save them": _unsaved,
    "Restore it": lambda window: window.files._ask_about(WORK),
    "Go on working": lambda window: window.files.confirm_quit(["a study"]),
    "Stop it": lambda window: window.workspace.ask_stop(),
    "Save as…": _lesson,
    "Save as… ": lambda window: _asked(ReportDialog(["One study", "Another"], "log.csv", window)),
    "OK": _doubt,
    "Start": lambda window: window.exports.show_run_dialog(),
    "Close": lambda window: show_faults(window.document, window),
    "Close ": show_about,
    "OK ": lambda window: show_error(window, "It is wrong", "why"),
    "": lambda window: HelpWindow(window).show(),
}
"""What Return does in each, and how it comes up."""


def look_at(dialog: QDialog, returns: str) -> None:
    """By its keys nothing is missed, and all comes in the order of reading."""
    seen = walked(dialog)
    assert set(seen) == {each for part in tab_stops([dialog]) for each in part}
    assert all(name_of(each) for each in seen)
    # Qt's own question puts the button of the details before the one to be pressed.
    if not isinstance(dialog, QMessageBox):
        for one, other in itertools.pairwise(seen):
            before, after = place_of(one), place_of(other)
            lower = after.bottom() > before.top() and not beside(before, after)
            assert lower or after.left() >= before.right(), (name_of(one), name_of(other))
    shown = [each for each in dialog.findChildren(QWidget) if each.isVisible()]
    texts = [each.text() for each in shown if isinstance(each, QAbstractButton | QLabel)]
    letters = [key for text in texts if (key := QKeySequence.mnemonic(text).toString())]
    assert len(letters) == len(set(letters)), texts
    buttons = [each for each in shown if isinstance(each, QPushButton)]
    assert [name_of(each) for each in buttons if each.isDefault()] == ([returns] if returns else [])


@pytest.mark.parametrize("returns", list(DIALOGS))
def test_a_dialog_is_used_by_keys(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, returns: str
) -> None:
    monkeypatch.setattr(dialogs, "choose", CHOOSE)
    closed: list[bool] = []

    def look() -> None:
        opened = [each for each in window.findChildren(QDialog) if each.isVisible()]
        if not opened or opened[0].focusWidget() is None:
            QTimer.singleShot(5, look)
            return
        (dialog,) = opened
        try:
            look_at(dialog, returns.strip())
        finally:
            QTest.keyClick(dialog, Qt.Key.Key_Escape)
            closed.append(not isValid(dialog) or not dialog.isVisible())

    QTimer.singleShot(0, look)
    DIALOGS[returns](window)
    qtbot.waitUntil(lambda: closed == [True])
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
