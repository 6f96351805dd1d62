"""Sentences take the room they need, and no more than a picture can spare."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from gui.window.told import Told


def test_many_words_scroll_and_few_take_little(qtbot: QtBot) -> None:
    page = QWidget()
    qtbot.addWidget(page)
    told = Told("what happened")
    layout = QVBoxLayout(page)
    layout.addWidget(told)
    layout.addStretch(1)
    page.resize(500, 600)
    page.show()
    line = told.fontMetrics().lineSpacing()
    told.say("One sentence.")
    assert told.height() < 2 * line
    told.say("The knives stood for three minutes and the wrapper waited for them. " * 20)
    assert told.height() == max(4 * line, 100)
    assert told.verticalScrollBar().maximum() > 0
    page.resize(500, 1600)
    page.resize(520, 1600)
    assert told.height() > 8 * line
