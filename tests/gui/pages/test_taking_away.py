"""What every study page gives away: pasted from the clipboard, read from the file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.charts import ChartView
from gui.document import Document
from gui.pages import StudyPage
from gui.pages.answer_table import AnswerTableView
from gui.pages.answer_view import AnswerView
from gui.workers import WorkerPool

REAMS = linesim.report.Column("good reams", "reams a week")
PLACES = linesim.report.Column("places")
SURE, UNSURE = linesim.report.Figure(1200.0, 80.0), linesim.report.Figure(30.0, 90.0, False)
CHARTS: tuple[linesim.report.Chart, ...] = (
    linesim.report.Curve(
        "curve",
        "A curve",
        PLACES,
        REAMS,
        (
            linesim.report.CurvePoint(10, SURE, 1300.0),
            linesim.report.CurvePoint(20, linesim.report.Figure(1500, 90)),
        ),
        present=10,
    ),
    linesim.report.Bars(
        "bars",
        "Bars",
        PLACES,
        REAMS,
        (linesim.report.Bar("one", SURE), linesim.report.Bar("other", UNSURE)),
    ),
    linesim.report.Bars(
        "days", "Days", PLACES, REAMS, (linesim.report.Bar("one", SURE, 1250.0),), bands=True
    ),
    linesim.report.Map("map", "A map", PLACES, PLACES, REAMS, (1, 2), (3,), ((SURE,), (None,))),
)
TABLE = linesim.report.AnswerTable(
    "points", "Points", (PLACES, REAMS), ((10, SURE), ("=1+1", UNSURE))
)


@pytest.fixture(scope="module")
def pool() -> Iterator[WorkerPool]:
    made = WorkerPool()
    yield made
    made.close()


def press(qtbot: QtBot, page: StudyPage, words: str) -> None:
    (button,) = (
        each for each in page.findChildren(QPushButton) if each.text().replace("&", "") == words
    )
    assert button.isEnabled()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def choose(view: ChartView, words: str) -> None:
    """From the menu of a chart."""
    (action,) = (each for each in view.menu.actions() if each.text() == words)
    action.trigger()


def inked(picture: QImage) -> int:
    """Colours along a line from corner to corner of the picture."""
    slope = picture.height() / picture.width()
    return len({picture.pixel(x, int(x * slope)) for x in range(picture.width())})


@pytest.mark.parametrize("study", list(linesim.questions.STUDIES))
def test_picture_drawing_and_table_of_every_page_can_be_pasted(
    qtbot: QtBot, pool: WorkerPool, study: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = Document()
    document.open("short-bridge")
    page = StudyPage(document, pool, study)
    qtbot.addWidget(page)
    page.resize(900, 700)
    page.show()
    answer = linesim.report.Answer(study, "any", ("It is so.",), (TABLE,), charts=CHARTS)
    page._show(answer, so_far=False)
    for n, chart in enumerate(CHARTS):
        page.answer_view.charts.setCurrentIndex(n)
        view = page.answer_view.chart_view
        assert view is not None
        choose(view, "Copy picture")
        pasted = QGuiApplication.clipboard().mimeData()
        assert inked(QGuiApplication.clipboard().image()) > 2, chart.name
        drawn = ElementTree.fromstring(pasted.data("image/svg+xml").data())
        assert chart.title in " ".join(drawn.itertext())
    press(qtbot, page, "Copy table")
    pasted = QGuiApplication.clipboard().mimeData()
    rows = [
        ["places", "good reams [reams a week]", "good reams [reams a week] half width"],
        ["10", "1200.0", "80.0"],
        ["'=1+1", "30.0", "90.0"],
    ]
    assert list(csv.reader(io.StringIO(pasted.text()), delimiter="\t")) == rows
    assert list(csv.reader(io.StringIO(pasted.data("text/csv").data().decode()))) == rows
    target = tmp_path / "chart.svg"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    choose(view, "Save as SVG…")
    assert CHARTS[-1].title in " ".join(ElementTree.parse(target).getroot().itertext())
    target = tmp_path / "tables.xlsx"
    press(qtbot, page, "Save workbook…")
    assert [sheet.title for sheet in openpyxl.load_workbook(target)] == ["words", "points"]
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: tmp_path / "tables")
    press(qtbot, page, "Save tables…")
    with (tmp_path / "tables" / "points.csv").open(encoding="utf-8", newline="") as file:
        assert list(csv.reader(file)) == rows


def test_what_nobody_looks_at_is_drawn_once_somebody_does(qtbot: QtBot) -> None:
    view = AnswerView()
    qtbot.addWidget(view)
    tables = TABLE, replace(TABLE, name="more", title="More")
    for words in ("It is so.", "It is not so."):
        # Of the second answer, too, only what is looked at is drawn when it comes.
        charts = tuple(replace(chart, title=f"{chart.title}: {words}") for chart in CHARTS)
        tables = tuple(replace(table, title=f"{table.title}: {words}") for table in tables)
        view.charts.setCurrentIndex(0)
        view.tables.setCurrentIndex(0)
        view.show_answer(linesim.report.Answer("any", "any", (words,), tables, charts=charts))
        shown = [
            view.charts.widget(n).findChildren(ChartView)[0].chart is charts[n]
            for n in range(len(charts))
        ]
        assert shown == [True] + [False] * (len(charts) - 1)
        for n, chart in enumerate(charts):
            view.charts.setCurrentIndex(n)
            assert view.chart_view is not None
            assert view.chart_view.chart is chart
        for n, table in enumerate(tables):
            filled = view.tables.widget(n).findChildren(AnswerTableView)[0]
            assert (filled.accessibleName() == table.title) is (n == 0)
            view.tables.setCurrentIndex(n)
            assert filled.accessibleName() == table.title
            assert filled.rowCount() == len(table.rows)
