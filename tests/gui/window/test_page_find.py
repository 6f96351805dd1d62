"""Ctrl+F finds words on a page: in its tables, in tabs nobody looks at, in texts, on labels."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QListView
from pytestqt.qtbot import QtBot

from gui.headline.page import LossesPage
from gui.look.found import places
from gui.pages import StudyPage
from gui.pages.answer_table import AnswerTableView
from gui.window.main_window import MainWindow
from linesim.report import Answer, AnswerTable, Column

KEY, CONTROL = Qt.Key, Qt.KeyboardModifier.ControlModifier
COLUMNS = (Column("cause"), Column("stops"))


@pytest.fixture
def study(window: MainWindow) -> StudyPage:
    """A page with an answer of two tables; the second one is in a tab that nobody looks at."""
    window.activateWindow()
    window.pages.go_to("what-holds")
    page = window.pages.current
    assert isinstance(page, StudyPage)
    long = tuple((f"cause {n}", n) for n in range(60))
    tables = (
        AnswerTable("first", "First", COLUMNS, (*long, ("zebra jam", 60))),
        AnswerTable("second", "Second", COLUMNS, (("ZEBRA STOP", 1),)),
    )
    page.answer_view.show_answer(Answer("what-holds", "line", ("A zebra holds it.",), tables))
    page.answer_view.tables.setCurrentIndex(0)
    QApplication.processEvents()
    return page


def is_looked_at(view: AnswerTableView, row: int) -> bool:
    """Whether a cell is in view and filled as the one that is looked at."""
    box = view.visualRect(view.model().index(row, 0))
    inside = view.viewport().rect().contains(box.center())
    picture = view.viewport().grab(box).toImage()
    colour = view.palette().color(QPalette.ColorRole.Highlight)
    return inside and QColor(picture.pixel(picture.width() // 2, 4)) == colour


def test_words_are_found_in_all_tables_of_a_page(
    qtbot: QtBot, window: MainWindow, study: StudyPage
) -> None:
    had = study.answer_view.words
    had.setFocus()
    qtbot.keyClick(had, KEY.Key_F, CONTROL)
    find = window.page_find
    assert window.focusWidget() is find.words
    qtbot.keyClicks(find.words, "zebra")
    assert find.said.text() == "1 of 3"
    assert len(had.extraSelections()) == 1
    tables = study.answer_view.tables
    first, second = (tables.widget(n).findChild(AnswerTableView) for n in (0, 1))
    assert not is_looked_at(first, 60)
    qtbot.keyClick(find.words, KEY.Key_Return)
    assert find.said.text() == "2 of 3"
    assert is_looked_at(first, 60)
    assert not is_looked_at(first, 59)
    qtbot.keyClick(find.words, KEY.Key_Return)
    assert tables.currentIndex() == 1
    assert is_looked_at(second, 0)
    qtbot.keyClick(find.words, KEY.Key_Return)
    assert find.said.text() == "1 of 3"
    qtbot.keyClick(find.words, KEY.Key_Escape)
    assert not find.isVisible()
    assert window.focusWidget() is had
    assert had.extraSelections() == []
    assert not is_looked_at(second, 0)


def test_an_answer_that_comes_meanwhile_is_looked_through(
    qtbot: QtBot, window: MainWindow, study: StudyPage
) -> None:
    window.page_find.begin()
    window.page_find.words.setText("zebra")
    table = AnswerTable("first", "First", COLUMNS, (("no such", 1),))
    study.answer_view.show_answer(Answer("what-holds", "line", ("A zebra holds it.",), (table,)))
    qtbot.keyClick(window.page_find.words, KEY.Key_Return)
    assert window.page_find.said.text() == "1 of 1"
    window.page_find.end()


def test_the_page_that_is_turned_to_is_looked_through(
    qtbot: QtBot, window: MainWindow, study: StudyPage
) -> None:
    window.page_find.begin()
    window.page_find.words.setText("what holds")
    assert window.page_find.said.text() != "not found"
    window.pages.go_to("losses")
    window.page_find.words.setText("SIX BIG")
    assert window.page_find.said.text() == "1 of 1"
    # A chart says it at its point.
    page = window.pages.current
    assert isinstance(page, LossesPage)
    window.page_find.words.setText("breakdowns")
    plot = page.losses.plot
    assert plot is not None
    assert "breakdowns" in plot.reading.out.words
    window.page_find.end()
    assert plot.reading.out.words == ""
    # Of what is no longer there nothing is kept, and no mark is drawn.
    window.pages.go_to("what-holds")
    window.page_find.begin()
    window.page_find.words.setText("")
    assert window.page_find.said.text() == ""
    window.page_find.end()


def test_the_text_of_the_scenario_keeps_the_marks_of_its_faults(
    qtbot: QtBot, window: MainWindow
) -> None:
    text = window.form.text
    window.form.tabs.setCurrentWidget(text)
    text.setPlainText(text.toPlainText().replace("[bridge]", "[bridge]\nwrong = 1"))
    text.flush()
    qtbot.waitUntil(lambda: len(text.extraSelections()) == 1, timeout=20_000)
    text.setFocus()
    window.find_words()
    window.page_find.words.setText("[bridge]")
    assert window.page_find.said.text() == "1 of 1"
    assert len(text.extraSelections()) == 2
    window.page_find.end()
    assert window.focusWidget() is text
    assert len(text.extraSelections()) == 1
    window.document.undo()
    window.form.tabs.setCurrentIndex(0)


def test_words_are_found_in_a_list_of_texts(qtbot: QtBot) -> None:
    shown = QListView()
    qtbot.addWidget(shown)
    shown.setModel(QStringListModel(["a jam", "a zebra"], shown))
    assert [place.cell for place in places(shown, "zebra")] == [(1, 0)]
