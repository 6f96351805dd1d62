"""The form filled in by keys: one field after the other, a cause of one's own, Esc."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from gui.document import Document
from gui.form import FormView
from gui.form.entries_page import EntriesPage
from gui.form.field_row import FieldRow
from gui.form.meter_row import MeterRow
from gui.window.tab_order import OrderedWindow

TEXT = """\
[product]
sheet_width_mm = 210

[[stop]]
cause = "static"
"""


@pytest.fixture
def document() -> Document:
    document = Document()
    document.new(TEXT, "line")
    return document


@pytest.fixture
def window(qtbot: QtBot, document: Document) -> OrderedWindow:
    window = OrderedWindow()
    form = FormView(document)
    window.setCentralWidget(form)
    window.tab_parts = [form]
    qtbot.addWidget(window)
    window.resize(500, 800)
    window.show()
    window.activateWindow()
    return window


@pytest.fixture
def form(window: OrderedWindow) -> FormView:
    form = window.centralWidget()
    assert isinstance(form, FormView)
    return form


def key(qtbot: QtBot, pressed: Qt.Key) -> None:
    focus = QApplication.focusWidget()
    assert focus is not None
    qtbot.keyClick(focus, pressed)
    QApplication.processEvents()


def typed(qtbot: QtBot, words: str) -> None:
    focus = QApplication.focusWidget()
    assert focus is not None
    qtbot.keyClicks(focus, words)


def test_tab_leads_from_field_to_field_past_what_the_first_change_shows(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.show_field("product.sheet_width_mm")
    for figure in ("216", "330", "480"):
        typed(qtbot, figure)
        key(qtbot, Qt.Key.Key_Tab)
    assert document.value("product.sheet_width_mm") == 216
    assert document.value("product.sheet_length_mm") == 330
    assert document.value("product.sheets_per_ream") == 480


def test_escape_puts_back_what_the_file_says_and_nothing_where_it_says_so_already(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.show_field("product.sheet_width_mm")
    row = form.page.row_of("product.sheet_width_mm")
    assert isinstance(row, FieldRow)
    typed(qtbot, "305")
    key(qtbot, Qt.Key.Key_Escape)
    assert document.text == TEXT
    assert isinstance(QApplication.focusWidget(), QLineEdit), "the keyboard stays in the field"
    assert not row.put_back.isVisible()
    undo = document.undo_words
    key(qtbot, Qt.Key.Key_Escape)
    assert document.undo_words == undo


def test_the_meter_of_a_new_cause_can_be_chosen_before_its_interval(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    document.set_field("stop[1].cause", "glue nozzle blocks")
    form.show_field("stop[1].cause")
    page = form.page
    assert isinstance(page, EntriesPage)
    row = next(row for row in page.detail.rows if isinstance(row, MeterRow))
    row.meter.setFocus()
    typed(qtbot, "reams")
    assert row.chosen == "every_reams"
    key(qtbot, Qt.Key.Key_Tab)
    assert isinstance(QApplication.focusWidget(), QComboBox)
    typed(qtbot, "w")
    assert set(document.data["stop"][1]) == {"cause", "every_reams"}
    assert document.value("stop[1].every_reams")["law"] == "weibull"


def test_a_field_stays_in_sight_when_its_faults_are_listed_above(
    qtbot: QtBot, form: FormView, window: OrderedWindow, document: Document
) -> None:
    document.new("", "line")
    window.resize(380, 720)
    form.show_field("stop")
    QApplication.processEvents()
    page = form.page
    assert isinstance(page, EntriesPage)
    assert page.nothing.text() == "One stop cause. There is none yet: Add makes one."
    menu = page.add.menu()
    assert menu is not None
    menu.actions()[0].trigger()
    qtbot.waitUntil(form.faults.isVisible)
    QApplication.processEvents()
    row = page.detail.row_of("stop[0].cause")
    assert row is not None
    assert row.isAncestorOf(QApplication.focusWidget())
    assert row.visibleRegion().boundingRect().height() == row.height()
