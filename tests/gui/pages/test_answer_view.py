"""An answer on screen: what its words and its tables keep of the figures."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QScrollArea
from pytestqt.qtbot import QtBot

import linesim
from gui.look import line_px, use_colours
from gui.look.found import places
from gui.pages.answer_view import AnswerView
from linesim.report import AnswerTable, Bar, Bars, Column, Figure

WORDS = "It gives 12.345 ± 0.678 reams more.", "Seed 1, 4 runs."
TABLE = AnswerTable(
    "points", "Points", (Column("name"), Column("h")), ((30 * "long ", Figure(12.345, 0.678)),)
)


@pytest.fixture
def view(qtbot: QtBot) -> AnswerView:
    made = AnswerView()
    qtbot.addWidget(made)
    made.show_answer(linesim.report.Answer("vary", "any", WORDS, (TABLE,)))
    made.show()
    return made


def test_words_have_one_decimal_and_the_rest_in_the_tip_but_tables_have_it(
    view: AnswerView,
) -> None:
    assert "It gives 12.3 ± 0.7 reams more." in view.words.toPlainText()
    assert "12.3\u00a0±\u00a00.7" in view.words.document().toRawText()
    assert "12.345 ± 0.678" in view.words.toolTip()
    _, table = view._tables["points"]
    name = table.item(0, 0)
    assert name is not None
    assert table.columnWidth(0) < table.fontMetrics().horizontalAdvance(name.text())
    assert name.text().strip() in name.toolTip()
    # Shortened, several would read the same.
    inside = table.visualItemRect(name).adjusted(4, 0, -4, 0)
    wrap = Qt.TextFlag.TextWordWrap
    whole = table.fontMetrics().boundingRect(inside.adjusted(0, 0, 0, 999), wrap, name.text())
    assert inside.height() >= whole.height()
    assert table.needed_height() > table.rowHeight(0)
    assert "Seed" not in view.words.toolTip()
    assert view.table is not None
    assert view.table.rows[0][1] == Figure(12.345, 0.678)
    # Words may be broken, but no interval from its sign; both are found as they are typed.
    assert table.item(0, 1).text() == "12.3 ±\u00a00.7"
    assert [place.cell for place in places(table, "12.3 ± 0.7")] == [(0, 1)]
    view.show_answer(linesim.report.Answer("vary", "any", WORDS, (replace(TABLE, title="5 ± 1"),)))
    title, _ = view._tables["points"]
    assert title.text() == "5\u00a0±\u00a01"
    assert [place.part for place in places(view.tables, "5 ± 1")] == [title]


def test_rows_of_tables_follow_the_size_of_letters(view: AnswerView) -> None:
    _, table = view._tables["points"]
    before = table.rowHeight(0)
    font = view.font()
    font.setPointSizeF(1.5 * font.pointSizeF())
    view.setFont(font)
    assert table.rowHeight(0) > before
    assert table.rowHeight(0) >= table.fontMetrics().height()


def test_the_answer_in_brief_stands_there_until_all_of_it_is_asked_for(view: AnswerView) -> None:
    words = ("It pays.", "In money: 3.", "By fresh runs: 2.", "Where it stops paying: 1.")
    view.show_answer(linesim.report.Answer("vary", "any", words, (TABLE,)))
    said = view.words.toPlainText()
    assert "In money" in said
    assert "By fresh runs" not in said
    view.words.anchorClicked.emit(QUrl("#"))
    assert words[-1] in view.words.toPlainText()
    # The answer grows while runs end; who reads all of it goes on doing so.
    view.show_answer(linesim.report.Answer("vary", "any", (*words, "More."), (TABLE,)))
    assert "More." in view.words.toPlainText()
    view.words.anchorClicked.emit(QUrl("#"))
    assert "By fresh runs" not in view.words.toPlainText()


def test_a_page_that_is_too_high_scrolls_as_one(qtbot: QtBot) -> None:
    rows = tuple((f"row {n}", Figure(float(n), 1.0)) for n in range(20))
    table = AnswerTable("points", "Points", TABLE.columns, rows)
    bars = [Bar(f"cause {n}", Figure(float(n), 1.0)) for n in range(24)]
    chart = Bars("cost", "Cost", Column("cause"), Column("reams"), tuple(bars))
    page = QScrollArea()
    page.setWidgetResizable(True)
    view = AnswerView()
    page.setWidget(view)
    qtbot.addWidget(page)
    page.resize(500, 300)
    view.show_answer(
        linesim.report.Answer("vary", "any", (40 * "words ",), (table,), (), {}, (chart,))
    )
    page.show()
    qtbot.waitUntil(lambda: page.verticalScrollBar().maximum() > 0)
    _, shown = view._tables["points"]
    inner = view.charts.currentWidget()
    assert isinstance(inner, QScrollArea)
    for part in (view.words, shown, inner):
        assert part.verticalScrollBar().maximum() == 0
    # A cell that the arrows lead to is brought into view by the page.
    page.verticalScrollBar().setValue(0)
    shown.setCurrentCell(19, 0)
    cell = shown.viewport().mapTo(page.viewport(), shown.visualRect(shown.currentIndex()).center())
    assert page.viewport().rect().contains(cell)


def test_links_are_legible_in_other_colours(view: AnswerView, qapp: QApplication) -> None:
    words = ("It pays.", "In money: 3.", "By fresh runs: 2.")
    view.show_answer(linesim.report.Answer("vary", "any", words, (TABLE,)))

    def link() -> str:
        found = re.search(r'<a href="#"><span style="[^"]*color:(#[0-9a-f]+)', view.words.toHtml())
        assert found is not None
        return found[1]

    found = []
    for theme in ("light", "dark"):
        use_colours(qapp, theme)
        QApplication.processEvents()
        assert link() == qapp.palette().color(QPalette.ColorRole.Link).name()
        found.append(link())
    use_colours(qapp, "light")
    assert found[0] != found[1]


def test_a_chart_has_no_bar_of_its_own_after_smaller_letters(view: AnswerView) -> None:
    bars = tuple(Bar(f"station {n}", Figure(9.0, 1.0)) for n in range(4))
    chart = Bars("gain", "Gain", Column("station"), Column("reams"), bars)
    view.resize(700, 560)
    view.show_answer(linesim.report.Answer("vary", "any", WORDS, (TABLE,), charts=(chart,)))
    font = view.font()
    for pixels in (20, 13):
        font.setPixelSize(pixels)
        view.setFont(font)
        for _ in range(5):
            QApplication.processEvents()
    area = view.charts.currentWidget()
    assert isinstance(area, QScrollArea)
    assert area.verticalScrollBar().maximum() == 0


def test_a_few_bars_do_not_stand_in_an_empty_field(view: AnswerView) -> None:
    bars = Bars("difference", "D", Column("s"), Column("d"), (Bar("a", Figure(9.0, 1.0)),))
    view.resize(900, 1000)
    view.show_answer(linesim.report.Answer("compare", "any", WORDS, (TABLE,), charts=(bars,)))
    QApplication.processEvents()
    chart, letters = view.chart_view, view.fontMetrics().height()
    assert chart is not None
    assert chart.least_lines < 10
    assert chart.least_lines * letters <= chart.height() < chart.least_lines * letters + 60
    # A page with room for all of it has no bar.
    assert view.sizeHint() == view.minimumSizeHint()


def test_no_frame_stands_around_more_than_the_rows_of_a_short_table(view: AnswerView) -> None:
    bars = Bars("difference", "D", Column("s"), Column("d"), (Bar("a", Figure(9.0, 1.0)),))
    view.resize(900, 1000)
    view.show_answer(linesim.report.Answer("compare", "any", WORDS, (TABLE,), charts=(bars,)))
    for _ in range(5):
        QApplication.processEvents()
    _, table = view._tables["points"]
    assert table.height() == table.needed_height()
    assert view.tables.height() < table.needed_height() + 100


def test_lines_of_words_are_no_longer_than_is_read_with_ease(view: AnswerView) -> None:
    long = "It gives more reams, and what is given is said at length. " * 12
    for width in (4000, 600):
        view.resize(width, 800)
        view.show_answer(linesim.report.Answer("vary", "any", (long,), (TABLE,), (long,)))
        QApplication.processEvents()
        wide = view.words.document().size().width()
        assert wide == min(line_px(view.words), view.words.viewport().width())


def test_a_long_table_of_long_names_is_in_sight_at_once(view: AnswerView) -> None:
    """Many rows of several lines made a frame higher than the page, with a bar of its own."""
    columns = (Column("what is changed"), Column("good reams"))
    rows = tuple((f"{n} more wrappers, and as many people " * 8, 5.0) for n in range(80))
    table = AnswerTable("tried", "Tried", columns, rows)
    view.show_answer(linesim.report.Answer("meet-target", "any", WORDS, (table,)))
    _, shown = view._tables["tried"]
    one_line = shown.verticalHeader().defaultSectionSize()
    # Words stand whole in the last row as in the first.
    assert shown.rowHeight(79) == shown.rowHeight(0) > 2 * one_line
    assert shown.needed_height() < 30 * one_line
    assert shown.sizeHint().height() > 80 * shown.rowHeight(0)
