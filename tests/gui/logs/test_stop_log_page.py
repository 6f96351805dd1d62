"""The page of a stop log as a person uses it: dropped, put right, fitted, written, taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from gui.document import LOGS, Document
from gui.logs import StopLogPage
from gui.pages import StudyPage
from gui.pages.file_edit import PlantTableEdit
from gui.work.tasks import TASKS
from gui.work.worker_main import error_text
from gui.workers import Task, WorkerPool

WAIT_MS = 60_000
LEFT = Qt.MouseButton.LeftButton
ROWS = [
    *(f"{8 + n // 6:02}:{n % 6 * 10:02};{2 + n % 3};wrapper;Verpacker klemmt" for n in range(24)),
    "09:05;4;outfeed;pallet missing",
    "10:07;4;outfeed;pallet missing",
    "11:02;4;outfeed;pallet missing",
    "10:01;-3;wrapper;Verpacker klemmt",
    "ten;3;wrapper;Verpacker klemmt",
]
TEXT = "day;t;Dauer min;Ort;Was\n" + "".join(f"02.03.2026;{row}\n" for row in ROWS)


class Silent:
    """A task's context that nobody hears of."""

    def progress(self, part: float | None, words: str = "") -> None: ...

    def partial(self, value: object) -> None: ...

    def cancelled(self) -> bool:
        return False


class HereAndNow:
    """Does in the next turn of the event loop what tasks have a process do."""

    def call(self, name: str, /, **arguments: Any) -> Task:
        task = Task()

        def work() -> None:
            try:
                task.end_finished(TASKS[name](Silent(), **arguments))
            except Exception as error:
                task.end_failed(error_text(error), "")

        QTimer.singleShot(0, work)
        return task


def page_with(qtbot: QtBot, pool: Any, resamples: int = 8) -> StopLogPage:
    document = Document()
    document.open("short-bridge")
    page = StopLogPage(document, pool)
    page.options.resamples = resamples
    qtbot.addWidget(page)
    page.resize(1000, 760)
    page.show()
    return page


@pytest.fixture(autouse=True)
def _own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.fixture
def page(qtbot: QtBot) -> StopLogPage:
    return page_with(qtbot, HereAndNow())


