"""Files that hold the wrong kind of thing: the form shows them and loses nothing."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

import linesim
from gui.document import Document
from gui.form import FormView
from gui.form.entries_page import EntriesPage
from gui.form.field_row import FieldRow

ODD = """\
stop = [1, 2]
wrapper = 5
outfeed = "x"
crew = 3
"strange key" = 4

[transfer]
carry_s = {}
pick_s = { law = "nope", mean = "a" }
place_s = { law = "empirical", values = ["a", [2]] }

[bridge]
when_full = 7
places = [1, 2]

[pockets]
interim_fingers = "yes"

[unwind]
stands_per_web = true

[[break]]
start_h = 2024-01-01
"""


def test_every_fault_and_every_section_can_be_looked_at(qtbot: QtBot) -> None:
    document = Document()
    document.new(ODD, "odd")
    view = FormView(document)
    qtbot.addWidget(view)
    view.show()
    assert len(document.faults) > 8
    for fault in document.faults:
        view.show_field(fault.field)
    for group in linesim.scenario.field_groups():
        view.show_field(group.name)
    assert document.text == ODD


@pytest.mark.parametrize(
    "name", ["crew.size", "stop[0].people", "bridge.places", "wrapper[0].name"]
)
def test_a_field_that_cannot_be_set_shows_again_what_stands_there(qtbot: QtBot, name: str) -> None:
    document = Document()
    document.new(ODD, "odd")
    view = FormView(document)
    qtbot.addWidget(view)
    view.show()
    view.show_field(name)
    page = view.page.detail if isinstance(view.page, EntriesPage) else view.page
    row = page.row_of(name)
    assert isinstance(row, FieldRow)
    row.editor.edited.emit(7)
    can_be_set = name == "bridge.places"
    assert document.value(name) == (7 if can_be_set else None)
    document.undo()
    assert document.text == ODD
