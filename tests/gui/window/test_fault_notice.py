"""What no part of the window has caught is said, and said once."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtWidgets import QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from gui.window.fault_notice import FaultNotice


def _fail(wrong: object) -> None:
    try:
        raise ValueError(wrong)
    except ValueError as error:
        sys.excepthook(ValueError, error, error.__traceback__)


def test_a_fault_is_shown_once_for_each_place_and_goes_on_to_the_log(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    logged: list[object] = []
    monkeypatch.setattr(sys, "excepthook", lambda _kind, error, _trace: logged.append(error))
    before = sys.excepthook
    window = QWidget()
    qtbot.addWidget(window)
    notice = FaultNotice(window)
    _fail("a figure")
    assert not window.findChildren(QMessageBox)
    qtbot.waitUntil(lambda: bool(window.findChildren(QMessageBox)))
    (box,) = window.findChildren(QMessageBox)
    assert "ValueError" in box.text()
    assert "a figure" not in box.text()
    assert "a figure" in box.detailedText()
    box.hide()
    _fail("again")
    qtbot.wait(20)
    assert not box.isVisible()
    assert len(logged) == 2
    notice.close()
    assert sys.excepthook is before
