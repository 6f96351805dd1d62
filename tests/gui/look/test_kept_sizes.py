"""Sizes that somebody gave are there the next time, on the screen at hand, until they are to go."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, QSize, Qt
from PySide6.QtGui import QScreen
from PySide6.QtWidgets import (
    QDialog,
    QLabel,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gui.look import KEPT, KeptColumns, WrappedHeader
from gui.look.kept_sizes import room_for
from gui.window.window_settings import WindowSettings

LONG = "words " * 30


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[WindowSettings]:
    kept = WindowSettings(remember=False)
    file = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
    monkeypatch.setattr(kept, "_settings", file)
    KEPT.keep_in(kept)
    yield kept
    KEPT.keep_in(WindowSettings(remember=False))


def dialog(qtbot: QtBot) -> QDialog:
    made = QDialog()
    qtbot.addWidget(made)
    made.resize(300, 200)
    KEPT.window(made)
    made.show()
    return made


def test_a_dialog_has_the_size_it_was_given(
    qtbot: QtBot, store: WindowSettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = dialog(qtbot)
    first.hide()
    assert KEPT.get("window/QDialog") == ""  # nobody has changed it
    first.show()
    first.resize(500, 400)
    first.close()
    again = dialog(qtbot)
    assert again.size() == QSize(500, 400)
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(400, 300))
    small = dialog(qtbot)
    assert (small.width(), small.height()) == (room_for(small).width(), room_for(small).height())
    KEPT.to_standard()
    assert again.size() == QSize(300, 200)
    again.close()
    assert dialog(qtbot).size() == QSize(300, 200)


def test_a_window_that_is_collected_is_not_looked_at(qtbot: QtBot, store: WindowSettings) -> None:
    """Python takes the parts of what it collects one by one; Qt tells of the rest meanwhile."""
    made = dialog(qtbot)
    made.resize(500, 400)
    [keeper] = [each for each in made.children() if type(each).__name__ == "_WindowSize"]
    vars(keeper).clear()
    with qtbot.captureExceptions() as raised:
        made.close()
    assert raised == []
    assert KEPT.get("window/QDialog") == ""


class Parts(QSplitter):
    """Two parts, two to one until somebody says otherwise."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Vertical)
        for _ in range(2):
            self.addWidget(QLabel())
        self.setHandleWidth(0)
        self.resize(100, 300)
        self.share()
        KEPT.arrange(self, self.share)
        KEPT.splitter(self, "parts")

    def share(self) -> None:
        if not KEPT.by_hand(self):
            self.setSizes([200, 100])


def test_parts_have_the_sizes_they_were_given(qtbot: QtBot, store: WindowSettings) -> None:
    first = Parts()
    qtbot.addWidget(first)
    first.show()
    assert first.sizes() == [200, 100]
    first.moveSplitter(80, 1)
    first.share()
    assert first.sizes() == [80, 220]
    again = Parts()
    qtbot.addWidget(again)
    again.show()
    again.share()
    assert again.sizes() == [80, 220]
    KEPT.to_standard()
    assert first.sizes() == again.sizes() == [200, 100]


class Table(QTableWidget):
    """One with a long and a short column."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(1, 2, parent)
        self.setHorizontalHeaderLabels(["a/b", LONG])
        self.resize(200, 200)
        self.columns = KeptColumns(self)
        self.columns.fit("some")


def test_columns_have_the_widths_they_were_given(qtbot: QtBot, store: WindowSettings) -> None:
    first = Table()
    qtbot.addWidget(first)
    first.show()
    first.columns.fit("some")
    letter = first.fontMetrics().averageCharWidth()
    usual = first.columnWidth(0)
    assert first.columnWidth(1) == 40 * letter
    # Words are not cut off beside empty room.
    first.resize(2000, 200)
    first.columns.fit("some")
    assert 40 * letter < first.columnWidth(1) < 2000 - usual
    first.resize(200, 200)
    first.columns.fit("some")
    assert store.get("sizes/columns/some/0 a|b") is None  # nobody has changed it
    first.setColumnWidth(0, 20 * letter)
    again = Table()
    qtbot.addWidget(again)
    assert again.columnWidth(0) == 20 * letter
    # Larger letters, wider columns; none wider than the screen.
    font = again.font()
    font.setPixelSize(2 * again.fontMetrics().height())
    again.setFont(font)
    again.columns.fit("some")
    assert again.columnWidth(0) == 20 * again.fontMetrics().averageCharWidth()
    first.setColumnWidth(0, 9000)
    first.columns.fit("some")
    assert first.columnWidth(0) == room_for(first).width()
    KEPT.to_standard()
    assert first.columnWidth(0) == usual
    assert store.get("sizes/columns/some/0 a|b") is None


def test_headings_are_broken_before_figures_are_out_of_sight(qtbot: QtBot) -> None:
    table = QTableWidget(1, 3)
    qtbot.addWidget(table)
    header = WrappedHeader(table)
    table.setHorizontalHeader(header)
    table.setHorizontalHeaderLabels(["change", 6 * "long heading ", "reams"])
    right = Qt.AlignmentFlag.AlignRight
    for column, text in enumerate((4 * "some words ", "26,000 ± 6,000", "19,000 ± 1,000")):
        table.setItem(0, column, QTableWidgetItem(text))
        table.item(0, column).setTextAlignment(right if column else Qt.AlignmentFlag.AlignLeft)
    columns = KeptColumns(table)
    table.show()
    table.resize(2000, 200)
    columns.fit("broken")
    one_line = header.height()
    letter = table.fontMetrics().averageCharWidth()
    table.resize(70 * letter, 200)
    columns.fit("broken")
    assert header.length() <= table.viewport().width()
    assert header.height() > 2 * one_line
    for column in (1, 2):
        assert table.columnWidth(column) >= table.sizeHintForColumn(column)
    # Narrower, a figure is broken before its interval, and nowhere else: then there is a bar.
    table.resize(10 * letter, 200)
    columns.fit("broken")
    assert header.length() > table.viewport().width()
    wide = table.fontMetrics().horizontalAdvance
    for column, text in ((1, "26,000"), (2, "19,000")):
        assert wide(text) < table.columnWidth(column) < table.sizeHintForColumn(column)