def drop(page: StopLogPage, *paths: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    action = Qt.DropAction.CopyAction
    page.dropEvent(QDropEvent(QPointF(9, 9), action, data, LEFT, Qt.KeyboardModifier.NoModifier))


def choose(page: StopLogPage, field: str, heading: str) -> None:
    choice = page.columns.choices[field]
    choice.setCurrentIndex(choice.findData(heading))
    choice.activated.emit(choice.currentIndex())


def test_from_a_dropped_log_into_the_scenario_and_back(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    log = tmp_path / "stops.csv"
    log.write_text(TEXT, encoding="utf-8")
    document = page._document
    before = document.text
    assert page.nothing.isVisible()
    drop(page, log)

    def known() -> bool:
        return not page.work.busy

    qtbot.waitUntil(known, timeout=WAIT_MS)
    # Headings that nobody knows are asked for, all at once, and chosen in place.
    assert "no column is known as start" in page.error.text()
    assert "no column is known as cause" in page.error.text()
    assert page.columns.choices["minutes"].currentData() == "Dauer min"
    assert not page.run.start.isEnabled()
    for field, heading in (("start", "t"), ("station", "Ort"), ("cause", "Was")):
        choose(page, field, heading)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert page.error.text() == ""
    assert page.counts.text().startswith("29 rows = 27 stops used + 2 left out")
    reasons = [page.tabs.left_out.item(row, 1).text() for row in range(2)]
    assert reasons == ["length below 0", "start cannot be read: 'ten'"]
    # A cause in the plant's words is new, until the user says what it means.
    assert page.tabs.causes.item(0, 4).text() == "new to the scenario"
    choice = page.tabs.causes.choices[0]
    choice.setCurrentText("wrapper jam")
    choice.activated.emit(choice.currentIndex())
    qtbot.waitUntil(known, timeout=WAIT_MS)
    # What is new still waits for a look, and so stands above what is known now.
    causes = page.tabs.causes
    shown = [(causes.item(row, 0).text(), causes.item(row, 4).text()) for row in range(2)]
    assert shown == [("pallet missing", "new to the scenario"), ("Verpacker klemmt", "")]

    qtbot.mouseClick(page.run.start, LEFT)
    qtbot.waitUntil(lambda: page.work.fitted is not None, timeout=WAIT_MS)
    assert page.tabs.currentWidget() is page.tabs.fits
    table = page.tabs.fits.table
    assert [table.item(row, 0).text() for row in range(2)] == ["wrapper jam", "pallet missing"]
    for width in (480, 1080, 1280, 1900):
        # Beside the pictures it stands where all its columns have room; above them they are broken.
        page.resize(width, 900)
        for _ in range(3):
            QApplication.processEvents()
        qtbot.waitUntil(lambda: table.horizontalScrollBar().maximum() == 0), width
    over_time = page.tabs.fits.views["over-time"].chart
    assert over_time is not None
    assert "Laplace test" in over_time.caption
    intervals = page.tabs.fits.views["intervals"]
    qtbot.keyClick(intervals, Qt.Key.Key_Right)
    assert intervals.accessibleDescription().startswith("value of the log, interval: ")

    page.save_all(tmp_path / "saved")
    names = {path.name for path in (tmp_path / "saved").iterdir()}
    assert {"intervals.csv", "left-out.csv", "wrapper-jam-over-time.svg"} <= names
    page.save_all(log / "no folder")
    assert "could not be written" in page.error.text()

    table.item(1, 0).setCheckState(Qt.CheckState.Unchecked)
    qtbot.mouseClick(page.write, LEFT)
    assert page.written.text().startswith(f"Written into {document.name}: 1 cause,")
    assert document.scenario is not None
    jam = next(stop for stop in document.scenario.stop if stop.cause == "wrapper jam")
    assert jam.note.startswith("fitted to 24 stops of stops.csv, 2026-03-02 to 2026-03-02")
    assert {jam.meter, "restore_min"} < {doubt.of for doubt in jam.doubt}
    assert jam.doubt[0].stops == 24
    assert not [stop for stop in document.scenario.stop if stop.cause == "pallet missing"]
    assert document.undo_words == "fits of stops.csv"
    # The meter is another one now, so these fits cannot be written a second time ...
    assert not page.write.isEnabled()
    document.undo()
    assert document.text == before
    assert page.write.isEnabled()
    # What was taken back is no longer said to be written.
    assert page.written.isHidden()
    page.save_all(tmp_path / "again")
    document.set_field("bridge.places", 90)
    # Files stay written, whatever becomes of the scenario.
    assert page.written.text().endswith(f"written to {tmp_path / 'again'}.")
    assert page.written.isVisible()

    # ... and the next log with these headings needs no telling.
    page.open(log)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert page.columns.from_last_time.isVisible()
    assert page.columns.choices["cause"].currentData() == "Was"
    qtbot.mouseClick(page.columns.forget, LEFT)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert "no column is known as cause" in page.error.text()


def test_a_fit_runs_elsewhere_and_can_be_stopped(qtbot: QtBot, tmp_path: Path) -> None:
    log = tmp_path / "stops.csv"
    head = TEXT.replace("day;t;Dauer min;Ort;Was", "date;start;min;station;cause")
    log.write_text(head, encoding="utf-8")
    pool = WorkerPool()
    page = page_with(qtbot, pool, resamples=100_000)
    page.open(log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    qtbot.mouseClick(page.run.start, LEFT)
    assert page.work.fitting
    qtbot.mouseClick(page.run.stop, LEFT)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert page.work.fitted is None
    assert "nothing was fitted" in page.run.status.text()
    pool.close()


def test_two_logs_dropped_together_are_one(qtbot: QtBot, page: StopLogPage, tmp_path: Path) -> None:
    """What the second changes is told, and both stand behind what is written."""
    logs = tmp_path / "may.csv", tmp_path / "june.csv"
    for log, month in zip(logs, (5, 6), strict=True):
        rows = [
            f"2026-0{month}-01 {h:02}:0{m};4;wrapper;wrapper jam" for h in (8, 9) for m in (1, 7)
        ]
        log.write_text("start;min;station;cause\n" + "\n".join(rows) + "\n", encoding="utf-8")
    drop(page, *logs)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert page.file.text() == "may.csv and 1 more"
    assert page.counts.text().startswith("8 rows = 8 stops used")
    qtbot.mouseClick(page.run.start, LEFT)
    qtbot.waitUntil(lambda: page.work.fitted is not None, timeout=WAIT_MS)
    assert "more or less often in june.csv than before" in page.tabs.notes.toPlainText()
    qtbot.mouseClick(page.write, LEFT)
    scenario = page._document.scenario
    assert scenario is not None
    jam = next(stop for stop in scenario.stop if stop.cause == "wrapper jam")
    assert jam.note.startswith(
        "fitted to 8 stops of may.csv and june.csv, 2026-05-01 to 2026-06-01"
    )
    # A fault says in which of them it is.
    logs[1].write_text("when;min;cause\n1;2;3\n", encoding="utf-8")
    page.open(*logs)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert "june.csv: line 1: start: no column is known as start" in page.error.text()


def test_counts_of_several_files_stand_with_semicolons_between(
    page: StopLogPage, tmp_path: Path
) -> None:
    assert page.options.settings().production == ()
    files = tmp_path / "may.csv", tmp_path / "june.csv"
    page.options.production.line.setText(f"{files[0]}; {files[1]};")
    assert page.options.settings().production == files
    assert page.options.reading({}, {}, {}).counts == files


def test_a_long_list_of_rows_left_out_does_not_make_the_page_higher(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    """It stands in a tab with a bar of its own: what is below the tabs was out of sight."""
    log = tmp_path / "stops.csv"
    log.write_text(TEXT.replace("t;Dauer min;Ort;Was", "start;min;station;cause"), "utf-8")
    drop(page, log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    before = page.tabs.sizeHint().height()
    dirty = "".join(f"02.03.2026;ten;{n};wrapper;wrapper jam\n" for n in range(60))
    log.write_text(log.read_text("utf-8") + dirty, "utf-8")
    drop(page, log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert page.tabs.left_out.rowCount() >= 60
    assert page.tabs.sizeHint().height() < before + 200


def test_what_is_no_log_is_said(qtbot: QtBot, page: StopLogPage, tmp_path: Path) -> None:
    wrong = tmp_path / "picture.csv"
    wrong.write_bytes(b"\x89PNG\x00\x01\x02\x03")
    page.open(wrong)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert "is neither text nor a workbook" in page.error.text()
    assert not page.run.start.isEnabled()
    assert not page.write.isEnabled()
    page.options.since.setText("soon")
    page.options.since.editingFinished.emit()
    assert "'soon' is no date" in page.error.text()


def test_what_a_log_leaves_open_is_told_in_place(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    """A machine that is no station, a cause that may be the line's own, dates either way round."""
    log = tmp_path / "stops.csv"
    rows = [f"03/0{d}/2026 0{h}:00;4;Packer L3;splcie" for d in (4, 5) for h in range(6, 10)]
    log.write_text("start;min;machine;cause\n" + "\n".join(rows) + "\n", encoding="utf-8")
    page.open(log)

    def known() -> bool:
        return not page.work.busy

    qtbot.waitUntil(known, timeout=WAIT_MS)
    table = page.tabs.causes
    assert table.item(0, 4).text() == "splice? Choose that, or its own name again"
    # A chosen station, and its own name for the cause: a cause of its own, at that station.
    station = table.cellWidget(0, 2)
    assert isinstance(station, QComboBox)
    station.setCurrentIndex(station.findData("wrapper"))
    station.activated.emit(station.currentIndex())
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert table.item(0, 2).text() == "wrapper"
    assert table.cellWidget(0, 2) is None
    table.choices[0].activated.emit(0)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert table.item(0, 4).text() == "new to the scenario"

    def months() -> set[int]:
        look = page.work.look
        assert look is not None
        assert look.matched is not None
        return {stop.start.month for stop in look.matched.log.stops}

    assert months() == {4, 5}
    assert "If that is wrong" in page.tabs.notes.toPlainText()
    dates = page.options.dates
    dates.setCurrentIndex(dates.findData("mdy"))
    dates.activated.emit(dates.currentIndex())
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert months() == {3}
    # All of it is known the next time, until it is forgotten.
    dates.setCurrentIndex(0)
    page.open(log)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert months() == {3}
    assert "Machines as you told them last time" in page.columns.from_last_time.text()
    qtbot.mouseClick(page.columns.forget, LEFT)
    qtbot.waitUntil(known, timeout=WAIT_MS)
    assert months() == {4, 5}
    assert table.item(0, 4).text().startswith("splice?")


def test_a_cause_without_a_tick_says_why(qtbot: QtBot, page: StopLogPage, tmp_path: Path) -> None:
    log = tmp_path / "stops.csv"
    rows = [
        f"13.03.2026 {h:02}:{m:02};4;wrapper;wrapper jam" for h in (8, 9) for m in range(0, 60, 9)
    ]
    rows += [f"13.03.2026 {h}:05;4;unwind;web break" for h in range(10, 20)]
    rows += ["13.03.2026 21:00;4;wrapper;lightning", "13.03.2026 22:00;4;;police"]
    log.write_text("start;min;station;cause\n" + "\n".join(rows) + "\n", encoding="utf-8")
    page.open(log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    qtbot.mouseClick(page.run.start, LEFT)
    qtbot.waitUntil(lambda: page.work.fitted is not None, timeout=WAIT_MS)
    fits = page.tabs.fits
    words = fits.not_ticked.text()
    assert fits.not_ticked.isVisible()
    assert "police: The log does not tell its station." in words
    # As the form calls the part, not as the file does.
    assert "The line makes these stops by itself; they are set in “Web path”." in words
    assert "[web_path]" not in page.tabs.notes.toPlainText()
    assert page.tabs.notes.toPlainText().startswith("stops.csv: 26 rows")
    assert page.tabs.isTabEnabled(page.tabs.indexOf(page.tabs.measure))
    assert "what each doubt makes at most" in page.tabs.measure_words.text()
    assert "wrapper jam" not in words
    # A single stop is written, too: left out, it would never happen.
    assert {fit.matched.cause for fit in fits.chosen} == {"wrapper jam", "lightning"}


def test_a_counter_is_asked_about_only_where_the_log_has_one(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    page.show_options.setChecked(True)
    assert not page.options.stands.isVisible()
    log = tmp_path / "stops.csv"
    rows = "".join(f"{10 + 2 * n};4;wrapper;wrapper jam\n" for n in range(6))
    log.write_text("hour meter;min;station;cause\n" + rows, encoding="utf-8")
    page.open(log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    choose(page, "counter", "hour meter")
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert page.options.stands.isVisible()
    assert page.options.unit.isVisible()
    assert page.options.began.isVisible()
    choose(page, "counter", "")
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    assert not page.options.stands.isVisible()


def test_log_and_counts_are_chosen_once_for_all_pages(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    log, counts, other = (tmp_path / name for name in ("stops.csv", "counts.csv", "other.csv"))
    for file in (log, other):
        file.write_text(TEXT, encoding="utf-8")
    document = page._document
    page.open(log)
    page.options.set_production(counts)
    pool = WorkerPool()
    belief = StudyPage(document, pool, "validate")
    qtbot.addWidget(belief)
    assert belief.options.values() == {"against": str(counts), "log": str(log)}
    # Chosen there, read here.
    control = belief.options.controls["log"]
    assert isinstance(control, PlantTableEdit)
    control.line.setText(str(other))
    control.told.emit()
    qtbot.waitUntil(lambda: page.work.paths == (other,), timeout=WAIT_MS)
    assert page.file.text() == "other.csv"
    # More than can be believed at once are not quietly one of them.
    page.open(log, other)
    assert belief.options.values() == {"against": str(counts)}
    assert control.line.placeholderText() == "one of the 2 chosen"
    # Each scenario keeps its own.
    document.open("two-wrappers")
    page.open(other)
    kept = document.plant_tables.as_text()
    document.open("short-bridge")
    assert document.plant_tables.of(LOGS) == (log, other)
    again = Document()
    again.open("two-wrappers")
    again.plant_tables.restore(kept)
    assert again.plant_tables.of(LOGS) == (other,)
    again.plant_tables.restore("no such text")
    pool.close()


def test_what_is_remarked_stays_in_sight_where_the_window_is_made_narrower(
    qtbot: QtBot, page: StopLogPage, tmp_path: Path
) -> None:
    log = tmp_path / "stops.csv"
    long = "the second pallet lift on the operator side does not come up when asked"
    log.write_text(
        f"start;min;station;cause\n2026-03-02 08:00;4;outfeed;{long}\n", encoding="utf-8"
    )
    page.resize(1900, 900)
    page.open(log)
    qtbot.waitUntil(lambda: not page.work.busy, timeout=WAIT_MS)
    table = page.tabs.causes
    assert table.columnWidth(0) > table.fontMetrics().horizontalAdvance(long)
    page.resize(1000, 900)
    qtbot.waitUntil(lambda: table.width() < 1000)
    qtbot.waitUntil(lambda: table.horizontalScrollBar().maximum() == 0)
