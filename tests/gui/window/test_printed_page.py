"""What is printed and saved of the window: a page about the line, without any widget."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QSize, QTimer
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.lessons import LessonsPage
from gui.logs import StopLogPage
from gui.look import DARK, LIGHT, qt_palette
from gui.pages import StudyPage
from gui.window import exports
from gui.window.main_window import MainWindow
from gui.window.page_composer import PageComposer
from gui.window.paper_text import print_text
from gui.window.printed_page import PAGE, PrintedPage, paint_page, pdf_bytes, png_bytes
from gui.window.report_dialog import ReportDialog
from gui.work.tasks import TASKS
from gui.workers import Task

RUN_MS = 90_000


def composed(window: MainWindow) -> PrintedPage | None:
    return PageComposer(window.document, window.shown, window.pages).page()


def page(window: MainWindow) -> PrintedPage:
    found = composed(window)
    assert found is not None
    return found


def test_the_page_says_what_it_is_and_what_it_is_not(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    found = page(window)
    scenario = window.document.scenario
    assert scenario is not None
    assert found.title == scenario.line.name
    assert found.words == ("Run no. 0 of 0.5 h of simulated time, seed 1.",)
    now = window.pages.shift.headline.now
    assert now is not None
    glance = linesim.report.glance(now)
    figures = [(each.name, each.value) for each in glance.figures]
    assert found.figures == (*figures, ("holds the line", glance.holds))
    assert "95 % interval" in found.basis
    assert set(linesim.report.CAUTIONS) <= set(found.notes)
    assert linesim.report.INVENTED in found.notes
    assert f"linesim {linesim.__version__}, from mine.toml." in found.notes
    assert len(found.drawings) == 2
    # Below the strip the gap by cause, as on screen.
    painted: list[object] = []
    monkeypatch.setattr(window.pages.shift.gap, "print_into", lambda *_: painted.append("gap"))
    image = QImage(PAGE, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    found.drawings[1][1](painter, QSize(800, 300))
    painter.end()
    assert painted == ["gap"]
    monkeypatch.setattr(type(window.pages.shift), "told_story", "All of it is told.")
    assert "All of it is told." in page(window).words


def test_the_page_tells_of_the_stop_the_stretch_and_the_state_of_the_file(
    qtbot: QtBot, window: MainWindow
) -> None:
    canvas = window.pages.shift.strip.canvas
    stop = linesim.scenario.ForcedStop(station="wrapper", at_h=0.2, minutes=6, cause="trial")
    window.runs.force((stop,))
    qtbot.waitUntil(lambda: window.shown.disturbance is not None, timeout=RUN_MS)
    canvas.look_at(canvas.window_of_time.showing(600 * 10**9, 900 * 10**9))
    told = " ".join(page(window).words)
    assert "(trial)" in told
    assert told.endswith("The strip shows 0:10:00 to 0:20:00 of it.")
    window.runs.take_out()
    qtbot.waitUntil(lambda: window.shown.disturbance is None, timeout=RUN_MS)
    window.document.set_field("bridge.places", -3)
    assert "The scenario has faults" in " ".join(page(window).words)
    window.pages.shift.strip.show_all()


def test_what_was_fitted_to_a_log_is_offered_to_the_report(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.pages.go_to("fit-stops")
    log_page = window.pages.current
    assert isinstance(log_page, StopLogPage)
    fits: Any = SimpleNamespace(log=SimpleNamespace(name="stops.csv"))
    monkeypatch.setattr(log_page.work, "fitted", SimpleNamespace(fits=fits))
    given: list[Any] = []
    monkeypatch.setattr(window.pool, "call", lambda _, **asked: given.append(asked["fits"]))
    monkeypatch.setattr(window.exports, "_writing", lambda *_: None)
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: tmp_path / "report.pdf")
    offered: list[tuple[str, bool]] = []

    def ticked(wanted: bool) -> None:
        def answer(dialog: ReportDialog) -> bool:
            offered.append((dialog.fits.text(), dialog.fits.isChecked()))
            dialog.fits.setChecked(wanted)
            return True

        monkeypatch.setattr(ReportDialog, "exec", answer)
        window.exports.ask_report()

    ticked(True)
    ticked(False)
    assert given == [fits, None]
    assert offered == [("How well the stops of stops.csv are fitted", True)] * 2
    window.pages.go_to("shift")


def test_the_page_of_a_lesson_has_its_question_and_no_truth_before_an_answer(
    qtbot: QtBot, window: MainWindow
) -> None:
    window.pages.go_to("lessons")
    lessons = window.pages.current
    assert isinstance(lessons, LessonsPage)
    attempt = lessons.attempt
    assert attempt is not None
    qtbot.waitUntil(lambda: attempt.quiet is not None, timeout=RUN_MS)
    asked = page(window)
    assert asked.title == attempt.lesson.title
    assert asked.words[-1] == attempt.lesson.asks
    assert asked.figures == linesim.report.lesson_figures(attempt.lesson, attempt.scenario)
    assert f"from {attempt.path.name}." in asked.notes[-1]
    assert len(asked.drawings) == 1
    ink = QImage(QSize(800, 300), QImage.Format.Format_RGB32)
    ink.fill(QColor("white"))
    painter = QPainter(ink)
    asked.drawings[0][1](painter, ink.size())
    painter.end()
    assert any(ink.pixelColor(x, 150) != QColor("white") for x in range(0, 800, 3))
    attempt.commit(1.0, window.pool)
    qtbot.waitUntil(lambda: attempt.truth is not None, timeout=RUN_MS)
    told = page(window)
    assert len(told.drawings) == 2
    truth = attempt.truth
    assert truth is not None
    assert set(truth.sum.steps) < set(told.words)
    qtbot.waitUntil(lambda: not attempt.running, timeout=RUN_MS)
    window.pages.go_to("shift")


def test_the_page_of_a_study_has_its_answer_and_what_stands_against_it(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.pages.go_to("vary")
    study = window.pages.current
    assert isinstance(study, StudyPage)
    # Without an answer it is the question that is shown, with what is set, and no other page.
    asked = page(window)
    study_title = linesim.questions.STUDIES["vary"].title
    assert (asked.title, asked.drawings, asked.figures) == (study_title, (), ())
    assert asked.words[0] == linesim.questions.STUDIES["vary"].question
    assert asked.words[-2:] == ("20 runs of 168 h, seed 1.", "Nothing asked yet.")
    assert linesim.report.INVENTED in asked.notes
    study.options.set_values({"fields": ("crew.size=1,3",)})
    study.settings.runs.setValue(2)
    study.settings.hours.setValue(0.2)
    study.start()
    qtbot.waitUntil(lambda: not study.busy, timeout=RUN_MS)
    answer = study.answer_view.answer
    assert answer is not None
    found = page(window)
    assert found.title == linesim.questions.STUDIES["vary"].title
    assert found.words == tuple(answer.words)
    assert len(found.drawings) == 1
    assert not found.figures
    titles: list[str] = []
    monkeypatch.setattr(ReportDialog, "__init__", lambda _, names, *__: titles.extend(names))
    monkeypatch.setattr(ReportDialog, "exec", lambda _: False)
    monkeypatch.setattr(ReportDialog, "deleteLater", lambda _: None)
    window.exports.ask_report()
    assert titles == [found.title]
    # In this process: what starting one takes is tested elsewhere.
    monkeypatch.setattr(window.pool, "call", lambda name, **asked: _done(window, name, asked))
    proposed: list[str] = []
    target = tmp_path / "answer.pdf"
    monkeypatch.setattr(
        dialogs, "ask_file", lambda _, __, name, ___: proposed.append(name) or target
    )
    window.exports.ask_pdf()
    qtbot.waitUntil(target.exists, timeout=RUN_MS)
    assert proposed == ["mine-vary.pdf"]
    said = " ".join(sheet.extract_text() for sheet in PdfReader(target).pages)
    assert all(table.title.split()[0] in said for table in answer.tables)
    printed = tmp_path / "printed.pdf"
    monkeypatch.setattr(QPrintDialog, "exec", lambda _: True)
    monkeypatch.setattr(exports, "print_text", lambda text, _: _print_to(printed, text))
    window.exports.ask_print()
    qtbot.waitUntil(printed.exists, timeout=RUN_MS)
    assert len(PdfReader(printed).pages) >= 1
    window.document.set_field("bridge.places", 33)
    assert any("has changed since" in each for each in page(window).words)
    window.pages.go_to("losses")
    assert len(page(window).drawings) == 2


def test_the_page_of_a_stop_log_has_the_log_and_then_its_fits(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.pages.go_to("fit-stops")
    log_page = window.pages.current
    assert isinstance(log_page, StopLogPage)
    without = page(window)
    assert (without.title, without.drawings) == ("Stop log", ())
    assert without.words[-1].startswith("Choose logs or drop them here")
    log_page.open(linesim.plant.invented_plant()[0])
    qtbot.waitUntil(lambda: log_page.work.look is not None, timeout=RUN_MS)
    read = page(window).words
    assert log_page.counts.text() in read
    assert not any(each.startswith("Choose logs") for each in read)
    log_page.options.resamples = 8
    qtbot.waitUntil(lambda: not log_page.work.busy, timeout=RUN_MS)
    log_page.fit()
    qtbot.waitUntil(lambda: log_page.work.fitted is not None, timeout=RUN_MS)
    fitted = log_page.work.fitted
    assert fitted is not None
    told = page(window)
    assert told.words == fitted.answer.words
    assert len(told.drawings) == 1
    # A sheet has the tables, too.
    monkeypatch.setattr(window.pool, "call", lambda name, **asked: _done(window, name, asked))
    target = tmp_path / "fits.pdf"
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: target)
    window.exports.ask_pdf()
    qtbot.waitUntil(target.exists, timeout=RUN_MS)
    said = " ".join(sheet.extract_text() for sheet in PdfReader(target).pages)
    assert all(table.title in " ".join(said.split()) for table in fitted.answer.tables)
    assert fitted.fits.log.left_out
    window.pages.go_to("shift")


def _done(window: MainWindow, name: str, asked: dict[str, Any]) -> Task:
    task = Task(window)
    QTimer.singleShot(0, task, lambda: task.end_finished(TASKS[name](None, **asked)))
    return task


def _print_to(file: Path, text: linesim.report.RichText) -> None:
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(file))
    print_text(text, printer)


def test_paper_is_light_whatever_the_window_is(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: window.ready, timeout=RUN_MS)
    for name in ("shift", "losses"):
        window.pages.go_to(name)
        made = []
        for look in (LIGHT, DARK):
            window.setPalette(qt_palette(look))
            QApplication.processEvents()
            made.append(png_bytes(page(window), window.font()))
        window.setPalette(qt_palette(LIGHT))
        assert made[0] == made[1]
        image = QImage.fromData(made[0])
        assert image.size().width() > 2 * PAGE.width()
        assert image.pixelColor(2, 2) == QColor("#ffffff")


def test_nothing_is_drawn_over_something_else(qtbot: QtBot, window: MainWindow) -> None:
    """Each drawing has an area of its own, on the page and as high as the rest leaves room."""
    areas: list[QSize] = []
    words = ("many words " * 60,)
    drawings = tuple((part, lambda _, size: areas.append(size)) for part in (3, 2))
    image = QImage(PAGE, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    figures = (("good reams per hour", "1,928 ± 29"),) * 7
    paint_page(
        painter, PrintedPage("A line", words, figures, "basis", drawings, words), window.font()
    )
    painter.end()
    assert [area.width() for area in areas] == [PAGE.width()] * 2
    assert areas[0].height() > areas[1].height() > 150
    assert sum(area.height() for area in areas) < PAGE.height() - 150


def test_pdf_and_picture_are_written_where_they_are_asked(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask_pdf = window.exports.ask_pdf
    asked = ((ask_pdf, "x.pdf", b"%PDF"), (window.exports.ask_picture, "x.png", b"\x89PNG"))
    for ask, name, begins in asked:
        monkeypatch.setattr(dialogs, "ask_file", lambda *_, name=name: tmp_path / name)
        ask()
        assert (tmp_path / name).read_bytes().startswith(begins)
    assert pdf_bytes(page(window), window.font()).count(b"/Type /Page\n") == 1
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: tmp_path / "no" / "page.pdf")
    ask_pdf()
    box = next(each for each in window.findChildren(QMessageBox) if each.isVisible())
    assert "could not be written" in box.text()
    box.hide()


def test_where_no_run_is_shown_there_is_no_page(window: MainWindow, tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text("[bridge]\nplaces = -3\n", encoding="utf-8")
    assert window.workspace.open(broken)
    assert composed(window) is None
    window.exports.ask_pdf()
    box = next(each for each in window.findChildren(QMessageBox) if each.isVisible())
    assert "no run is shown" in box.text()
    box.hide()
