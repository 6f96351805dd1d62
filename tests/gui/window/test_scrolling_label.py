"""Sentences take the room they need, and no more than a picture can spare."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

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
