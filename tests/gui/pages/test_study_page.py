"""The study pages as a person uses them: asked, watched, stopped, changed, taken away."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDoubleSpinBox, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

import linesim
from gui.document import Document
from gui.pages import StudyPage, run_controls
from gui.pages.name_choice import NameChoice
from gui.pages.spans_edit import SpansEdit
from gui.workers import WorkerPool

WAIT_MS = 60_000


@pytest.fixture
def document(cache: Path) -> Document:
    document = Document()
    document.open("short-bridge")
    return document


@pytest.fixture
def pool(qtbot: QtBot) -> Iterator[WorkerPool]:
    found = WorkerPool()
    yield found
    found.close()


def page_for(qtbot: QtBot, document: Document, pool: WorkerPool, study: str) -> StudyPage:
    page = StudyPage(document, pool, study)
    qtbot.addWidget(page)
    page.resize(1000, 700)
    page.show()
    page.settings.runs.setValue(3)
    page.settings.hours.setValue(1)
    return page


def press_start(qtbot: QtBot, page: StudyPage) -> None:
    qtbot.mouseClick(page.progress.start, Qt.MouseButton.LeftButton)


@pytest.mark.parametrize(
    ("study", "to_do"),
    [
        ("rank-stops", "Press Start:"),
        ("validate", "Press Start once “Production counts” is given:"),
        ("compare", "Press Start once a scenario to compare with is given:"),
        ("vary", "given:"),
    ],
)
def test_what_is_to_be_given_first_is_said(
    qtbot: QtBot, document: Document, pool: WorkerPool, study: str, to_do: str
) -> None:
    assert to_do in page_for(qtbot, document, pool, study)._nothing.words


def test_a_study_is_asked_watched_and_taken_away(
    qtbot: QtBot,
    document: Document,
    pool: WorkerPool,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    page = page_for(qtbot, document, pool, "vary")
    # The last answer may come before anybody looks for the first.
    shown: list[linesim.Answer] = []
    show = page.answer_view.show_answer
    monkeypatch.setattr(
        page.answer_view, "show_answer", lambda answer: (shown.append(answer), show(answer))
    )
    page.options.set_values({"fields": ("bridge.places=10,40",)})
    press_start(qtbot, page)
    assert page.busy
    assert not page.progress.start.isEnabled()
    assert page._nothing.isVisible()
    assert page._nothing.words.startswith("Running.")
    assert pool.under_way() == ["a study"]
    qtbot.waitUntil(lambda: page.answer_view.answer is not None, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert [each.facts["replications"] for each in shown] == [2, 3]
    answer = page.answer_view.answer
    assert answer is not None
    assert answer.facts["replications"] == 3
    assert pool.under_way() == []
    assert answer.words[0] in page.answer_view.words.toPlainText()

    # The same question asked of the library gives the same answer.
    assert document.scenario is not None
    asked = linesim.questions.ask(
        linesim.questions.Question("vary", {"fields": ("bridge.places=10,40",)}),
        {"": document.scenario},
        page.settings.settings(),
    )
    assert linesim.report.answer_json(asked) == linesim.report.answer_json(answer)

    page.exports.save_json(tmp_path / "answer.json")
    assert json.loads((tmp_path / "answer.json").read_text("utf-8"))["study"] == "vary"
    page.exports.save_csv(tmp_path / "tables")
    with (tmp_path / "tables" / "points.csv").open(encoding="utf-8", newline="") as file:
        assert next(csv.reader(file))[0] == "bridge.places [reams]"
    chart = page.answer_view.chart_view
    assert chart is not None
    chart.save_svg(tmp_path / "chart.svg")
    drawn = ElementTree.parse(tmp_path / "chart.svg").getroot()
    words = " ".join(drawn.itertext())
    assert answer.charts[0].title in words
    assert "Invented data" in words
    chart.copy_picture()
    picture = QGuiApplication.clipboard().image()
    assert picture.width() > 1000
    assert len({picture.pixelColor(x, 300).rgb() for x in range(picture.width())}) > 3

    # An edit makes the answer one of the line as it was; taking it back makes it good again.
    assert not page._stale.isVisible()
    document.set_field("bridge.places", 60)
    assert page._stale.isVisible()
    assert "as it was" in page._stale.text()
    document.undo()
    assert not page._stale.isVisible()


def test_a_stopped_study_goes_on_from_its_runs(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "vary")
    # Which field is asked about is seen before anybody starts.
    assert page.show_options.isChecked()
    page.options.set_values({"fields": ("bridge.places=10,40",)})
    page.settings.runs.setValue(60)
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: page.answer_view.answer is not None, timeout=WAIT_MS)
    qtbot.mouseClick(page.progress.stop, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    answer = page.answer_view.answer
    assert answer is not None
    assert answer.facts["stopped_early"] is True
    # What it rests on is said, and not what was asked for.
    done = answer.found.runs
    assert answer.facts["replications"] == done < 60
    said = f"Stopped at {done} of 60 runs of each variant; Start goes on from there."
    assert page.progress.status.text() == said
    page.settings.runs.setValue(3)
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert "finished runs found" in page.progress.found.text()
    assert page.answer_view.answer is not None
    assert page.answer_view.answer.facts["stopped_early"] is False


def test_what_cannot_be_asked_is_said_and_faults_stop_the_start(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "vary")
    page.options.set_values({"fields": ("bridge.palces=1:9:3",)})
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert "did you mean places" in page._error.text()
    assert page._nothing.words.startswith("No answer yet. Put right")
    # Parts and fields are called here as in the form.
    page._on_failed(page._task, "change_min in [[stop]]", "")
    assert "“Stop causes”" in page._error.text()
    document.set_field("crew.size", -1)
    assert not page.progress.start.isEnabled()
    document.undo()
    assert page.progress.start.isEnabled()


def test_what_is_not_set_yet_is_told_beside_the_settings_until_it_is(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "compare")
    assert page.others is not None
    page.show_options.setChecked(False)
    press_start(qtbot, page)
    assert "Add a scenario" in page.refusal
    assert page.others.isVisible()
    assert page.others.add(linesim.scenario.shipped_scenarios()["two-wrappers"])
    assert page.refusal == ""


def test_two_scenarios_are_compared_and_a_kept_study_is_opened(
    qtbot: QtBot, document: Document, pool: WorkerPool, tmp_path: Path
) -> None:
    page = page_for(qtbot, document, pool, "compare")
    assert page.others is not None
    press_start(qtbot, page)
    assert "Add a scenario" in page._error.text()
    (tmp_path / "bad.toml").write_text("crew = 3\n")
    assert not page.others.add(tmp_path / "bad.toml")
    assert "bad.toml" in page._error.text()
    assert page.others.add(linesim.scenario.shipped_scenarios()["two-wrappers"])
    page.settings.runs.setValue(2)
    page.settings.keep_in(tmp_path / "kept.sqlite")
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    answer = page.answer_view.answer
    assert answer is not None, page._error.text()
    assert answer.scenario == "short-bridge, two-wrappers"
    again = page_for(qtbot, document, pool, "compare")
    again.open_kept(tmp_path / "kept.sqlite")
    qtbot.waitUntil(lambda: not again.busy, timeout=WAIT_MS)
    assert again.answer_view.answer is not None, again._error.text()
    assert linesim.report.answer_json(again.answer_view.answer) == linesim.report.answer_json(
        answer
    )
    other = page_for(qtbot, document, pool, "vary")
    other.open_kept(tmp_path / "kept.sqlite")
    qtbot.waitUntil(lambda: not other.busy, timeout=WAIT_MS)
    assert "answers another question" in other._error.text()


def test_what_is_typed_freely_shows_what_could_be_typed(
    document: Document, pool: WorkerPool, qtbot: QtBot
) -> None:
    page = StudyPage(document, pool, "validate")
    qtbot.addWidget(page)
    for name in ("causes", "stations", "since", "until"):
        line = page.options.controls[name]
        assert isinstance(line, QLineEdit)
        shown = line.placeholderText()
        assert shown.startswith("such as ")
        assert line.minimumWidth() > line.fontMetrics().horizontalAdvance(shown)
    assert "since" not in page.options.values()


@pytest.mark.parametrize("study", list(linesim.questions.STUDIES))
def test_every_option_of_every_study_can_be_set(
    qtbot: QtBot, document: Document, pool: WorkerPool, study: str
) -> None:
    page = StudyPage(document, pool, study)
    qtbot.addWidget(page)
    kind = linesim.questions.STUDIES[study]
    assert set(page.options.controls) == set(kind.options.model_fields)
    assert linesim.questions.Question(study, page.options.values()) == linesim.questions.Question(
        study
    )


def test_the_fields_offered_are_those_of_the_scenario(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "vary")
    spans = page.options.controls["fields"]
    assert isinstance(spans, SpansEdit)
    row, other = spans.rows
    assert page.options.values() == {"fields": ("bridge.places=20:120:6",)}
    search = row.field.lineEdit()
    assert search is not None
    search.selectAll()
    qtbot.keyClicks(search, "half typ")

    def found(words: str) -> list[str]:
        other.field._search(words)
        return other.field.found

    assert "Wrapper jam" not in " ".join(found("rated speed"))
    assert len(found("wrapper rated speed")) == 1
    document.open("two-wrappers")
    assert found("wrapper rated speed") == ["Wrapper A: rated speed", "Wrapper B: rated speed"]
    assert found("no such word") == []
    assert row.field.currentText() == "half typ"

    # Found by a word of its help, and taken: values around what it is now, in its unit.
    search.selectAll()
    qtbot.keyClicks(search, "crew size")
    qtbot.keyClick(search, Qt.Key.Key_Return)
    assert row.field.name == "crew.size"
    now = document.scenario.crew.size if document.scenario is not None else 0
    assert row.start.value() <= now <= row.end.value()
    row.start.setValue(1)
    row.end.setValue(5)
    row.count.setValue(5)
    assert page.options.values() == {"fields": ("crew.size=1:5:5",)}
    page.options.set_values({"fields": ("crew.size=2,3,5",)})
    assert row.each.text() == "2, 3, 5"
    assert page.options.values() == {"fields": ("crew.size=2,3,5",)}


def test_settings_begin_as_the_question_needs_them_and_go_on_until_narrow(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    runs = {}
    for study in ("plan-orders", "rank-stops"):
        page = StudyPage(document, pool, study)
        qtbot.addWidget(page)
        runs[study] = page.settings.runs.value()
        declared = linesim.questions.RunSettings(replications=runs[study])
        assert page.settings.settings() == declared.settings()
        if study == "plan-orders":
            # Its own hours, unless it is told otherwise.
            assert page.settings.summary == "40 runs as long as the orders need, seed 1"
            assert not page.settings.hours.isEnabled()
            page.options.set_values({"find_hours": False})
            assert page.settings.summary == "40 runs of 168 h, seed 1"
            assert page.settings.hours.isEnabled()
    # Percentiles need more runs than means.
    assert runs == {"plan-orders": 40, "rank-stops": 20}
    assert page.settings.summary == "20 runs of 168 h, seed 1"
    page.settings.within.selectAll()
    qtbot.keyClicks(page.settings.within, "1.5")
    page.settings.most.setValue(60)
    settings = page.settings.settings()
    assert (settings.narrow, settings.most, settings.cluster) == (0.015, 60, None)
    made_by = page.settings.made_by
    made_by.setCurrentIndex(1)
    assert page.settings.settings().cluster == linesim.studies.LOCAL
    made_by.lineEdit().selectAll()
    qtbot.keyClicks(made_by.lineEdit(), " tcp://10.0.0.5:8786 ")
    assert page.settings.settings().cluster == "tcp://10.0.0.5:8786"


def test_an_output_to_reach_is_asked_for_not_nought(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "meet-target")
    wanted = page.options.controls["reams_per_week"]
    assert isinstance(wanted, QDoubleSpinBox)
    assert wanted.text() == "say how many"
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert "Good reams a week: say how many" in page._error.text()


def test_a_table_says_what_it_is_of(qtbot: QtBot, document: Document, pool: WorkerPool) -> None:
    page = page_for(qtbot, document, pool, "what-holds")
    tables = (
        linesim.report.AnswerTable(
            "stations", "Stations, a week of 168 h", (linesim.report.Column("a"),), ()
        ),
    )
    facts = {"replications": 2, "stopped_early": False}
    answer = linesim.report.Answer("what-holds", "line", ("words",), tables, (), facts)
    page.answer_view.show_answer(answer)
    shown = page.answer_view.tables.widget(0)
    words = linesim.report.unbroken("Stations, a week of 168 h")
    assert words in [label.text() for label in shown.findChildren(QLabel)]


def test_two_buffers_are_a_map_with_the_best_framed(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "size-buffers")
    page.settings.runs.setValue(2)
    values = {"second": "outfeed", "places": "21,60", "second_places": "10,30"}
    page.options.set_values(values)
    assert page.options.values().items() >= values.items()
    press_start(qtbot, page)
    qtbot.waitUntil(lambda: page.answer_view.answer is not None, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    answer = page.answer_view.answer
    assert answer is not None
    (chart,) = answer.charts
    assert isinstance(chart, linesim.report.Map)
    view = page.answer_view.chart_view
    assert view is not None
    assert view.plot is not None
    said = [spot.words for spot in view.plot.reading.spots]
    assert sum("now" in words for words in said) == sum("best" in words for words in said) == 1
    assert {table.name for table in answer.tables} >= {"map", "sizes"}


def test_a_part_is_chosen_from_those_that_the_scenario_has(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "plan-changes")
    choice = page.options.controls["cause"]
    assert isinstance(choice, NameChoice)
    assert document.scenario is not None
    assert choice.count() == 1 + sum(not stop.planned for stop in document.scenario.stop)
    page.options.set_values({"cause": "label printer"})
    assert page.options.values()["cause"] == "label printer"
    document.set_field("stop[0].restore_min", 4.0)
    assert page.options.values()["cause"] == "label printer"
    document.new()
    assert "cause" not in page.options.values()


@pytest.mark.parametrize("typed", ["1234567", "1,234,567", "0.05", "330000"])
def test_a_number_stands_as_it_was_typed_with_its_thousands_apart(qtbot: QtBot, typed: str) -> None:
    number = run_controls.number(0, 1e8, 7, "reams")
    qtbot.addWidget(number)
    number.selectAll()
    qtbot.keyClicks(number, typed)
    qtbot.keyClick(number, Qt.Key.Key_Return)
    value = float(typed.replace(",", ""))
    assert (number.value(), number.text()) == (value, f"{value:,.10g} reams")
    # What could be typed besides does not make it wide.
    assert number.sizeHint().width() < 14 * number.fontMetrics().horizontalAdvance("8 ")


def test_settings_of_a_question_and_of_its_runs_stand_in_one_column(
    qtbot: QtBot, document: Document, pool: WorkerPool
) -> None:
    page = page_for(qtbot, document, pool, "add-wrapper")
    page.show_options.setChecked(True)
    font = page.font()
    for pixels in (13, 20):
        font.setPixelSize(pixels)
        page.setFont(font)
        fields = [*page.options.controls.values(), page.settings.runs, page.settings.made_by]
        qtbot.waitUntil(lambda fields=fields: len({each.x() for each in fields}) == 1)
