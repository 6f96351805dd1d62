"""Some use at random; the long form is ``clicker.py``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import qInstallMessageHandler, qWarning
from PySide6.QtWidgets import QApplication, QScrollArea
from pytestqt.qtbot import QtBot

import linesim
from gui.pages.answer_view import AnswerView
from tests.trust.click_watch import Watch
from tests.trust.clicker import copied, use

SECONDS, ACTIONS = 60, 150
"""It ends with whichever comes first; ..."""
FEWEST = 50
"""... a busy machine does more actions than this in that time."""


def test_use_at_random_finds_nothing(tmp_path: Path) -> None:
    # A hand at random saves whatever is open, the demos of this clone as well.
    used = use(copied(tmp_path / "program"), tmp_path / "seed", 1, SECONDS, ACTIONS)
    assert not used.faults, used.told()
    assert used.actions > FEWEST, used.told()


@pytest.fixture
def watch(monkeypatch: pytest.MonkeyPatch) -> Iterator[Watch]:
    for module, name in ((sys, "excepthook"), (sys, "unraisablehook")):
        monkeypatch.setattr(module, name, getattr(module, name))
    monkeypatch.setattr("threading.excepthook", None)
    watch = Watch()
    watch.begin()
    yield watch
    qInstallMessageHandler(None)


def test_warnings_of_qt_and_exceptions_are_found(watch: Watch, qapp: QApplication) -> None:
    qWarning("something is amiss")
    sys.excepthook(ValueError, ValueError("wrong"), None)
    first, second = watch.found
    assert first.startswith("Qt: something is amiss")
    assert "ValueError: wrong" in second


def test_a_chart_that_is_no_longer_there_is_found(watch: Watch, qtbot: QtBot) -> None:
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    question = linesim.questions.Question("size-bridge", {"places": "10,40", "levels": False})
    settings = linesim.studies.Settings(replications=2, hours=0.2)
    view = AnswerView()
    qtbot.addWidget(view)
    view.show_answer(linesim.questions.ask(question, {"": scenario}, settings))
    watch.look()
    assert not watch.found
    area = view.charts.widget(0)
    assert isinstance(area, QScrollArea)
    area.takeWidget().deleteLater()
    watch.look()
    assert [words.startswith("charts lost: [False") for words in watch.found] == [True]
