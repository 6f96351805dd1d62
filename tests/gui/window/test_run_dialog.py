"""The run in figures, as a user asks for it: what the command says, to be copied and saved."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

import linesim
from gui.document import Document
from gui.window.run_dialog import RunDialog
from gui.workers import WorkerPool

DONE_MS = 60_000


@pytest.fixture(scope="module")
def pool() -> Iterator[WorkerPool]:
    made = WorkerPool()
    yield made
    made.close()


LINE = """
[line]
name = "quick line"

[[stop]]
cause = "edge guiding"
every_running_h = { law = "exponential", mean = 0.2 }
"""


@pytest.fixture
def line(tmp_path: Path) -> Path:
    path = tmp_path / "line.toml"
    path.write_text(LINE, encoding="utf-8")
    return path


@pytest.fixture
def dialog(qtbot: QtBot, pool: WorkerPool, line: Path) -> RunDialog:
    document = Document()
    document.open(str(line))
    made = RunDialog(document, pool, hours=0.5, seed=3)
    qtbot.addWidget(made)
    made.show()
    return made


def click(qtbot: QtBot, button: object) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_it_says_what_the_command_says_and_gives_it_away(
    qtbot: QtBot,
    dialog: RunDialog,
    line: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert not dialog.save_json.isEnabled()
    dialog.runs.setValue(2)
    dialog.long_run.setChecked(True)
    dialog.audit.setChecked(True)
    dialog.within.setValue(50)
    click(qtbot, dialog.start)
    assert dialog.stop.isEnabled()
    qtbot.waitUntil(dialog.save_json.isEnabled, timeout=DONE_MS)
    said = dialog.text.toPlainText()
    for words in (
        "Long run: runs of",
        "books balance",
        "Good reams to ± 50 %: reached",
    ):
        assert words in said
    # Here a study is a page, and no command.
    assert "what-to-change" not in said
    click(qtbot, dialog.copy)
    assert QGuiApplication.clipboard().text() == said
    target = tmp_path / "run.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    click(qtbot, dialog.save_json)
    figures = json.loads(target.read_text("utf-8"))
    scenario = linesim.scenario.load(line)
    settled = linesim.studies.long_run_for(scenario, hours=0.5, replications=2, seed=3)
    direct = linesim.studies.replicate(
        scenario,
        hours=settled.hours,
        replications=2,
        seed=3,
        warm_up_h=settled.warm_up_h,
        check=True,
        narrow=0.5,
    )
    quick = not linesim.report.no_help_words(direct)
    helps = linesim.studies.what_helps(direct) if quick else None
    assert figures == json.loads(linesim.report.json_text(direct, helps))


def test_stopped_runs_report_nothing(qtbot: QtBot, dialog: RunDialog) -> None:
    dialog.hours.setValue(5000)
    click(qtbot, dialog.start)
    click(qtbot, dialog.stop)
    qtbot.waitUntil(dialog.start.isEnabled, timeout=DONE_MS)
    assert "Stopped" in dialog.status.text()
    assert not dialog.text.toPlainText()


def test_runs_of_a_dialog_that_is_left_are_stopped(qtbot: QtBot, pool: WorkerPool) -> None:
    document = Document()
    document.open("small-crew")
    dialog = RunDialog(document, pool, hours=5000, seed=3)
    dialog.show()
    click(qtbot, dialog.start)
    assert pool.under_way() == ["runs in figures"]
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: pool.under_way() == [], timeout=DONE_MS)
    assert not isValid(dialog)
