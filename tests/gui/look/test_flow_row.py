"""A row of widgets gives each the room that it needs."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QWidget
from pytestqt.qtbot import QtBot

from gui.look import FlowRow, PlainLabel


def test_words_that_became_longer_out_of_sight_have_room_when_they_are_seen(qtbot: QtBot) -> None:
    pages, row, label = QStackedWidget(), FlowRow(), PlainLabel("6 stops")
    qtbot.addWidget(pages)
    row.add(label)
    pages.addWidget(row)
    pages.addWidget(QWidget())
    pages.resize(400, 100)
    pages.show()
    pages.setCurrentIndex(1)
    label.setText("1,132 stops")
    pages.setCurrentIndex(0)
    assert label.width() >= label.sizeHint().width()
