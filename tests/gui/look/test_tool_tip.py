"""Words that come from files are shown as they are written."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QTextDocument
from PySide6.QtGui import Qt as Texts
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from gui.look import PlainLabel, label_of, plain_tip
from gui.window.error_box import show_error

HOSTILE = "<img src='file:///etc/hostname'><b>jam</b> & more\nsecond line"


def test_a_tip_shows_markup_as_text() -> None:
    assert plain_tip("wrapper jam & more") == "wrapper jam & more"
    tip = plain_tip(HOSTILE)
    assert "<img" not in tip
    assert "<b>" not in tip
    assert "&lt;b&gt;jam" in tip


@pytest.mark.parametrize(
    "text", [HOSTILE, "jam &lt;b&gt;", "&lt;", "a\n<b>jam</b>", "&amp; &#60;b>", "plain & simple"]
)
def test_what_qt_takes_for_markup_is_ours_and_says_what_was_written(text: str) -> None:
    """A tip is markup only where its text was escaped; read as markup it is the text again."""
    tip = plain_tip(text)
    if not Texts.mightBeRichText(tip):
        assert tip == text
        return
    document = QTextDocument()
    document.setHtml(tip)
    assert document.toPlainText() == text


def test_labels_take_no_text_for_markup(qtbot: QtBot) -> None:
    field = QLineEdit()
    labels = (PlainLabel(HOSTILE), label_of(field, HOSTILE))
    row = QWidget()
    qtbot.addWidget(row)
    line = QHBoxLayout(row)
    for part in (*labels, field):
        line.addWidget(part)
    for label in labels:
        assert label.text() == HOSTILE
        assert label.textFormat() == Qt.TextFormat.PlainText
    assert QAccessible.queryAccessibleInterface(field).text(QAccessible.Text.Name)
    again = PlainLabel()
    qtbot.addWidget(again)
    again.setText(HOSTILE)
    # Read as markup the words would be fewer, and in a line less.
    assert again.sizeHint().width() > PlainLabel("jam & more second line").sizeHint().width()


def test_messages_take_no_text_for_markup(qtbot: QtBot) -> None:
    box = show_error(None, HOSTILE, HOSTILE)
    qtbot.addWidget(box)
    assert isinstance(box, QMessageBox)
    shown = [each for each in box.findChildren(QLabel) if each.text() == HOSTILE]
    assert [each.textFormat() for each in shown] == [Qt.TextFormat.PlainText]
