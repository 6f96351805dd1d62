"""Entries of a list as cells of a spreadsheet: copied, brought back, and what is told of faults."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.document import Document
from gui.form.block import block_of, pasted
from gui.form.entries_page import EntriesPage
from linesim.scenario import FieldGroup


def group(name: str) -> FieldGroup:
    return next(each for each in linesim.scenario.field_groups() if each.name == name)


def document(demo: str) -> Document:
    made = Document()
    made.open(linesim.scenario.find_scenario(demo))
    return made


@pytest.mark.parametrize(("demo", "name"), [("orders", "order"), ("short-bridge", "stop")])
def test_what_is_copied_and_pasted_changes_nothing(demo: str, name: str) -> None:
    line = document(demo)
    block = block_of(line, group(name))
    entries = line.data[name]
    assert len(block.splitlines()) == 1 + len(entries) > 2
    found = pasted(line, group(name), block)
    assert (found.faults, found.changes, found.changed, found.added) == ([], {}, 0, 0)
    # To a line without any of them they come as they are.
    bare = Document()
    bare.new(linesim.scenario.update(line.text, {name: None}))
    found = pasted(bare, group(name), block)
    assert found.added == len(entries)
    assert bare.set_fields(found.changes, "pasted")
    assert linesim.scenario.check_text(bare.text) == line.scenario


def test_a_name_that_is_known_changes_its_entry_others_are_added(qtbot: QtBot) -> None:
    line = document("orders")
    page = EntriesPage(line, group("order"))
    qtbot.addWidget(page)
    page.refresh()
    before, first = line.text, dict(line.data["order"][0])
    QGuiApplication.clipboard().setText(
        f"Name\treams to make (reams)\tDUE\n{first['name']}\t1234\t{first['due_h']}\n"
        "new one\t500\t20.5\n\t\t\n"
    )
    page.list.paste()
    assert page.list.said.text() == "Pasted: 1 entry added, 1 changed."
    assert line.data["order"][0] == {**first, "reams": 1234}
    assert line.data["order"][-1] == {"name": "new one", "reams": 500, "due_h": 20.5}
    assert not line.faults
    line.undo()
    assert line.text == before


def test_what_is_wrong_is_said_cell_by_cell_and_nothing_is_pasted(qtbot: QtBot) -> None:
    line = document("orders")
    page = EntriesPage(line, group("order"))
    qtbot.addWidget(page)
    page.refresh()
    before = line.text
    QGuiApplication.clipboard().setText("name\treams\tsize\nx\t1,5\tA4\ny\t12\tnix\n")
    page.list.paste()
    said = page.list.said.text()
    assert "Nothing was pasted" in said
    assert 'row 2, column 2: "1,5": is text; right would be: a whole number from 1' in said
    assert "row 3, column 3" in said
    for block, wrong in (
        ("name\treems\nx\t5", "row 1, column 2: “reems” is no field"),
        ("name\tname\nx\ty", "row 1, column 2: “name” stands there twice"),
        ("name\treams", "There is no row below"),
        ("", "There is no row below"),
    ):
        QGuiApplication.clipboard().setText(block)
        page.list.paste()
        assert wrong in page.list.said.text()
    assert "such as “reams to make [reams]”" in pasted(line, group("order"), "reems\nx").faults[0]
    assert line.text == before
    assert not line.can_undo


def test_no_more_than_a_list_may_hold() -> None:
    line = document("orders")
    rows = "\n".join(f"d{n}\t1" for n in range(group("holiday").most + 1))
    found = pasted(line, group("holiday"), f"name\tday\n{rows}")
    assert found.faults[0] == "There may be 200 entries; these would make more."
