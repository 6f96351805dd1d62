"""The page of the forecast as a shift leader leaves it open."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.document import Document
from gui.pages import ForecastPage, page_for
from gui.workers import WorkerPool

WAIT_MS = 60_000
STATE = (
    'moment = "2026-03-02 14:20"\nreams_made = {}\n'
    "[bridge]\nreams = 12\n[behind]\nreams_at_outfeed = 0\n"
) + "".join(f"[[reel]]\nweb = {web}\npartner_ready = true\n" for web in range(1, 6))
"""All that passes quickly is told, so that no line has to be run for it."""


@pytest.fixture
def pool(qtbot: QtBot) -> Iterator[WorkerPool]:
    found = WorkerPool()
    yield found
    found.close()


@pytest.fixture
def page(qtbot: QtBot, cache: Path, pool: WorkerPool, tmp_path: Path) -> ForecastPage:
    document = Document()
    document.open("short-bridge")
    made = page_for("forecast", document, pool)
    assert isinstance(made, ForecastPage)
    qtbot.addWidget(made)
    made.resize(1000, 900)
    made.show()
    made.settings.runs.setValue(3)
    path = tmp_path / "now.toml"
    path.write_text(STATE.format(0), encoding="utf-8")
    made.options.set_values({"state": str(path), "until": "14:40", "target": "100"})
    return made


def test_large_figures_first_and_a_new_answer_when_the_file_changes(
    qtbot: QtBot, page: ForecastPage, tmp_path: Path
) -> None:
    page.start()
    qtbot.waitUntil(lambda: page.result is not None, timeout=WAIT_MS)
    assert page.figures.isVisible()
    assert page.reams.text().endswith(" reams")
    assert page.reams.font().pointSizeF() > 4 * page.made.font().pointSizeF()
    assert "by 14:40, in 8 of 10 cases, as far as 3 runs tell" in page.between.text()
    assert page.rows[0].text() == "100 by 14:40: in 100 (29 to 100) of 100 cases"
    assert page.made.text().startswith("From the state of Mon 2 Mar 14:20, answered ")
    first = page.reams.text()

    # An editor puts another file in its place.
    other = tmp_path / "other"
    other.write_text(STATE.format(50_000), encoding="utf-8")
    other.replace(tmp_path / "now.toml")
    qtbot.waitUntil(
        lambda: page.reams.text() > "50" and page.reams.text() != first, timeout=WAIT_MS
    )
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)

    # A broken one is told; the last answer stays, marked with its time.
    last = page.reams.text()
    (tmp_path / "now.toml").write_text("moment = 5\n[bridge]\nreams = -1\n", encoding="utf-8")
    qtbot.waitUntil(lambda: page._error.isVisible(), timeout=WAIT_MS)
    assert "bridge.reams = -1" in page._error.text()
    assert page.reams.text() == last
    assert page.figures.isVisible()
    assert page.made.text().startswith("▲ From the state of Mon 2 Mar 14:20, answered ")

    # And a good one again is answered.
    (tmp_path / "now.toml").write_text(STATE.format(70_000), encoding="utf-8")
    qtbot.waitUntil(lambda: page.reams.text() > "70", timeout=WAIT_MS)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert not page._error.isVisible()
    assert "▲" not in page.made.text()


def test_it_does_not_look_at_the_file_where_nobody_wants_that(
    qtbot: QtBot, page: ForecastPage, tmp_path: Path
) -> None:
    page.watch.setChecked(False)
    page.start()
    qtbot.waitUntil(lambda: page.result is not None, timeout=WAIT_MS)
    (tmp_path / "now.toml").write_text(STATE.format(50_000), encoding="utf-8")
    qtbot.wait(1200)
    assert not page.busy


def test_a_file_to_fill_in_is_written_and_named(
    page: ForecastPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "new.toml"
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: path)
    page.write.click()
    line = linesim.load("short-bridge")
    assert linesim.scenario.check_state_text(path.read_text("utf-8"), line)
    assert page.state_file == path


def test_hours_are_not_asked_for_where_a_time_is(page: ForecastPage) -> None:
    assert page.settings.summary == "3 runs, seed 1"
    assert not page.settings.hours.isVisibleTo(page.settings)
    assert not page.settings.long_run.isVisibleTo(page.settings)
