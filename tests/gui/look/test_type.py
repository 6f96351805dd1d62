"""A system without fonts."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication

from gui.look import PlainLabel, ensure_usable_font, use_text_size


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


def test_a_label_has_room_for_the_letter_that_leads_to_its_control(qapp: QApplication) -> None:
    plain, led = PlainLabel("Your answer"), PlainLabel("&Your answer")
    assert led.sizeHint().width() > plain.sizeHint().width()
    assert led.minimumSizeHint().width() > plain.minimumSizeHint().width()
