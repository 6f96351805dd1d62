"""Each user's whole way through the window, once: with keys and mouse, as they would."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QLineEdit
from pytestqt.qtbot import QtBot

import linesim
from gui.charts import ChartView
from gui.lessons import LessonsPage
from gui.pages import StudyPage
from gui.window.main_window import MainWindow

WAIT_MS = 90_000
LEFT = Qt.MouseButton.LeftButton


def study_page(window: MainWindow, name: str) -> StudyPage:
    assert window.pages.go_to(name)
    page = window.pages.current
    assert isinstance(page, StudyPage)
    page.settings.runs.setValue(3)
    page.settings.hours.setValue(1)
    return page


def ask(qtbot: QtBot, page: StudyPage) -> linesim.report.Answer:
    qtbot.mouseClick(page.progress.start, LEFT)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    answer = page.answer_view.answer
    assert answer is not None
    return answer


def test_the_engineer_changes_the_bridge_asks_and_takes_the_curve_away(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    before = window.shown.record
    window.find_field()
    window.form.search.clear()
    window.form.show_field("bridge.places")
    field = next(
        edit
        for edit in window.form.findChildren(QLineEdit)
        if edit.isVisible() and edit.accessibleName().lower().startswith("places")
    )
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "64")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(
        lambda: (
            window.shown.record is not None and window.shown.record.scenario.bridge_places == 64
        ),
        timeout=WAIT_MS,
    )
    assert window.shown.ghost is before
    page = study_page(window, "size-bridge")
    page.options.set_values({"places": "14,64", "levels": False})
    answer = ask(qtbot, page)
    assert "64 places" in answer.words[0]
    page.exports.save_csv(tmp_path / "tables")
    chart = page.answer_view.chart_view
    assert chart is not None
    chart.save_svg(tmp_path / "curve.svg")
    assert list((tmp_path / "tables").glob("*.csv"))
    assert (tmp_path / "curve.svg").read_text(encoding="utf-8").count("<svg") == 1


def test_the_manager_weighs_one_wrapper_against_two(qtbot: QtBot, window: MainWindow) -> None:
    page = study_page(window, "add-wrapper")
    answer = ask(qtbot, page)
    assert any("wrapper" in line for line in answer.words)
    assert any(
        isinstance(cell, linesim.report.Figure)
        for table in answer.tables
        for row in table.rows
        for cell in row
    )


def test_the_trainer_stops_the_wrapper_and_gives_a_lesson(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    window.runs.force(
        (
            linesim.scenario.ForcedStop(
                station="wrapper", at_h=0.2, minutes=5, cause="demonstration"
            ),
        )
    )
    qtbot.waitUntil(lambda: window.shown.disturbance is not None, timeout=WAIT_MS)
    page = window.pages.shift
    assert "reams" in page.stop_effect
    # The same stop in other replications is run beside it.
    qtbot.waitUntil(lambda: "Over 40 runs" in page.stop_effect, timeout=WAIT_MS)
    assert "±" in page.stop_effect
    # Each of them is a point of a chart.
    qtbot.mouseClick(page._each_run, LEFT)
    chart = window.findChild(QDialog).findChild(ChartView).chart
    assert isinstance(chart, linesim.report.Scatter)
    assert len(chart.points) == 40
    window.findChild(QDialog).close()
    # A lesson touches nothing of it: neither the scenario, unsaved as it may be, nor its run.
    window.document.set_text(f"{window.document.text}\n# unsaved\n")
    text, record = window.document.text, window.shown.record
    assert window.pages.go_to("lessons")
    lessons = window.pages.page("lessons")
    assert isinstance(lessons, LessonsPage)
    shipped = next(iter(linesim.lessons.shipped_lessons().values())).read_text(encoding="utf-8")
    own = tmp_path / "own.toml"
    short = {"hours": 0.6, "stop.at_h": 0.3, "changes": {"line.shift_hours": 0.5}}
    own.write_text(linesim.scenario.update(shipped, short), encoding="utf-8")
    assert lessons.open(own)
    qtbot.keyClicks(lessons._answer, "3")
    qtbot.mouseClick(lessons._go_on, LEFT)
    qtbot.waitUntil(lambda: bool(lessons.course.answers), timeout=WAIT_MS)
    assert lessons.picture.shown.record is not None
    assert window.document.text == text
    assert window.document.dirty
    assert window.shown.record is record
