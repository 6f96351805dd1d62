"""Sentences take the room they need, and no more than a picture can spare."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from gui.look import line_px
from gui.window.scrolling_label import ScrollingLabel


def test_many_words_scroll_and_few_take_little(qtbot: QtBot) -> None:
    page = QWidget()
    qtbot.addWidget(page)
    label = ScrollingLabel("what happened")
    layout = QVBoxLayout(page)
    layout.addWidget(label)
    layout.addStretch(1)
    page.resize(500, 600)
    page.show()
    line = label.fontMetrics().lineSpacing()
    label.show_text("One sentence.")
    assert label.height() < 2 * line
    label.show_text("The knives stood for three minutes and the wrapper waited for them. " * 20)
    assert label.height() == max(4 * line, 60)
    assert label.verticalScrollBar().maximum() > 0
    page.resize(500, 1600)
    page.resize(520, 1600)
    assert label.height() > 8 * line


def test_no_line_is_longer_than_is_read_with_ease(qtbot: QtBot) -> None:
    label = ScrollingLabel("what happened")
    qtbot.addWidget(label)
    label.resize(4000, 100)
    label.show()
    label.show_text("The knives stood for three minutes and the wrapper waited for them. " * 8)
    assert label.label.width() == line_px(label) < 4000
    # As high as the words are in that width, not in that of the page.
    assert label.height() >= label.label.heightForWidth(line_px(label))
