"""The form as a user meets it: type, see the fault, take it back, find, choose, add."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

import linesim
from gui.document import Document
from gui.form import FormView
from gui.form.editors import ChoiceEditor, LineEditor, SuggestingEditor, SwitchEditor
from gui.form.entries_page import EntriesPage
from gui.form.field_row import FieldRow
from gui.form.law_editor import LawEditor
from gui.form.meter_row import MeterRow

TEXT = """\
# the story
[bridge]
places = 21   # too few

[[stop]]
cause = "wrapper jam"
"""


@pytest.fixture
def document() -> Document:
    document = Document()
    document.new(TEXT, "line")
    return document


def row_of(form: FormView, name: str) -> FieldRow:
    form.show_field(name)
    page = form.page.detail if isinstance(form.page, EntriesPage) else form.page
    row = page.row_of(name)
    assert isinstance(row, FieldRow)
    return row


def line_of(form: FormView, name: str) -> QLineEdit:
    editor = row_of(form, name).editor
    assert isinstance(editor, LineEditor)
    return editor.line


def type_over(qtbot: QtBot, line: QLineEdit, text: str) -> None:
    line.selectAll()
    qtbot.keyClicks(line, text)


def test_a_fault_stands_at_the_field_as_it_is_typed_and_undo_takes_it_back(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    row = row_of(form, "bridge.places")
    line = line_of(form, "bridge.places")
    type_over(qtbot, line, "many")
    qtbot.waitUntil(lambda: row.fault.isVisible())
    assert "is text" in row.fault.text()
    assert 'places = "many"   # too few' in document.text
    assert form.faults.isVisible()
    assert row.put_back.isVisible()
    assert "21" in row.put_back.text()
    qtbot.keyClick(line, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert document.text == TEXT
    assert (line.text(), row.fault.isVisible(), row.put_back.isVisible()) == ("21", False, False)


def test_undo_takes_back_what_was_typed_a_moment_ago(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    line = line_of(form, "bridge.places")
    type_over(qtbot, line, "60")
    qtbot.keyClick(line, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.wait(300)
    assert (document.text, line.text()) == (TEXT, "21")
    qtbot.keyClick(line, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(
        line,
        Qt.Key.Key_Z,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    assert document.value("bridge.places") == 60


def test_undo_shows_what_it_took_back(form: FormView, document: Document) -> None:
    document.set_field("stop[0].people", 2)
    form.show_field("bridge.places")
    here = QApplication.focusWidget()
    document.undo()
    assert isinstance(form.page, EntriesPage)
    assert form.page.detail.name == "stop[0]"
    assert here is line_of(form, "bridge.places")


def test_an_emptied_field_means_its_default_again(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    line = line_of(form, "bridge.belt_speed_m_per_min")
    assert (line.text(), line.placeholderText()) == ("", "standard 30")
    type_over(qtbot, line, "45")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert document.value("bridge.belt_speed_m_per_min") == 45
    line.selectAll()
    qtbot.keyClick(line, Qt.Key.Key_Backspace)
    qtbot.keyClick(line, Qt.Key.Key_Tab)
    assert document.text == TEXT


def test_what_is_typed_is_not_written_over_while_it_means_the_same(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    line = line_of(form, "bridge.length_m")
    qtbot.keyClicks(line, "7.0")
    qtbot.waitUntil(lambda: document.value("bridge.length_m") == 7)
    assert line.text() == "7.0"


def test_the_file_s_value_is_put_back_by_its_button(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    row = row_of(form, "bridge.places")
    document.set_field("bridge.places", 60)
    qtbot.mouseClick(row.put_back, Qt.MouseButton.LeftButton)
    assert document.text == TEXT
    assert document.undo_words == "bridge: places"


def test_search_finds_by_help_and_unit_and_leads_to_the_field(qtbot: QtBot, form: FormView) -> None:
    form.document.set_field("bridge.belt_speed_m_per_min", 30)
    qtbot.keyClicks(form.search, "belt speed")
    assert form.stack.currentWidget() is form.results
    assert form.results.list.item(0).text().startswith("Bridge: belt speed = 30 m/min")
    qtbot.keyClick(form.search, Qt.Key.Key_Return)
    assert form.stack.currentWidget() is form.page
    line = line_of(form, "bridge.belt_speed_m_per_min")
    assert QApplication.focusWidget() is line
    qtbot.keyClicks(line, "38")
    assert line.text() == "38"
    qtbot.keyClicks(form.search, "zzz")
    assert form.results.list.count() == 0
    assert "No field" in form.results.words.text()


def test_a_law_changes_its_kind_and_its_figures(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    editor = row_of(form, "transfer.carry_s").editor
    assert isinstance(editor, LawEditor)
    editor.kind.setCurrentIndex(editor.kind.findData("lognormal"))
    editor.kind.activated.emit(editor.kind.currentIndex())
    assert document.value("transfer.carry_s") == {"law": "lognormal", "mean": 1.5, "sd": 0.5}
    assert set(editor.lines) == {"mean", "sd"}
    assert editor.picture.isVisible()
    type_over(qtbot, editor.lines["sd"], "x")
    row = row_of(form, "transfer.carry_s")
    qtbot.waitUntil(lambda: row.fault.isVisible())
    assert document.faults[0].field == "transfer.carry_s.sd"
    type_over(qtbot, editor.lines["sd"], "0.25")
    qtbot.waitUntil(lambda: not document.faults)
    assert document.scenario is not None
    assert document.value("transfer.carry_s")["sd"] == 0.25
    editor.kind.activated.emit(0)
    assert document.value("transfer.carry_s") is None


def test_figures_of_a_law_have_their_unit_on_each_line(form: FormView, document: Document) -> None:
    editor = row_of(form, "transfer.carry_s").editor
    assert isinstance(editor, LawEditor)
    law = {"law": "triangular", "low": 1.0, "mode": 2.0, "high": 4.0}
    document.set_field("transfer.carry_s", law)
    at_the_end = [editor._figures.itemAtPosition(row, 5) for row in (0, 2)]
    assert [each.widget().text() for each in at_the_end if each is not None] == ["s", "s"]


def test_a_choice_and_a_switch(qtbot: QtBot, form: FormView, document: Document) -> None:
    choice = row_of(form, "bridge.when_full").editor
    assert isinstance(choice, ChoiceEditor)
    assert choice.combo.currentText() == "standard: wait"
    choice.combo.setFocus()
    qtbot.keyClick(choice.combo, Qt.Key.Key_End)
    assert document.value("bridge.when_full") == "set_aside"
    switch = row_of(form, "pockets.interim_fingers").editor
    assert isinstance(switch, SwitchEditor)
    assert switch.box.isChecked()
    qtbot.keyClick(switch.box, Qt.Key.Key_Space)
    assert document.value("pockets.interim_fingers") is False


def test_a_wheel_changes_no_choice_it_only_passes_over(form: FormView, document: Document) -> None:
    choice = row_of(form, "bridge.when_full").editor
    assert isinstance(choice, ChoiceEditor)
    form.search.setFocus()
    wheel = QWheelEvent(
        QPointF(5, 5),
        QPointF(5, 5),
        QPoint(0, -120),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(choice.combo, wheel)
    assert document.text == TEXT


def test_a_second_wrapper_is_added_with_a_name_of_its_own_and_removed(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.show_field("wrapper")
    page = form.page
    assert isinstance(page, EntriesPage)
    assert not page.remove.isEnabled(), "a line has a wrapper"
    qtbot.mouseClick(page.add, Qt.MouseButton.LeftButton)
    assert document.scenario is not None
    assert [wrapper.name for wrapper in document.scenario.wrapper] == ["wrapper 1", "wrapper 2"]
    assert page.list.count() == 2
    assert page.detail.name == "wrapper[1]"
    qtbot.mouseClick(page.remove, Qt.MouseButton.LeftButton)
    assert len(document.data["wrapper"]) == 1
    document.undo()
    document.undo()
    assert document.text == TEXT


def test_carton_packers_are_added_to_none_and_to_a_plain_table(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.show_field("carton_packer")
    page = form.page
    assert isinstance(page, EntriesPage)
    qtbot.mouseClick(page.add, Qt.MouseButton.LeftButton)
    assert document.scenario is not None
    assert [packer.name for packer in document.scenario.carton_packer] == ["carton_packer"]
    document.set_text("[carton_packer] # ours\nrate_cartons_per_min = 9\n")
    assert document.value("carton_packer[0].rate_cartons_per_min") == 9
    document.set_field("carton_packer[0].rate_cartons_per_min", 10)
    assert document.text == "[carton_packer] # ours\nrate_cartons_per_min = 10\n"
    qtbot.mouseClick(page.add, Qt.MouseButton.LeftButton)
    packers = document.scenario.carton_packer
    assert [packer.name for packer in packers] == ["carton packer 1", "carton packer 2"]
    assert [packer.rate_cartons_per_min for packer in packers] == [10, 10]
    assert document.text.startswith("[[carton_packer]] # ours\n")
    qtbot.mouseClick(page.remove, Qt.MouseButton.LeftButton)
    assert [packer.name for packer in document.scenario.carton_packer] == ["carton packer 1"]


def test_a_group_of_the_crew_is_added_and_what_is_typed_stands_in_the_file(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    document.set_text("[crew]\nsize = 2\n")
    form.show_field("crew_group")
    page = form.page
    assert isinstance(page, EntriesPage)
    qtbot.mouseClick(page.add, Qt.MouseButton.LeftButton)
    assert page.list.count() == 1
    for field, text in (
        ("name", "by day"),
        ("number", "3"),
        ("can", "reels, rolls"),
        ("last_shift", "2"),
    ):
        type_over(qtbot, line_of(form, f"crew_group[0].{field}"), text)
    type_over(qtbot, line_of(form, "crew_group[0].wage_per_h"), "32.5")
    qtbot.waitUntil(lambda: bool(document.faults))
    assert {fault.field for fault in document.faults} == {"crew_group[0].wage_per_h"}
    assert "wages for an hour" in form.faults.text.text()
    document.set_field("money.wage_per_h", 28)
    assert document.faults == ()
    assert document.scenario is not None
    (group,) = document.scenario.crew_group
    assert (group.number, group.skills, group.last_shift) == (3, ("reels", "rolls"), 2)
    assert (group.wage_per_h, document.scenario.money.wage_per_h) == (32.5, 28)
    qtbot.mouseClick(page.remove, Qt.MouseButton.LeftButton)
    assert "crew_group" not in document.data


def test_known_causes_are_offered_and_bring_their_figures(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.show_field("stop")
    page = form.page
    assert isinstance(page, EntriesPage)
    menus = [a.menu() for a in page.add.menu().actions() if a.menu() is not None]
    offered = {action.text(): action for menu in menus for action in menu.actions()}
    assert set(offered) == set(linesim.scenario.KNOWN_CAUSES)
    offered["cutter knives"].trigger()
    assert document.data["stop"][1] == {"cause": "cutter knives"}
    assert document.faults == ()
    meter = next(row for row in page.detail.rows if isinstance(row, MeterRow))
    known = linesim.scenario.KNOWN_CAUSES["cutter knives"]
    assert meter.chosen in known
    assert document.data["stop"][1] == {"cause": "cutter knives"}, "looking changes nothing"
    meter.meter.setCurrentIndex(meter.meter.findData("every_clock_h"))
    meter.meter.activated.emit(meter.meter.currentIndex())
    assert document.value("stop[1].every_clock_h") == known[meter_of(known)]
    assert document.faults == ()
    cause = row_of(form, "stop[1].cause").editor
    assert isinstance(cause, SuggestingEditor)
    assert cause.combo.findText("wrapper jam") >= 0


def test_entries_change_places_with_their_comments(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    text = TEXT + '\n# from the log\n[[stop]]\ncause = "static"\n'
    document.new(text, "line")
    form.show_field("stop[1]")
    page = form.page
    assert isinstance(page, EntriesPage)
    assert (page.up.isEnabled(), page.down.isEnabled()) == (True, False)
    qtbot.mouseClick(page.up, Qt.MouseButton.LeftButton)
    assert [stop["cause"] for stop in document.data["stop"]] == ["static", "wrapper jam"]
    assert '# from the log\n[[stop]]\ncause = "static"' in document.text
    assert page.list.currentRow() == 0
    assert document.undo_words == "place of static"
    document.undo()
    assert document.text == text


def meter_of(known: dict[str, object]) -> str:
    return next(name for name in known if name.startswith("every_"))


def test_an_outfeed_is_there_or_not(qtbot: QtBot, form: FormView, document: Document) -> None:
    form.show_field("outfeed")
    page = form.page
    assert not isinstance(page, EntriesPage)
    assert not page.rows[0].isVisible()
    page.present.click()
    assert document.scenario is not None
    assert document.scenario.outfeed is not None
    assert page.rows[0].isVisible()


def test_a_contradiction_stands_on_top_with_links_to_all_it_is_about(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    document.set_field("unwind.webs", 7)
    assert "unwind: webs run together" in form.faults.text.text()
    assert "product: counting of sheets" in form.faults.text.text()
    form.faults.text.linkActivated.emit("field:product.counting")
    assert form.page.name == "product"  # type: ignore[union-attr]
    assert isinstance(QApplication.focusWidget(), QComboBox)


def test_the_text_is_edited_beside_the_form(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    form.tabs.setCurrentWidget(form.text)
    assert form.text.toPlainText() == TEXT
    form.text.setFocus()
    cursor = form.text.textCursor()
    cursor.setPosition(TEXT.index("21"))
    form.text.setTextCursor(cursor)
    qtbot.keyClicks(form.text, "x")
    qtbot.waitUntil(lambda: not document.is_readable)
    assert list(form.text.faults) == [3]
    assert form.text.textCursor().position() == TEXT.index("21") + 1
    form.tabs.setCurrentIndex(0)
    assert not row_of(form, "bridge.places").editor.isEnabled()
    form.faults.text.linkActivated.emit("line:3")
    assert form.tabs.currentWidget() is form.text
    assert form.text.textCursor().blockNumber() == 2
    qtbot.keyClick(form.text, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert document.text == TEXT
    assert form.text.toPlainText() == TEXT
    assert form.text.faults == {}


def test_where_it_is_narrow_the_list_of_parts_stands_before_the_fields(
    qtbot: QtBot, form: FormView
) -> None:
    form.resize(420, 700)
    sections = form.sections
    assert form.stack.isVisible()
    assert not sections.list.isVisible()
    qtbot.mouseClick(sections.back, Qt.MouseButton.LeftButton)
    assert sections.list.isVisible()
    assert not form.stack.isVisible()
    before = form.page.group.name
    qtbot.keyClick(sections.list, Qt.Key.Key_Down)
    assert sections.list.isVisible(), "arrows look, they do not choose"
    item = sections.list.item(0)
    qtbot.mouseClick(
        sections.list.viewport(),
        Qt.MouseButton.LeftButton,
        pos=sections.list.visualItemRect(item).center(),
    )
    assert form.stack.isVisible()
    assert form.page.group.name == "line" != before
    assert sections.back.text().endswith(item.text())
    form.resize(1000, 700)
    assert form.sections.list.isVisible()


def test_every_field_of_every_section_has_a_name_for_who_cannot_see_it(
    form: FormView, document: Document
) -> None:
    for group in linesim.scenario.field_groups():
        form.show_field(group.name)
        page = form.page.detail if isinstance(form.page, EntriesPage) else form.page
        for row in page.rows:
            if isinstance(row, FieldRow) and row.name:
                named = [
                    widget
                    for kind in (QLineEdit, QComboBox)
                    for widget in row.editor.findChildren(kind)
                    if widget.focusPolicy() != Qt.FocusPolicy.NoFocus
                ]
                assert all(widget.accessibleName() for widget in named), row.name
    assert document.text == TEXT, "looking at every field changes none"


def test_money_is_in_the_currency_that_the_line_names(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    row = row_of(form, "money.contribution_per_ream")
    assert row.unit.text() == "money/ream"
    type_over(qtbot, line_of(form, "money.currency"), "EUR")
    qtbot.waitUntil(lambda: document.scenario.money.currency == "EUR")
    assert row_of(form, "money.contribution_per_ream").unit.text() == "EUR/ream"
    spoken = line_of(form, "money.contribution_per_ream").accessibleName()
    assert spoken == "contribution of a ream, EUR/ream"
    assert row_of(form, "money.hours_per_year").unit.text() == "h/year"
