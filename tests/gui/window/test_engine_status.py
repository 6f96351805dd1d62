"""What the status bar says of the compiled engine while it is made beside the window."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

import linesim
from gui.window import engine_status
from gui.window.engine_status import EngineStatus
from gui.window.main_window import MainWindow
from gui.workers import Task, WorkerPool

MAKING = linesim.fast.EngineState(ready=False, making=True, words="being made")
READY = linesim.fast.EngineState(ready=True, making=False, words="")
FAILED = linesim.fast.EngineState(ready=False, making=False, words="could not be made: no room")


class Answers(WorkerPool):
    """Tasks that answer at once, the last answer for ever."""

    def __init__(self, *answers: linesim.fast.EngineState) -> None:
        super().__init__()
        self.answers = list(answers)

    def engine(self) -> Task:
        task = Task(self)
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        engine_status.QTimer.singleShot(0, lambda: task.end_finished(answer))
        return task


def told(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, *answers: linesim.fast.EngineState
) -> list[str]:
    monkeypatch.setattr(engine_status, "_LOOK_EVERY_MS", 1)
    monkeypatch.setattr(engine_status, "_SAY_DONE_MS", 1)
    words: list[str] = []
    pool = Answers(*answers)
    status = EngineStatus(pool, pool)
    status.changed.connect(words.append)
    status.start()
    status.start()
    qtbot.waitUntil(lambda: len(pool.answers) == 1 and bool(words), timeout=20_000)
    qtbot.wait(50)
    status.close()
    pool.close()
    return words


def test_it_is_said_when_it_begins_and_when_it_is_done(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = told(qtbot, monkeypatch, MAKING, MAKING, READY)
    assert words[:2] == ["being made", "being made"]
    assert "is made: runs go faster" in words[2]
    # What is done need not stand there for ever.
    assert words[3:] == [""]


def test_nothing_is_said_where_it_was_there_before(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert set(told(qtbot, monkeypatch, READY)) == {""}


def test_why_it_failed_stays(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    assert told(qtbot, monkeypatch, MAKING, FAILED)[-1] == "could not be made: no room"


def test_the_process_of_the_figures_knows_how_it_stands(qtbot: QtBot, window: MainWindow) -> None:
    task = window.pool.engine()
    with qtbot.waitSignal(task.finished, timeout=60_000) as got:
        pass
    state = got.args[0]
    assert isinstance(state, linesim.fast.EngineState)
    assert state.ready or state.making or state.words
