"""The whole window, for the tests that drive it as its users do."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.look import use_colours, use_text_size
from gui.window.main_window import MainWindow
from gui.workers import Task
from tests.caches import own_cache

RUN_MS = 90_000


@pytest.fixture(scope="session", autouse=True)
def _as_the_program_looks(qapp: QApplication) -> None:
    use_colours(qapp)
    use_text_size(qapp)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A scenario of one's own: the line with the short bridge, in shifts of half an hour."""
    demo = linesim.scenario.find_scenario("short-bridge").read_text(encoding="utf-8")
    file = tmp_path / "mine.toml"
    # Its size as places: a test that sets them need not give the length that goes with them.
    size = {"bridge.length_m": None, "bridge.places": 21}
    file.write_text(
        linesim.scenario.update(demo, {"line.shift_hours": 0.5, **size}), encoding="utf-8"
    )
    return file


@pytest.fixture(scope="module")
def only_window(qapp: QApplication) -> Iterator[MainWindow]:
    """One window for all tests of a file: its processes take longer to start than most tests."""
    made = MainWindow(remember=False)
    # What would help takes as long as all else that is run for a file; who needs it asks for it.
    made.pool.run_story = lambda _: Task(made.pool, "story")  # type: ignore[method-assign]
    made.resize(1280, 800)
    made.show()
    yield made
    made.pool.close()
    # What is unsaved, a file or an answer to a lesson, is nobody's, and nobody is there to answer.
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(dialogs, "choose", lambda *_, **__: dialogs.DISCARD)
        assert made.close()


@pytest.fixture
def window(
    qtbot: QtBot,
    only_window: MainWindow,
    path: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> MainWindow:
    """That window with the scenario in it, and the first run made."""
    own_cache(monkeypatch, tmp_path / "cache")
    # Nobody is there to answer; what a test does not expect must not hang it.
    monkeypatch.setattr(dialogs, "choose", lambda *_, **__: dialogs.DISCARD)
    made = only_window
    before = made.shown.record
    made.runs.forced = ()
    made.workspace.open(path)
    made.pages.go_to("shift")
    qtbot.waitUntil(lambda: made.shown.record is not before and not made.shown.busy, timeout=RUN_MS)
    return made
