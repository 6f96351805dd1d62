"""What leaves the window: a report, runs in figures, tables, a picture, paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QFont
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QMainWindow

import linesim
from gui import dialogs
from gui.window.error_box import show_error
from gui.window.page_composer import PageComposer
from gui.window.page_switcher import PageSwitcher
from gui.window.paper_text import print_text, upright_layout
from gui.window.printed_page import PrintedPage, draw_page, page_layout, pdf_bytes, png_bytes
from gui.window.runs import RUNS_FOR_FIGURES, Runs
from gui.window.task_status import TaskStatus
from gui.workers import Task

if TYPE_CHECKING:
    from gui.pages import StudyPage

_NOTHING = "There is nothing to be put on paper: no run is shown."


class Exports:
    """Each asks where it goes first; the long ones are made by a task."""

    def __init__(
        self, window: QMainWindow, runs: Runs, pages: PageSwitcher, composer: PageComposer
    ) -> None:
        self._window, self._runs, self._pages, self._composer = window, runs, pages, composer
        self._document, self._shown, self._pool = runs.document, runs.shown, runs.pool

    def show_run_dialog(self) -> None:
        """Ask for runs of the line in the window, in figures."""
        from gui.window.run_dialog import RunDialog

        dialog = RunDialog(
            self._document,
            self._pool,
            hours=self._runs.hours,
            seed=self._runs.seed,
            parent=self._window,
        )
        dialog.show()

    def ask_run_tables(self) -> Task | None:
        """Ask for a folder, and write the course of the run on screen into it."""
        record = self._shown.record
        if record is None:
            return None
        name = dialogs.file_name(self._document.name, "tables")
        folder = dialogs.ask_folder(self._window, "Folder for the tables of this run", name)
        if folder is None:
            return None
        task = self._pool.call(
            "run_tables",
            scenario=record.scenario,
            hours=record.hours,
            seed=record.seed,
            replication=record.replication,
            forced=self._shown.forced,
            folder=folder,
        )
        task.finished.connect(lambda _: dialogs.WRITTEN.told.emit(folder))
        TaskStatus(self._window, task, "Writing the tables", lambda _: "")
        return task

    def ask_share(self) -> Task | None:
        """Ask where the run on screen goes as a page that plays, and write it."""
        record = self._shown.record
        if record is None:
            return None
        target = dialogs.ask_file(
            self._window,
            "Share this shift",
            self._name("html", "shift"),
            "Page that plays in any browser (*.html)",
        )
        if target is None:
            return None
        task = self._pool.call(
            "share",
            scenario=record.scenario,
            hours=record.hours,
            seed=record.seed,
            replication=record.replication,
            forced=self._shown.forced,
            replications=RUNS_FOR_FIGURES,
            target=target,
        )
        return self._writing(task, "Making the page that plays")

    def ask_report(self) -> Task | None:
        """Ask what the report is to say and where it goes, and write it."""
        document = self._document
        if document.scenario is None or document.faults:
            show_error(
                self._window,
                "The scenario has faults; correct them before a report is made.",
                "\n".join(map(str, document.faults)),
            )
            return None
        from gui.window.report_dialog import ReportDialog

        pages = self.studies_of_the_line()
        studies = [page.result for page in pages]
        titles = [linesim.questions.STUDIES[found[1].study].title for found in studies if found]
        fits = self._fits()
        dialog = ReportDialog(titles, None if fits is None else fits.log.name, self._window)
        request = dialog.request() if dialog.exec() else None
        dialog.deleteLater()
        if request is None:
            return None
        kinds = "Web page (*.html);;PDF (*.pdf)"
        target = dialogs.ask_file(
            self._window, "Save a report", self._name("html", "report"), kinds
        )
        if target is None:
            return None
        task = self._pool.call(
            "report",
            scenario=document.scenario,
            text=document.text,
            name=document.name,
            hours=self._runs.hours,
            seed=self._runs.seed,
            answers=tuple(studies[n] for n in request.studies),
            studies_typed=tuple(pages[n].typed for n in request.studies),
            target=target,
            question=request.question,
            date=request.date,
            replications=request.replications,
            appendix=request.appendix,
            fits=fits if request.fits else None,
        )
        return self._writing(task, "Writing the report")

    def _writing(self, task: Task, doing: str) -> Task:
        task.finished.connect(dialogs.WRITTEN.told.emit)
        # That it is there, and where, is said once, by the notice that stays.
        TaskStatus(self._window, task, doing, lambda _: "")
        return task

    def _name(self, suffix: str, what: str) -> str:
        return dialogs.file_name(self._document.name, what, suffix=suffix)

    def studies_of_the_line(self) -> list[StudyPage]:
        """The pages whose answers are of the line as it is now."""
        from gui.pages import StudyPage

        scenario = self._document.scenario
        found = [(page, page.result) for page in self._pages.findChildren(StudyPage)]
        return [page for page, result in found if result is not None and result[0] == scenario]

    def _fits(self) -> linesim.plant.LogFits | None:
        """What was fitted on the page of the stop log, if anything."""
        from gui.logs import StopLogPage

        fitted = [page.work.fitted for page in self._pages.findChildren(StopLogPage)]
        return next((each.fits for each in fitted if each is not None), None)

    def ask_picture(self) -> None:
        """Ask where a picture of the page goes, and write it."""
        self._ask_page("Save a picture", "png", "PNG (*.png)", png_bytes)

    def ask_pdf(self) -> None:
        """Ask where the page goes as a PDF, and write it: of an answer all of it."""
        answered = self._composer.answered()
        if answered is None:
            self._ask_page("Save as PDF", "pdf", "PDF (*.pdf)", pdf_bytes)
            return
        name = self._name("pdf", answered["answer"].study)
        path = dialogs.ask_file(self._window, "Save as PDF", name, "PDF (*.pdf)")
        if path is not None:
            task = self._pool.call("answer_pdf", **answered, target=path)
            self._writing(task, "Writing the page")

    def ask_print(self) -> None:
        """Ask for a printer and print the page: of an answer all of it."""
        page = self._page()
        if page is None:
            return
        answered = self._composer.answered()
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setDocName(page.title)
        printer.setPageLayout(page_layout() if answered is None else upright_layout())
        dialog = QPrintDialog(printer, self._window)
        wanted = dialog.exec()
        dialog.deleteLater()
        if not wanted:
            return
        if answered is None:
            draw_page(page, self._window.font(), printer)
        else:
            task = self._pool.call("answer_text", **answered)
            task.finished.connect(lambda text: print_text(text, printer))
            TaskStatus(self._window, task, "Printing", lambda _: "Sent to the printer")

    def _ask_page(
        self, title: str, suffix: str, kinds: str, made: Callable[[PrintedPage, QFont], bytes]
    ) -> None:
        page = self._page()
        if page is None:
            return
        name = self._name(suffix, self._pages.list.name)
        path = dialogs.ask_file(self._window, title, name, kinds)
        if path is None:
            return
        try:
            linesim.files.write_bytes(path, made(page, self._window.font()))
            dialogs.WRITTEN.told.emit(path)
        except OSError as error:
            show_error(self._window, f"{path} could not be written: {error.strerror}.")

    def _page(self) -> PrintedPage | None:
        page = self._composer.page()
        if page is None:
            show_error(self._window, _NOTHING)
        return page
