"""Words that come from files are shown as they are written."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from gui.look import plain_tip
from gui.window.framed_style import FramedStyle

HOSTILE = "<img src='file:///etc/hostname'><b>jam</b> & more\nsecond line"


def test_a_tip_shows_markup_as_text() -> None:
    assert plain_tip("wrapper jam & more") == "wrapper jam & more"
    tip = plain_tip(HOSTILE)
    assert "<img" not in tip
    assert "<b>" not in tip
    assert "&lt;b&gt;jam" in tip


def test_labels_and_messages_take_no_text_for_markup(qtbot: QtBot, qapp: QApplication) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    style = FramedStyle()
    style.setParent(window)
    label, rich = QLabel(HOSTILE, window), QLabel("<b>ours</b>", window)
    rich.setTextFormat(Qt.TextFormat.RichText)
    window.show()
    box = QMessageBox(window)
    box.setText(HOSTILE)
    box.setModal(False)
    # The program gives its style before there are widgets; here others may be left over.
    for each in window.findChildren(QLabel):
        each.setStyle(style)
    box.show()
    formats = {each.textFormat() for each in box.findChildren(QLabel)}
    assert formats == {Qt.TextFormat.PlainText}
    assert label.textFormat() == Qt.TextFormat.PlainText
    assert rich.textFormat() == Qt.TextFormat.RichText
