"""The manual in the window: opened where one is, everything found in it, chapters that lead on."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

import linesim
from gui.window.help_window import HelpWindow
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from gui.window.text_window import TextWindow


def _help_at(qtbot: QtBot, window: MainWindow) -> tuple[HelpWindow, str, str]:
    """The manual as F1 opens it, its chapter, and the heading at the top."""
    qtbot.keyClick(window.focusWidget() or window, Qt.Key.Key_F1)
    shown = HelpWindow.shown_in(window)
    assert shown is not None
    return shown, shown.list.currentItem().text(), shown.text.textCursor().block().text()


def test_it_opens_where_one_is_and_has_every_page_key_field_and_word(
    qtbot: QtBot, window: MainWindow
) -> None:
    window.pages.go_to("losses")
    window.pages.list.setFocus()
    shown, chapter, heading = _help_at(qtbot, window)
    assert (chapter, heading) == ("The window", "Losses and rates")
    headings = set()
    for document in shown.text.documents():
        block = document.begin()
        while block.isValid():
            if block.blockFormat().headingLevel():
                headings.add(block.text())
            block = block.next()
    assert {page.title for page in PAGES.values()} <= headings
    fields = {f"{g.name}.{f.name}" for g in linesim.scenario.field_groups() for f in g.fields}
    assert fields <= headings
    said = "\n".join(each.toPlainText() for each in shown.text.documents())
    for entry in linesim.report.GLOSSARY:
        assert entry.term in said
        assert entry.meaning in said
    shown.find.words.setText("bridge.length_m")
    assert shown.find.said.text().startswith("1 of ")
    window.form.show_field("bridge.length_m")
    _, chapter, heading = _help_at(qtbot, window)
    assert (chapter, heading) == ("Fields of a scenario", "bridge.length_m")
    window.form.show_field("stop[0].restore_min")
    assert _help_at(qtbot, window)[2] == "stop.restore_min"
    window.form.search.setFocus()
    assert _help_at(qtbot, window)[2] == "Stop causes"
    shown.close()


def test_its_keys_are_those_of_the_menus(window: MainWindow) -> None:
    page = (linesim.manual.FOLDER / "16-keys.md").read_text(encoding="utf-8")
    for top in window.menuBar().actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        for action in menu.actions():
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.PortableText)
            name, what = (each.text().replace("&", "") for each in (top, action))
            assert not keys or f"| {name} | {keys} | {what} |" in page


def test_files_of_a_folder_lead_to_each_other_and_words_are_found_in_all(
    qtbot: QtBot, tmp_path: Path
) -> None:
    last = "# Last\n\n" + "Much.\n\n" * 99 + "## Far down\n\nThe end: a Web Break.\n"
    (tmp_path / "2-last.md").write_text(last, encoding="utf-8")
    first = "# One & first\n\nSee [the last](2-last.md#far-down).\n\n" + "A web break.\n\n" * 99
    (tmp_path / "1-one.md").write_text(first, encoding="utf-8")
    shown = HelpWindow(folder=tmp_path)
    qtbot.addWidget(shown)
    shown.show()
    assert [shown.list.item(row).text() for row in range(2)] == ["One & first", "Last"]
    shown.text.anchorClicked.emit(QUrl("2-last.md#far-down"))
    assert shown.list.currentRow() == 1
    assert shown.text.textCursor().block().text() == "Far down"
    qtbot.keyClicks(shown.find.words, "web break")
    assert shown.find.said.text() == "1 of 100"
    qtbot.keyClick(shown.find.words, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    assert shown.find.said.text() == "100 of 100"
    assert "The end" in shown.text.textCursor().block().text()
    assert (shown.list.currentRow(), len(shown.text.extraSelections())) == (1, 1)
    qtbot.keyClick(shown.find.words, Qt.Key.Key_Return)
    assert shown.find.said.text() == "1 of 100"
    assert (shown.list.currentRow(), len(shown.text.extraSelections())) == (0, 99)
    assert shown.isVisible()
    shown.find.words.setText("nowhere")
    assert shown.find.said.text() == "not found"
    assert not shown.open_chapter("nowhere")


def _place(shown: HelpWindow) -> tuple[str, int]:
    return shown.list.currentItem().text(), shown.text.verticalScrollBar().value()


def test_one_goes_back_through_what_was_read_and_on_again(qtbot: QtBot, tmp_path: Path) -> None:
    for number in (1, 2, 3):
        far = f"# Chapter {number}\n\n" + "Much.\n\n" * 99 + "## Far down\n\n" + "Much.\n\n" * 99
        (tmp_path / f"{number}-name{number}.md").write_text(far, encoding="utf-8")
    shown = HelpWindow(folder=tmp_path)
    qtbot.addWidget(shown)
    shown.show()
    shown.activateWindow()
    qtbot.waitUntil(shown.isActiveWindow)
    # The chapter that happened to be there at first was not read.
    shown.open_chapter("name2", "Far down")
    assert not shown.back.isEnabled()
    assert not shown.forward.isEnabled()
    # Keys read on though it is words that can be typed.
    assert shown.find.words.hasFocus()
    before = _place(shown)[1]
    qtbot.keyClick(shown.find.words, Qt.Key.Key_PageDown)
    qtbot.keyClick(shown.find.words, Qt.Key.Key_Down)
    assert _place(shown)[1] > before + shown.text.height() // 2
    shown.text.verticalScrollBar().setValue(777)
    shown.list.setCurrentRow(2)
    third = _place(shown)
    assert third[0] == "Chapter 3"
    shown.text.anchorClicked.emit(QUrl("1-name1.md#far-down"))
    far_down = _place(shown)
    assert far_down[1] > 777
    qtbot.keyClick(shown.text, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert _place(shown) == third
    shown.back.click()
    assert _place(shown) == ("Chapter 2", 777)
    shown.go_back()
    assert _place(shown) == ("Chapter 2", 777)
    assert not shown.back.isEnabled()
    qtbot.mouseClick(shown.text.viewport(), Qt.MouseButton.ForwardButton)
    assert _place(shown) == third
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.ForwardButton)
    assert _place(shown) == far_down
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.BackButton)
    assert _place(shown) == third
    # Words found in one chapter after the other are one way, which leads back at once.
    shown.find.words.setText("far down")
    for _ in range(2):
        shown.find.step(1)
    assert _place(shown) != third
    shown.go_back()
    assert _place(shown) == third
    # Somewhere new: what lay ahead is no more.
    shown.list.setCurrentRow(0)
    assert not shown.forward.isEnabled()
    shown.back.click()
    assert _place(shown) == third


def test_a_long_command_goes_on_below(qtbot: QtBot) -> None:
    shown = HelpWindow()
    qtbot.addWidget(shown)
    shown.show()
    shown.open_chapter("window")
    qtbot.wait(10)
    assert shown.text.horizontalScrollBar().maximum() == 0


@pytest.mark.parametrize("text", ["one\ntwo\nTwo", "two * two"])
def test_words_are_found_in_any_text_window(qtbot: QtBot, text: str) -> None:
    shown = TextWindow("A text", text)
    shown.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(shown)
    shown.find.words.setText("two")
    assert shown.find.said.text() == "1 of 2"
    assert len(shown.text.extraSelections()) == 2
