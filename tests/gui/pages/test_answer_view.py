"""An answer on screen: what its words and its tables keep of the figures."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

import linesim
from gui.pages.answer_view import AnswerView
from linesim.report import AnswerTable, Column, Figure

WORDS = "It gives 12.345 ± 0.678 reams more.", "Seed 1, 4 runs."
TABLE = AnswerTable(
    "points", "Points", (Column("name"), Column("h")), ((30 * "long ", Figure(12.345, 0.678)),)
)


@pytest.fixture
def view(qtbot: QtBot) -> AnswerView:
    made = AnswerView()
    qtbot.addWidget(made)
    made.show_answer(linesim.report.Answer("vary", "any", WORDS, (TABLE,)))
    made.show()
    return made


def test_words_have_one_decimal_and_the_rest_in_the_tip_but_tables_have_it(
    view: AnswerView,
) -> None:
    assert "It gives 12.3 ± 0.7 reams more." in view.words.toPlainText()
    assert "12.345 ± 0.678" in view.words.toolTip()
    _, table = view._tables["points"]
    name = table.item(0, 0)
    assert name is not None
    assert table.columnWidth(0) < table.fontMetrics().horizontalAdvance(name.text())
    assert name.text().strip() in name.toolTip()
    assert "Seed" not in view.words.toolTip()
    assert view.table is not None
    assert view.table.rows[0][1] == Figure(12.345, 0.678)


def test_rows_of_tables_follow_the_size_of_letters(view: AnswerView) -> None:
    _, table = view._tables["points"]
    before = table.rowHeight(0)
    font = view.font()
    font.setPointSizeF(1.5 * font.pointSizeF())
    view.setFont(font)
    assert table.rowHeight(0) > before
    assert table.rowHeight(0) >= table.fontMetrics().height()
