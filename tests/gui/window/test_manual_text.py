"""Pictures in the manual: as wide as the lines, and charts in the colours of the window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtGui import QColor, QImage, QPalette, QTextCursor, QTextDocument, QTextFormat
from pytestqt.qtbot import QtBot

import linesim
from gui.look import palette_of
from gui.window.manual_text import ManualText

PICTURES = sorted((linesim.manual.FOLDER / "pictures").iterdir())


@pytest.fixture
def text(qtbot: QtBot) -> ManualText:
    made = ManualText(linesim.manual.FOLDER)
    qtbot.addWidget(made)
    return made


def picture(text: ManualText, name: str) -> QImage:
    found = text.loadResource(QTextDocument.ResourceType.ImageResource.value, QUrl(name))
    assert isinstance(found, QImage)
    assert not found.isNull()
    return found


@pytest.mark.parametrize("file", PICTURES, ids=lambda file: file.name)
def test_every_picture_is_drawn_and_fits(text: ManualText, file) -> None:
    drawn = picture(text, f"pictures/{file.name}")
    assert 300 < drawn.width() <= 80 * text.fontMetrics().averageCharWidth()


def test_a_chart_is_dark_in_a_dark_window(text: ManualText) -> None:
    name = "pictures/size-bridge-gain.svg"
    light = picture(text, name).pixelColor(5, 5)
    dark_one = QPalette()
    dark_one.setColor(QPalette.ColorRole.Base, "#1a1a1a")
    text.setPalette(dark_one)
    dark = picture(text, name).pixelColor(5, 5)
    assert light.lightnessF() > 0.8 > 0.3 > dark.lightnessF()


def test_nothing_is_fetched_from_elsewhere(text: ManualText) -> None:
    kind = QTextDocument.ResourceType.ImageResource.value
    for name in ("https://example.org/a.png", "file:///etc/passwd", "pictures/none.png"):
        assert text.loadResource(kind, QUrl(name)) is None


def test_a_command_and_what_it_says_are_set_apart(text: ManualText) -> None:
    text.show_chapters(
        ["Type\n\n```sh\nlinesim run\n```\n\n```text\nIt runs.\nWell.\n```\n\nEnd.\n"]
    )
    tops, block = [], text.document().begin()
    while block.isValid():
        if block.blockFormat().hasProperty(QTextFormat.Property.BlockCodeFence):
            tops.append(block.blockFormat().topMargin() > 0)
        block = block.next()
    assert tops == [True, True, False]


def test_links_are_told_by_more_than_colour_and_tables_have_quiet_lines(text: ManualText) -> None:
    text.show_chapters(["Read [the keys](keys.md) first.\n\n| a | b |\n| - | - |\n| 1 | 2 |\n"])
    document = text.document()
    cursor = QTextCursor(document)
    underlined = []
    for position in range(1, len("Read the keys first.") + 1):
        cursor.setPosition(position)
        underlined.append(cursor.charFormat().fontUnderline())
    assert underlined == 5 * [False] + 8 * [True] + 7 * [False]
    (table,) = document.rootFrame().childFrames()
    assert table.format().borderBrush().color() == QColor(palette_of(text).grid)
