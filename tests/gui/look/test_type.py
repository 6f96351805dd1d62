"""A system without fonts."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtGui import QFontInfo, QFontMetrics
from PySide6.QtWidgets import QApplication, QPlainTextEdit
from pytestqt.qtbot import QtBot

from gui.document import Document
from gui.form.text_page import TextPage
from gui.look import PlainLabel, ensure_usable_font, use_text_size
from gui.window.text_window import TextPane


def test_a_system_with_fonts_keeps_its_own(qapp: QApplication) -> None:
    before = qapp.font()
    assert not ensure_usable_font(qapp)
    assert qapp.font() == before


def test_a_system_without_fonts_gets_ours(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = qapp.font()
    monkeypatch.setattr(QFontMetrics, "inFont", lambda *_: False)
    assert ensure_usable_font(qapp)
    assert qapp.font().family() == "DejaVu Sans"
    # A font for all takes those of single classes away.
    qapp.setFont(before)
    use_text_size(qapp)


@pytest.mark.parametrize("kind", [TextPane, lambda: TextPage(Document())])
def test_letters_of_columns_grow_with_all_others(
    qapp: QApplication, qtbot: QtBot, kind: Callable[[], QPlainTextEdit]
) -> None:
    text = kind()
    qtbot.addWidget(text)
    text.show()
    before = QFontInfo(text.font()).pixelSize()
    use_text_size(qapp, "for a wall")
    try:
        qapp.processEvents()
        assert QFontInfo(text.font()).pixelSize() == 2 * before
        assert QFontInfo(kind().font()).pixelSize() == 2 * before
    finally:
        use_text_size(qapp)


def test_a_label_has_room_for_the_letter_that_leads_to_its_control(qapp: QApplication) -> None:
    plain, led = PlainLabel("Your answer"), PlainLabel("&Your answer")
    assert led.sizeHint().width() > plain.sizeHint().width()
    assert led.minimumSizeHint().width() > plain.minimumSizeHint().width()
