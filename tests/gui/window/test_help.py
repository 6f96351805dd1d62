"""The help: all there is to know is in it, and is found; a folder of files fills it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

import linesim
from gui.window.help_text import chapters
from gui.window.help_window import HelpWindow
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from gui.window.text_window import TextWindow


def test_the_help_has_every_page_key_and_word(qtbot: QtBot, window: MainWindow) -> None:
    window.pages.go_to("losses")
    qtbot.keyClick(window, Qt.Key.Key_F1)
    shown = HelpWindow.shown_in(window)
    assert shown is not None
    assert shown.list.currentItem().text() == "Pages"
    assert shown.text.textCursor().block().text() == "Losses and rates"
    said = shown.text.toPlainText()
    headings = {block.text() for block in shown._headings()}
    assert {page.title for page in PAGES.values()} <= headings
    for entry in linesim.report.GLOSSARY:
        assert entry.term in said
        assert entry.meaning in said
    for menu in window.menuBar().findChildren(QMenu):
        for action in menu.actions():
            assert action.shortcut().toString(QKeySequence.SequenceFormat.NativeText) in said
    shown.close()


def test_a_folder_of_files_fills_it_and_they_lead_to_each_other(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    (tmp_path / "2-last.md").write_text("# Last\n\nThe end: a Web Break.\n", encoding="utf-8")
    first = "# One & first\n\nSee [the last](2-last.md).\n\n" + "A web break.\n\n" * 99
    (tmp_path / "1-one.md").write_text(first, encoding="utf-8")
    found = chapters(window.menuBar(), tmp_path)
    assert [each.title for each in found[:2]] == ["One & first", "Last"]
    shown = HelpWindow(found[:2], folder=tmp_path)
    qtbot.addWidget(shown)
    shown.show()
    shown.text.anchorClicked.emit(QUrl("2-last.md"))
    assert shown.list.currentRow() == 1
    assert shown.text.textCursor().block().text() == "Last"
    qtbot.keyClicks(shown.find.words, "web break")
    assert shown.find.said.text() == "1 of 100"
    qtbot.keyClick(shown.find.words, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    assert shown.find.said.text() == "100 of 100"
    assert "The end" in shown.text.textCursor().block().text()
    qtbot.keyClick(shown.find.words, Qt.Key.Key_Return)
    assert shown.find.said.text() == "1 of 100"
    assert shown.isVisible()
    shown.find.words.setText("nowhere")
    assert shown.find.said.text() == "not found"
    assert not shown.open_chapter("nowhere")


@pytest.mark.parametrize("text", ["one\ntwo\nTwo", "two * two"])
def test_words_are_found_in_any_text_window(qtbot: QtBot, text: str) -> None:
    shown = TextWindow("A text", text)
    shown.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(shown)
    shown.find.words.setText("two")
    assert shown.find.said.text() == "1 of 2"
    assert len(shown.text.extraSelections()) == 2
