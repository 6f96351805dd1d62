"""A moment is said in one way, and typed so."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QValidator
from pytestqt.qtbot import QtBot

import linesim
from gui.window.elapsed_time_edit import ElapsedTimeEdit
from gui.window.stop_dialog import StopDialog

LAST_S = 8 * 3600


def test_what_is_typed_is_what_is_said(qtbot: QtBot) -> None:
    edit = ElapsedTimeEdit(LAST_S)
    qtbot.addWidget(edit)
    for typed, said in (("5:24:27", "5:24:27"), ("1:05", "1:05:00"), ("0:00:09", "0:00:09")):
        edit.selectAll()
        qtbot.keyClicks(edit, typed)
        qtbot.keyClick(edit, Qt.Key.Key_Tab)
        edit.interpretText()
        assert edit.text() == said == linesim.report.clock_words(edit.value() * 10**9)
    edit.stepUp()
    assert edit.text() == "0:01:09"


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("5:24:27", "Acceptable"),
        ("8:00:00", "Acceptable"),
        ("8:00:01", "Intermediate"),
        ("5:", "Intermediate"),
        ("", "Intermediate"),
        ("5:70", "Intermediate"),
        ("5.4 h", "Invalid"),
    ],
)
def test_only_moments_of_the_run_are_taken(qtbot: QtBot, text: str, state: str) -> None:
    edit = ElapsedTimeEdit(LAST_S)
    qtbot.addWidget(edit)
    assert edit.validate(text, 0)[0] == QValidator.State[state]


def test_the_dialog_says_the_moment_as_the_menu_said_it(qtbot: QtBot) -> None:
    record = linesim.fast.simulate(
        linesim.scenario.load(linesim.scenario.find_scenario("short-bridge")), hours=8
    )
    for seconds in (0, 19_467, 28_800):
        dialog = StopDialog(record, "wrapper", seconds * 10**9 / linesim.scenario.HOUR)
        qtbot.addWidget(dialog)
        assert dialog._at.text() == linesim.report.clock_words(seconds * 10**9)
        assert round(dialog.forced().at_h * 3600) == seconds
