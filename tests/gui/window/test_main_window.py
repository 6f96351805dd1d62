"""The window as its users drive it: open, change, undo, stop a station, save, learn."""

from __future__ import annotations

import json
import os
import sys
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QAction, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.document import Document, OpenFileLock
from gui.window.about import about_html
from gui.window.listings import show_installation
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from gui.window.report_dialog import ReportDialog
from gui.window.run_story import HELP
from gui.window.text_window import TextWindow
from gui.workers import Task
from tests.trust.listening import family, listening

RUN_MS = 90_000


def test_it_opens_with_a_finished_run_and_then_its_figures(
    qtbot: QtBot, window: MainWindow
) -> None:
    record = window.shown.record
    assert record is not None
    assert record.hours == 0.5
    assert record.history is not None
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    figures = window.shown.figures
    assert figures is not None
    assert len(figures.runs) == 10
    assert "mine" in window.windowTitle()


def test_a_change_runs_again_of_the_same_replication_and_keeps_the_run_before_as_ghost(
    qtbot: QtBot, window: MainWindow
) -> None:
    before = window.shown.record
    assert before is not None
    window.document.set_field("bridge.places", 80)
    qtbot.waitUntil(lambda: window.shown.record is not before, timeout=RUN_MS)
    after = window.shown.record
    assert after is not None
    assert after.scenario.bridge_places == 80
    assert (after.seed, after.replication) == (before.seed, before.replication)
    assert window.shown.ghost is before
    assert window.isWindowModified()
    window.document.undo()
    qtbot.waitUntil(
        lambda: window.shown.record is not None and window.shown.record.scenario == before.scenario,
        timeout=RUN_MS,
    )
    assert not window.isWindowModified()


def test_stating_how_sure_a_figure_is_changes_no_run_and_pairs_no_runs_that_are_none(
    qtbot: QtBot, window: MainWindow
) -> None:
    before = window.shown.record
    assert before is not None
    window.document.set_field("bridge.places", 80)
    qtbot.waitUntil(lambda: window.shown.ghost is before, timeout=RUN_MS)
    qtbot.waitUntil(lambda: window.shown.figures is not None, timeout=RUN_MS)
    after = window.shown.record
    assert after is not None
    window.document.set_doubt("bridge.places", {"between": [60, 100]})
    qtbot.waitUntil(lambda: window.shown.record is not after, timeout=RUN_MS)
    record = window.shown.record
    assert record is not None
    assert record.books == after.books
    assert window.shown.ghost is before
    qtbot.waitUntil(lambda: window.shown.figures is not None, timeout=RUN_MS)
    figures = window.shown.figures
    assert figures is not None
    assert figures.crossed
    assert figures.measure("good_reams_per_hour").doubt > 0
    assert window.shown.ghost_figures is None
    # Of two lines whose figures are doubted alike, runs are pairs again.
    window.document.set_field("bridge.places", 70)
    qtbot.waitUntil(lambda: window.shown.ghost is record, timeout=RUN_MS)
    qtbot.waitUntil(lambda: window.shown.ghost_figures is figures, timeout=RUN_MS)


def test_a_fault_keeps_the_last_good_run_and_says_so(qtbot: QtBot, window: MainWindow) -> None:
    before = window.shown.record
    window.document.set_field("bridge.places", -3)
    assert window.document.faults
    assert "1 fault in the scenario" in window._invented.text()
    qtbot.wait(400)
    assert window.shown.record is before


def test_a_stop_put_in_is_compared_with_the_run_without_it(
    qtbot: QtBot, window: MainWindow
) -> None:
    before = window.shown.record
    assert before is not None
    ways = ("Take the stop out", "Make a lesson of it…")
    of_the_stop = [entry_of(window, "Line", words) for words in ways]
    assert not any(each.isEnabled() for each in of_the_stop)
    window.runs.force(
        (
            linesim.scenario.ForcedStop(
                station="wrapper", at_h=0.2, minutes=6, cause="demonstration"
            ),
        )
    )
    qtbot.waitUntil(lambda: window.shown.disturbance is not None, timeout=RUN_MS)
    disturbance, ghost = window.shown.disturbance, window.shown.ghost
    assert disturbance is not None
    assert ghost is not None
    assert ghost.books == before.books
    assert disturbance.reams_lost > 0
    assert all(each.isEnabled() for each in of_the_stop)
    assert window.pages.shift._effect_row.isVisible()
    assert window.pages.shift.stop_effect
    page = window.pages.shift
    assert window.shown.selected is not None
    assert window.shown.is_put_in(window.shown.selected)
    assert page.below.currentWidget() is page.ripple
    assert page.ripple.table.item(0, 0).text() == "wrapper"
    window.runs.take_out()
    qtbot.waitUntil(lambda: window.shown.disturbance is None, timeout=RUN_MS)
    assert not window.pages.shift._effect_row.isVisible()
    assert not any(each.isEnabled() for each in of_the_stop)
    looked_at = page.strip.canvas.window_of_time
    assert (looked_at.start_ns, looked_at.end_ns) == (looked_at.first_ns, looked_at.last_ns)
    assert page.below.currentWidget() is page.gap


