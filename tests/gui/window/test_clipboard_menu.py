"""Cut, copy and paste by the menu and by their keys, wherever the focus is."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDoubleSpinBox, QLineEdit, QTableWidgetItem, QWidget
from pytestqt.qtbot import QtBot

from gui.charts import ChartWidget
from gui.pages.answer_table import AnswerTableView
from gui.window import clipboard_menu
from gui.window.main_window import MainWindow
from linesim.report import AnswerTable, Column, Figure

CONTROL = Qt.KeyboardModifier.ControlModifier


def focus_on(monkeypatch: pytest.MonkeyPatch, widget: QWidget) -> None:
    monkeypatch.setattr(QApplication, "focusWidget", lambda: widget)


def test_what_has_the_focus_is_copied_and_pasted_into(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    clipboard = QApplication.clipboard()
    line, spin, fixed = QLineEdit("forty"), QDoubleSpinBox(value=7), QLineEdit("fixed")
    fixed.setReadOnly(True)
    table, chart = AnswerTableView(), ChartWidget()
    for widget in (line, spin, fixed, table, chart):
        qtbot.addWidget(widget)
    line.selectAll()
    focus_on(monkeypatch, line)
    clipboard_menu.cut()
    assert (line.text(), clipboard.text()) == ("", "forty")
    clipboard_menu.paste()
    assert line.text() == "forty"
    focus_on(monkeypatch, spin)
    clipboard_menu.select_all()
    clipboard_menu.copy()
    assert clipboard.text() == spin.text()
    fixed.selectAll()
    focus_on(monkeypatch, fixed)
    clipboard_menu.cut()
    clipboard_menu.paste()
    assert fixed.text() == "fixed"
    table.setRowCount(2)
    table.setColumnCount(2)
    table.setHorizontalHeaderLabels(["a\n%", "b"])
    for n in range(4):
        table.setItem(n // 2, n % 2, QTableWidgetItem(str(n)))
    focus_on(monkeypatch, table)
    clipboard_menu.copy()
    assert clipboard.text() == "a %\tb\n0\t1\n2\t3"
    table.setCurrentCell(1, 1)
    clipboard_menu.copy()
    assert clipboard.text() == "b\n3"
    clipboard_menu.select_all()
    clipboard_menu.copy()
    assert clipboard.text() == "a %\tb\n0\t1\n2\t3"
    column = Column("reams", "reams a week")
    table.show_table(AnswerTable("t", "T", (Column("a"), column), (("x", Figure(1234.5, 6.5)),)))
    table.setCurrentCell(-1, -1)
    table.clearSelection()
    clipboard_menu.copy()
    head, row = clipboard.text().splitlines()
    assert head.split("\t")[:2] == ["a", "reams [reams a week]"]
    assert row.split("\t")[:2] == ["x", "1234.5"]
    assert "\t6.5" in row
    table.setCurrentCell(0, 1)
    clipboard_menu.copy()
    assert clipboard.text().startswith("reams [reams a week]\t")
    focus_on(monkeypatch, chart)
    clipboard_menu.copy()
    assert not clipboard.image().isNull()
    # Where there is nothing to copy, nothing happens.
    focus_on(monkeypatch, QWidget())
    for act in (clipboard_menu.copy, clipboard_menu.paste, clipboard_menu.select_all):
        act()


def test_the_keys_of_the_menu_do_not_take_those_of_a_field(
    qtbot: QtBot, window: MainWindow
) -> None:
    window.activateWindow()
    search = window.form.search
    search.setFocus()
    QApplication.clipboard().setText("bridge")
    search.clear()
    qtbot.keyClick(search, Qt.Key.Key_V, CONTROL)
    assert search.text() == "bridge"
    search.selectAll()
    qtbot.keyClick(search, Qt.Key.Key_X, CONTROL)
    assert search.text() == ""
