"""What a right-click on a text of the form offers."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QPlainTextEdit
from pytestqt.qtbot import QtBot

from gui.document import Document
from gui.form import FormView


@pytest.fixture
def document() -> Document:
    document = Document()
    document.new("[bridge]\nplaces = 21\n", "line")
    return document


@pytest.mark.parametrize("where", ["field", "text"])
def test_undo_in_the_menu_of_a_text_is_undo_of_the_document(
    qtbot: QtBot, form: FormView, document: Document, where: str
) -> None:
    form.show_field("bridge.places")
    line = form.window().focusWidget()
    assert isinstance(line, QLineEdit)
    line.selectAll()
    qtbot.keyClicks(line, "44")
    # What was typed a moment ago is of it, too.
    text: QLineEdit | QPlainTextEdit = line
    if where == "text":
        form.tabs.setCurrentWidget(form.text)
        text = form.text
    undo = menu_of(text)["Undo"]
    assert document.value("bridge.places") == 44
    undo.trigger()
    assert document.value("bridge.places") != 44
    entries = menu_of(text)
    assert [entries[each].isEnabled() for each in ("Undo", "Redo")] == [False, True]
    entries["Redo"].trigger()
    assert document.value("bridge.places") == 44


def menu_of(text: QLineEdit | QPlainTextEdit) -> dict:
    """The entries by their words."""
    at = QPoint(3, 3)
    text.contextMenuEvent(QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, at))
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    found = {each.text().split("\t")[0].replace("&", ""): each for each in menu.actions()}
    menu.hide()
    return found
