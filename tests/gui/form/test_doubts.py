"""How sure a figure is: told beside it, stated, changed and taken out in one step each."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gui.document import Document
from gui.form import FormView
from gui.form.doubt_button import DoubtButton
from gui.form.doubt_dialog import DoubtDialog
from gui.form.editors import LineEditor
from gui.form.entries_page import EntriesPage
from gui.form.field_row import FieldRow
from gui.form.law_editor import LawEditor
from gui.form.meter_row import MeterRow
from gui.form.search import find

TEXT = """\
[bridge]
places = 21   # too few

[[stop]]
cause = "wrapper jam"
every_reams = { law = "exponential", mean = 400 }
restore_min = { law = "lognormal", mean = 0.9, sd = 0.7 }
doubt = [
  # by fit-stops
  { of = "every_reams", between = [300, 520], why = "the log", stops = 31, days = 14 },
  { of = "restore_min", between = [0.7, 1.3], stops = 31, days = 14 },
  { of = "restore_min.sd", between = [0.4, 1.6], correlation = 0.8, stops = 31, days = 14 },
]
"""
JAM = "stop[0].restore_min"


@pytest.fixture
def document() -> Document:
    document = Document()
    document.new(TEXT, "line")
    return document


def row_at(form: FormView, name: str) -> FieldRow | MeterRow:
    form.show_field(name)
    page = form.page.detail if isinstance(form.page, EntriesPage) else form.page
    row = page.row_of(name)
    assert row is not None
    return row


def law_at(form: FormView, name: str) -> LawEditor:
    row = row_at(form, name)
    law = row.editor if isinstance(row, FieldRow) else row.laws[3]
    assert isinstance(law, LawEditor)
    return law


def asked(button: DoubtButton) -> DoubtDialog:
    button.ask()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, DoubtDialog)
    return dialog


def shown(widgets: list[QWidget]) -> list[str]:
    return [w.text() for w in widgets if isinstance(w, DoubtButton) and w.isVisible()]


def places(form: FormView) -> DoubtButton:
    row = row_at(form, "bridge.places")
    assert isinstance(row, FieldRow)
    assert row.doubt is not None
    return row.doubt


def test_ends_stand_at_the_figures_they_are_of_and_nothing_where_nothing_is_doubted(
    form: FormView,
) -> None:
    law = law_at(form, JAM)
    assert {part: button.text() for part, button in law.doubts.items()} == {
        "": "0.7 – 1.3",
        "sd": "0.4 – 1.6",
    }
    assert law.doubts["sd"].x() == law.lines["sd"].x()
    assert "correlation with mean 0.8" in law.doubts["sd"].toolTip()
    interval = law_at(form, "stop[0].every_reams").doubts[""]
    assert (interval.text(), interval.toolTip()) == ("300 – 520", "the log\n31 stops, 14 days")
    assert len(shown(form.page.findChildren(DoubtButton))) == 3
    row_at(form, "bridge.places")
    assert shown(form.page.findChildren(DoubtButton)) == []


def test_a_doubt_has_no_row_and_is_not_found_as_a_field(form: FormView, document: Document) -> None:
    rows = [row for row in form.page.rows if isinstance(row, FieldRow)]  # type: ignore[union-attr]
    assert "doubt" not in [row.field.name for row in rows]
    assert [hit.name for hit in find(document, "doubt") if "doubt" in hit.name] == []


def test_ends_are_stated_by_keys_in_one_step_that_is_undone_and_made_again(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    button = places(form)
    line = row_at(form, "bridge.places").editor.line  # type: ignore[union-attr]
    qtbot.keyClick(line, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, DoubtDialog)
    assert not dialog.ok.isEnabled()
    qtbot.keyClicks(dialog.low, "20")
    qtbot.keyClicks(dialog.high, "24")
    qtbot.keyClicks(dialog.why, "counted twice")
    qtbot.keyClick(dialog.why, Qt.Key.Key_Return)
    assert button.text() == "20 – 24"
    assert document.scenario is not None
    assert document.scenario.bridge.doubt[0].model_dump(exclude_defaults=True) == {
        "of": "places",
        "between": (20, 24),
        "why": "counted twice",
    }
    assert document.undo_words == "bridge: places, known between"
    stated = document.text
    document.undo()
    assert (document.text, button.isVisible()) == (TEXT, False)
    document.redo()
    assert (document.text, button.isVisible()) == (stated, True)


def test_what_a_log_says_is_shown_and_kept_while_ends_are_changed(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    dialog = asked(law_at(form, JAM).doubts["sd"])
    assert dialog.origin.text() == "31 stops, 14 days, correlation with mean 0.8"
    assert dialog.low.selectedText() == "0.4"
    assert dialog.named.text() == "Wrapper jam: spread (sd) of time to restore"
    dialog.high.setText("1.5")
    dialog.ok.click()
    assert document.doubts(JAM)["sd"] == {
        "of": "restore_min.sd",
        "between": [0.4, 1.5],
        "correlation": 0.8,
        "stops": 31,
        "days": 14,
    }
    assert "# by fit-stops" in document.text


def test_a_doubt_is_removed_in_one_step_and_the_file_s_is_put_back(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    row = row_at(form, JAM)
    law = law_at(form, JAM)
    asked(law.doubts["sd"]).remove.click()
    assert list(document.doubts(JAM)) == [""]
    assert not law.doubts["sd"].isVisible()
    assert row.put_back.isVisible()
    row.put_back.click()
    assert document.doubts(JAM)["sd"]["between"] == [0.4, 1.6]
    assert not row.put_back.isVisible()
    document.undo()
    assert list(document.doubts(JAM)) == [""]
    document.undo()
    assert document.text == TEXT


def test_a_cancelled_question_changes_nothing(form: FormView, document: Document) -> None:
    dialog = asked(places(form))
    dialog.low.setText("1")
    dialog.reject()
    assert document.text == TEXT
    assert not document.can_undo


@pytest.mark.parametrize(
    ("name", "ends", "words"),
    [
        ("stop[0].doubt[2].between", (1.6, 0.4), "wrong order"),
        ("stop[0].doubt[2].between", (0.8, 1.6), "leaves out what is stated, 0.7"),
    ],
)
def test_a_fault_of_a_doubt_stands_at_its_figure(
    form: FormView, document: Document, name: str, ends: tuple[float, float], words: str
) -> None:
    row = row_at(form, JAM)
    document.set_field(name, list(ends))
    assert row.fault.isVisible()
    assert row.fault.text().startswith("▲ known between: ")
    assert words in row.fault.text()
    assert form.page.detail.fault.isHidden()  # type: ignore[union-attr]
    assert "wrapper jam: time to restore, known between" in form.faults.text.text()
    row_at(form, "bridge.places")
    form.faults.asked.emit(name)
    assert isinstance(form.page, EntriesPage)
    assert form.page.detail.isAncestorOf(QApplication.focusWidget())  # type: ignore[arg-type]


def test_a_fault_of_a_doubt_about_no_figure_stands_at_its_table(
    form: FormView, document: Document
) -> None:
    row_at(form, JAM)
    document.set_field("stop[0].doubt[2].of", "restore_mim.sd")
    assert "restore_min" in form.page.detail.fault.text()  # type: ignore[union-attr]


def test_a_figure_stated_anew_leaves_its_ends_alone_and_the_fault_is_told(
    qtbot: QtBot, form: FormView, document: Document
) -> None:
    document.set_doubt("bridge.places", {"between": [20, 24]})
    row = row_at(form, "bridge.places")
    assert isinstance(row.editor, LineEditor)  # type: ignore[union-attr]
    document.set_field("bridge.places", 60)
    assert "leaves out what is stated, 60" in row.fault.text()
    assert document.doubts("bridge.places")[""]["between"] == [20, 24]
    asked(places(form)).remove.click()
    assert (row.fault.isVisible(), document.faults) == (False, ())


def test_a_doubt_goes_with_its_figure_to_another_meter_and_with_its_law(
    form: FormView, document: Document
) -> None:
    row = row_at(form, "stop[0].every_reams")
    assert isinstance(row, MeterRow)
    row.meter.activated.emit(0)
    assert document.doubts("stop[0].every_running_h")[""]["between"] == [300, 520]
    assert document.faults == ()
    law = law_at(form, JAM)
    law.kind.activated.emit(law.kind.findData("exponential"))
    assert list(document.doubts(JAM)) == [""]
    assert document.faults == ()
    document.undo()
    document.undo()
    assert document.text == TEXT


def test_the_mean_of_a_law_without_such_a_figure_is_doubted_too(
    form: FormView, document: Document
) -> None:
    law = law_at(form, JAM)
    law.kind.activated.emit(law.kind.findData("uniform"))
    assert law.doubts[""].text() == "mean 0.7 – 1.3"
    assert law.doubts[""].isVisible()
    document.set_field("stop[0].doubt[2]", {"of": "restore_min.shape", "between": [1, 2]})
    assert law.doubts["shape"].text() == "shape 1 – 2"
    asked(law.doubts["shape"]).remove.click()
    assert document.faults == ()