def test_every_page_can_be_shown_and_drawn(qtbot: QtBot, window: MainWindow) -> None:
    for name in PAGES:
        assert window.pages.go_to(name)
        QApplication.processEvents()
        assert not window.grab().isNull()
    assert not window.pages.go_to("nowhere")


def test_saving_writes_what_is_on_screen(window: MainWindow, path: Path) -> None:
    window.document.set_field("bridge.places", 44)
    assert window.files.save()
    assert "places = 44" in path.read_text(encoding="utf-8")
    assert not window.isWindowModified()


def test_a_file_dropped_on_the_window_opens(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    other = tmp_path / "other.toml"
    other.write_text('[line]\nname = "another one"\nshift_hours = 0.2\n', encoding="utf-8")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(other))])
    window.dropEvent(
        QDropEvent(
            QPointF(5, 5),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )
    qtbot.waitUntil(
        lambda: (
            window.shown.record is not None
            and window.shown.record.scenario.line.name == "another one"
        ),
        timeout=RUN_MS,
    )


def test_a_file_that_cannot_be_read_is_said_and_changes_nothing(
    window: MainWindow, tmp_path: Path
) -> None:
    before = window.document.text
    assert not window.files.open(tmp_path / "nowhere.toml")
    assert window.document.text == before


def test_a_report_of_the_line_is_written(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def filled(dialog: ReportDialog) -> bool:
        assert dialog.studies == []
        qtbot.keyClicks(dialog.question, "Is it <enough>?")
        dialog.date.setText("1 March")
        dialog.runs.setValue(2)
        dialog.appendix.setChecked(True)
        return True

    target = tmp_path / "report.html"
    monkeypatch.setattr(ReportDialog, "exec", filled)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    chosen(window, "File", "Save a report…")
    qtbot.waitUntil(target.exists, timeout=RUN_MS)
    page = target.read_text(encoding="utf-8")
    assert "Is it &lt;enough&gt;?" in page
    assert "<span>1 March</span>" in page
    assert "--replications 2 " in page
    assert "Figures that are the program's defaults" in unescape(page)


def test_about_shows_cautions() -> None:
    text = about_html()
    assert "licensed practice" in text
    assert linesim.__version__ in text


def test_what_is_installed_is_shown_as_the_command_says_it_once_it_is_known(
    window: MainWindow,
) -> None:
    task = Task(window)
    show_installation(window, task)
    assert window.statusBar().currentMessage().startswith("Self-check")
    facts = linesim.about.Facts({"Versions": {"linesim": "1"}}, None)
    task.end_finished(facts)
    (shown,) = window.findChildren(TextWindow)
    assert shown.text.toPlainText().startswith(facts.text.rstrip())
    shown.close()


def test_a_file_that_another_window_has_open_is_said_until_that_one_goes(
    window: MainWindow, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = Document()
    first = OpenFileLock(other, tmp_path / "open")
    other.open(path)
    here = OpenFileLock(window.document, tmp_path / "open")
    monkeypatch.setattr(window, "_file_lock", here)
    window._show_document()
    assert "Another window has this file open, too." in window._invented.text()
    first.close()
    window._show_document()
    assert "Another window" not in window._invented.text()
    here.close()


def chosen(window: MainWindow, menu: str, entry: str) -> None:
    """Choose an entry of a menu, as it is written there."""
    entry_of(window, menu, entry).trigger()


def entry_of(window: MainWindow, menu: str, entry: str) -> QAction:
    """An entry of a menu."""
    (found,) = (
        action
        for bar in window.menuBar().actions()
        if bar.text().replace("&", "") == menu
        for action in bar.menu().actions()
        if action.text().replace("&", "") == entry
    )
    return found


def text_shown(window: MainWindow, title: str) -> str:
    (shown,) = (w for w in window.findChildren(TextWindow) if w.windowTitle() == title)
    text = shown.text.toPlainText()
    QTest.mouseClick(shown.copy, Qt.MouseButton.LeftButton)
    assert QApplication.clipboard().text() == text
    shown.deleteLater()
    return text


def test_the_menus_give_what_the_commands_print(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen(window, "Help", "Known stop causes")
    assert text_shown(window, "Known stop causes") == linesim.report.causes_text()
    chosen(window, "Line", "Rates of the stations")
    scenario = window.document.scenario
    assert scenario is not None
    assert text_shown(window, "Rates of the stations") == linesim.report.rates_text(scenario)
    window.document.set_field("bridge.places", -3)
    window.document.set_field("crew.size", -1)
    chosen(window, "Edit", "List the faults")
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        linesim.scenario.check_text(window.document.text, file=window.document.name)
    faults = filter(None, text_shown(window, "Faults of the scenario").splitlines())
    assert [line.partition(": ")[2] for line in faults] == [
        str(fault).partition(": ")[2] for fault in caught.value.faults
    ]
    target = tmp_path / "schema.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    chosen(window, "Help", "Save the schema for editors…")
    assert json.loads(target.read_text("utf-8")) == linesim.scenario.json_schema()


def test_the_run_on_screen_is_saved_as_tables(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "tables"
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: folder)
    told: list[Path] = []
    dialogs.WRITTEN.told.connect(told.append)
    chosen(window, "File", "Save the run as tables…")
    record = window.shown.record
    assert record is not None
    qtbot.waitUntil(lambda: told == [folder], timeout=RUN_MS)
    dialogs.WRITTEN.told.disconnect(told.append)
    # Said once, by the notice that stays.
    assert window.statusBar().currentMessage() == ""
    linesim.report.write_folder(tmp_path / "direct", record)
    names = {path.name for path in folder.iterdir()}
    assert names == {path.name for path in (tmp_path / "direct").iterdir()}
    for name in names:
        assert (folder / name).read_bytes() == (tmp_path / "direct" / name).read_bytes()


def test_the_run_on_screen_is_shared_as_a_page(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    proposed: list[str] = []
    target = tmp_path / "shift.html"
    monkeypatch.setattr(
        dialogs, "ask_file", lambda _, __, name, ___: proposed.append(name) or target
    )
    given: dict[str, Any] = {}
    task = Task(window)
    monkeypatch.setattr(
        window.pool, "call", lambda name, **asked: given.update(asked, name=name) or task
    )
    chosen(window, "File", "Share this shift…")
    record = window.shown.record
    assert record is not None
    assert proposed == ["mine-shift.html"]
    assert given["name"] == "share"
    assert (given["hours"], given["seed"]) == (record.hours, record.seed)
    assert given["target"] == target
    told: list[Path] = []
    dialogs.WRITTEN.told.connect(told.append)
    task.end_finished(target)
    dialogs.WRITTEN.told.disconnect(told.append)
    assert told == [target]


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks Linux")
def test_the_window_and_its_processes_listen_nowhere(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    processes = family(os.getpid())
    assert len(processes) >= 2
    assert listening(processes) == []


def test_a_cause_and_what_helps_lead_to_where_they_are_looked_into(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    monkeypatch.delattr(window.pool, "run_story")
    shift, figures = window.pages.shift, window.shown.figures
    window.shown.show_figures(None)
    window.shown.show_figures(figures)
    causes = {each.table: each for each in window.pages.shift.gap.causes}
    assert {"stop", ""} <= set(causes)
    tables = {group.name for group in linesim.scenario.field_groups()}
    assert set(causes) <= {*tables, ""}
    window.form_dock.hide()
    for table, cause in causes.items():
        window.pages.go_to("shift")
        window.pages.shift.gap.chosen.emit(cause)
        if table in ("stop", ""):
            assert window.pages.list.name == ("rank-stops" if table else "losses")
        else:
            assert window.pages.list.name == "shift"
            assert window.form._section == table
            assert window.form_dock.isVisible()
    qtbot.waitUntil(lambda: not shift.story_under_way, timeout=RUN_MS)
    assert HELP in shift.story
    shift._story_text.label.linkActivated.emit("further")
    assert window.pages.list.name == "what-to-change"
    window.pages.go_to("shift")
