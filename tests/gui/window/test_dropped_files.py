"""Files dropped anywhere on the window go where they belong."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QMessageBox,
    QPlainTextEdit,
    QWidget,
)

from gui import dialogs
from gui.logs import StopLogPage
from gui.logs.log_work import LogWork
from gui.window.main_window import MainWindow
from tests.caches import own_cache

LOG = "start,end,cause\n2026-03-16 06:10,2026-03-16 06:14,wrapper jam\n"
SCENARIO = '[line]\nname = "another one"\n'


@pytest.fixture
def window(only_window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    own_cache(monkeypatch, tmp_path / "cache")
    monkeypatch.setattr(dialogs, "choose", lambda *_, **__: dialogs.DISCARD)
    # Which file is read, and not what is in it: that needs a process each time.
    monkeypatch.setattr(
        LogWork, "read", lambda work, paths, *_, **__: setattr(work, "paths", paths)
    )
    only_window.pages.go_to("shift")
    return only_window


def drop(on: QWidget, *paths: Path) -> bool:
    """Drag files over a widget and let go; whether anybody took them."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    # File managers give the names as text, too.
    data.setText("\n".join(str(path) for path in paths))
    place, action = QPoint(3, 3), Qt.DropAction.CopyAction
    with_what = (data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    over = QDragEnterEvent(place, action, *with_what)
    QApplication.sendEvent(on, over)
    if not over.isAccepted():
        return False
    let_go = QDropEvent(place.toPointF(), action, *with_what)
    QApplication.sendEvent(on, let_go)
    return let_go.isAccepted()


def log_page(window: MainWindow) -> StopLogPage:
    page = window.pages.page("fit-stops")
    assert isinstance(page, StopLogPage)
    return page


def places(window: MainWindow) -> dict[str, QWidget]:
    """Where a file may be let go."""
    window.pages.go_to("vary")
    study = window.pages.page("vary")
    lines = window.form.findChildren(QLineEdit)
    text = window.form.findChild(QPlainTextEdit)
    assert isinstance(text, QPlainTextEdit)
    window.pages.go_to("shift")
    return {
        "strip": window.pages.shift.strip.canvas,
        "drawing": window.pages.shift.plan.picture,
        "headline": window.pages.shift.headline,
        "pages": window.pages.list.viewport(),
        "status": window.statusBar(),
        "text": text.viewport(),
        "search": window.form.search,
        **{f"field {number}": line for number, line in enumerate(lines)},
        **{f"study {number}": line for number, line in enumerate(study.findChildren(QLineEdit))},
    }


@pytest.mark.parametrize("name", ["stops.csv", "STOPS.XLSX"])
def test_a_log_goes_to_its_page_from_everywhere(
    window: MainWindow, tmp_path: Path, name: str
) -> None:
    log = tmp_path / name
    log.write_text(LOG, encoding="utf-8")
    before = window.document.text
    where = places(window)
    assert len(where) > 10
    if name != "stops.csv":
        where = {"strip": where["strip"]}
    for said, widget in where.items():
        window.pages.go_to("shift")
        words = widget.text() if isinstance(widget, QLineEdit) else ""
        assert drop(widget, log), said
        page = log_page(window)
        assert page.isVisible(), said
        assert page.file.text() == name
        assert page.work.paths == (log,)
        if isinstance(widget, QLineEdit):
            assert widget.text() == words, said
        page.file.clear()
        page.work.paths = ()
    QApplication.processEvents()
    assert window.document.text == before


def test_a_log_and_a_scenario_at_once_go_each_its_way(window: MainWindow, tmp_path: Path) -> None:
    log, scenario = tmp_path / "more.csv", tmp_path / "another.toml"
    log.write_text(LOG, encoding="utf-8")
    scenario.write_text(SCENARIO, encoding="utf-8")
    assert drop(window.pages.shift.headline, log, scenario)
    assert window.document.path == scenario
    assert log_page(window).work.paths == (log,)


def test_a_scenario_opens_on_the_page_of_logs_too(window: MainWindow, tmp_path: Path) -> None:
    scenario = tmp_path / "third.toml"
    scenario.write_text(SCENARIO, encoding="utf-8")
    window.pages.go_to("fit-stops")
    assert drop(log_page(window), scenario)
    assert window.document.path == scenario


def test_several_logs_are_read_together(window: MainWindow, tmp_path: Path) -> None:
    logs = tmp_path / "a.csv", tmp_path / "b.csv"
    for log in logs:
        log.write_text(LOG, encoding="utf-8")
    assert drop(window.pages.shift.headline, *logs)
    page = log_page(window)
    assert page.isVisible()
    assert page.work.paths == logs
    assert page.file.text() == "a.csv and 1 more"


def test_two_scenarios_are_refused_in_words(window: MainWindow, tmp_path: Path) -> None:
    before = window.document.text
    assert drop(window.pages.shift.headline, tmp_path / "a.toml", tmp_path / "b.toml")
    box = window.findChildren(QMessageBox)[-1]
    assert "One scenario (TOML) can be dropped at a time" in box.text()
    box.close()
    assert window.document.text == before
