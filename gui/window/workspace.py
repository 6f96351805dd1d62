"""What is worked on: a scenario and its run on screen, opened, begun anew and stopped by hand."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

import linesim
from gui.window.files import Files
from gui.window.run_bar import RunBar
from gui.window.runs import Runs
from gui.window.stop_dialog import StopDialog


class Workspace(QObject):
    """Keeps document, run and the bar above them together where one action changes all three."""

    lesson_written = Signal(object)
    """A lesson was made, in this file."""
    begun = Signal()
    """A new scenario."""
    whole_run_wanted = Signal()
    """The whole of the run is to be in view again."""

    def __init__(self, runs: Runs, files: Files, run_bar: RunBar, window: QWidget) -> None:
        super().__init__(window)
        self.runs, self._files, self._run_bar, self._window = runs, files, run_bar, window
        self._document, self._shown = runs.document, runs.shown
        run_bar.changed.connect(
            lambda hours, replication: runs.set_run(
                hours=hours, seed=runs.seed, replication=replication
            )
        )

    def open(self, path: Path) -> bool:
        """Open a scenario and run it; of one that never was without faults no run is shown."""
        if not self._files.open(path):
            return False
        self._run_for_its_own_shift()
        return True

    def ask_new(self) -> None:
        """Ask what a new scenario begins from, and run it."""
        if self._files.ask_new():
            self.begun.emit()
            self._run_for_its_own_shift()

    def _run_for_its_own_shift(self) -> None:
        runs = self.runs
        runs.clear_comparison()
        scenario = self._document.scenario
        if scenario is not None and scenario.line.shift_hours != runs.hours:
            runs.hours = scenario.line.shift_hours
            self._run_bar.show_run(hours=runs.hours, replication=runs.replication)
        runs.run_now()

    def open_if_free(self, path: Path) -> None:
        """Open a file unless unsaved work stands against it."""
        if self._files.confirm_discard():
            self.open(path)

    def ask_open(self) -> None:
        """Ask for a file and open it."""
        path = self._files.ask_open()
        if path is not None:
            self.open(path)

    def start_over(self) -> None:
        """The shift as its file has it: no stop put in, no ghost, the first replication.

        Edits of the scenario go as one step that can be undone.
        """
        document = self._document
        if document.text != document.text_on_disk:
            document.set_text(document.text_on_disk, "start over")
        scenario = document.scenario
        if scenario is None:
            return
        self._run_bar.show_run(hours=scenario.line.shift_hours, replication=0)
        self.whole_run_wanted.emit()
        self.runs.start_over(hours=scenario.line.shift_hours)

    def ask_stop(self, station: str = "", at_h: float | None = None) -> None:
        """Ask which stop to put into the run, and run it."""
        record = self._shown.record
        if record is None:
            return
        moment = self._shown.cursor_ns / linesim.scenario.HOUR if at_h is None else at_h
        dialog = StopDialog(
            record, station or record.scenario.wrapper[-1].name, moment, self._window
        )
        if dialog.exec():
            self.runs.force((dialog.forced(),))
        dialog.deleteLater()

    def ask_lesson(self) -> None:
        """Ask for the words of a lesson on the stop that was put in, and write it."""
        from gui.lessons.lesson_dialog import LessonDialog

        record, forced = self._shown.record, self._shown.forced
        if record is None or not forced:
            return
        dialog = LessonDialog(forced[0], record.scenario, self._window)
        dialog.exec()
        written = dialog.written
        dialog.deleteLater()
        if written is not None:
            self.lesson_written.emit(written)
