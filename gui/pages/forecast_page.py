"""The page of the forecast: large figures first, and a new answer whenever the state file changes.

A shift leader leaves it open. The file is watched, and its folder too, since most editors put a new
file in the place of the old one. A file that cannot be used is told; the last answer stays, with
the time at which it was made.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QTimer
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

import linesim
from gui import dialogs
from gui.document import Document
from gui.look import CLOSE, FlowRow, PlainLabel, WallFigure, WallText, spaced
from gui.pages.study_page import StudyPage
from gui.workers import Task, WorkerPool

STUDY = "forecast"
_RESTS_MS = 800
"""A file is read when nothing has been written for so long."""
_BELOW_QUESTION = 2
_NOTHING = (
    "Nothing asked yet. Choose the file with the state of the line, or write one to fill in; then"
    " press Start."
)


class ForecastPage(StudyPage):
    """As every study page, with figures to be read from some metres away."""

    def __init__(self, document: Document, pool: WorkerPool, parent: QWidget | None = None) -> None:
        self._watched = QFileSystemWatcher()
        self._rest = QTimer(singleShot=True, interval=_RESTS_MS)
        self._seen: tuple[int, int] | None = None
        self._again = False
        self._made = ""
        super().__init__(document, pool, STUDY, parent)
        self._watched.setParent(self)
        self._rest.setParent(self)
        self._rest.timeout.connect(self._look)
        self._watched.fileChanged.connect(self._stirred)
        self._watched.directoryChanged.connect(self._stirred)

    # -- building ---------------------------------------------------------------------------

    def _build(self) -> None:
        # Its runs go on until the time that is asked for.
        self.settings.leave_out(self.settings.hours)
        super()._build()
        self.watch = QCheckBox("Answer anew when the file changes")
        self.watch.setChecked(True)
        self.watch.toggled.connect(self._watch_file)
        self.write = QPushButton("Write one to fill in…")
        self.write.setToolTip("A state file of this line, with every field that it may have")
        self.write.clicked.connect(self._write)
        row = FlowRow()
        row.add(self.watch)
        row.add(self.write)
        self.reams, self.between = WallFigure(), WallText()
        self.rows = [WallText() for _ in range(6)]
        for label in (self.reams, self.between, *self.rows):
            label.setWordWrap(True)
        self.made = PlainLabel()
        self.figures = QWidget()
        self.figures.setAccessibleName("the forecast in large figures")
        column = QVBoxLayout(self.figures)
        spaced(column, CLOSE)
        for label in (self.reams, self.between, *self.rows, self.made):
            column.addWidget(label)
        self.figures.hide()
        layout = self.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.insertWidget(layout.indexOf(self._error), row)
        # First of all: on a wall nobody looks for them below what is for who asks.
        layout.insertWidget(_BELOW_QUESTION, self.figures)

    def _nothing_asked(self) -> str:
        return _NOTHING

    # -- the file ---------------------------------------------------------------------------

    @property
    def state_file(self) -> Path | None:
        """The file that is named."""
        name = self.options.values().get("state")
        return Path(name) if name else None

    def start(self) -> None:
        """Ask what is set, of the file as it is now."""
        self._again = False
        self._watch_file()
        self._seen = _stamp(self.state_file)
        super().start()

    def _watch_file(self) -> None:
        old = [*self._watched.files(), *self._watched.directories()]
        if old:
            self._watched.removePaths(old)
        path = self.state_file
        if path is None or not self.watch.isChecked():
            return
        there = [str(each) for each in (path, path.absolute().parent) if each.exists()]
        if there:
            self._watched.addPaths(there)

    def _stirred(self) -> None:
        self._rest.start()

    def _look(self) -> None:
        """The file may be another than the one answered: ask anew, or when the work has ended."""
        self._watch_file()
        if not self.watch.isChecked() or _stamp(self.state_file) in (None, self._seen):
            return
        if self.busy:
            self._again = True
            self.stop()
        else:
            self.start()

    def _end(self, task: Task, words: str) -> None:
        super()._end(task, words)
        if self._again and not self.busy:
            # Not from within what has just ended.
            QTimer.singleShot(0, self, self.start)

    def _write(self) -> None:
        scenario = self._document.scenario
        if scenario is None or self._document.faults:
            self._show_error("The scenario has faults; correct them first.")
            return
        path = dialogs.ask_file(
            self,
            "State file",
            dialogs.file_name(self._document.name, "now", suffix="toml"),
            "State files (*.toml)",
        )
        if path is None:
            return
        now = f"{dt.datetime.now():%Y-%m-%d %H:%M}"
        try:
            linesim.files.write_text(path, linesim.scenario.state_to_fill_in(scenario, now))
        except OSError as error:
            self._show_error(str(error))
            return
        dialogs.WRITTEN.told.emit(path)
        self.options.set_values({"state": str(path)})
        self._watch_file()

    # -- showing ----------------------------------------------------------------------------

    def _show(self, answer: linesim.report.Answer, *, so_far: bool) -> None:
        super()._show(answer, so_far=so_far)
        large = linesim.report.forecast_at_a_glance(answer.found, dt.datetime.now())
        self.reams.setText(large.reams)
        self.between.setText(large.between)
        for label, words in zip(self.rows, [*large.rows, *[""] * len(self.rows)], strict=False):
            label.setText(words)
            label.setVisible(bool(words))
        self._made = large.of
        self.made.setText(
            f"{self._made}; more runs are being made." if so_far else f"{self._made}."
        )
        self.figures.show()

    def _show_error(self, words: str, details: str = "") -> None:
        super()._show_error(words, details)
        # Who stands some metres away sees that these are not the figures of now.
        self.figures.setDisabled(bool(words))
        if self._made:
            self.made.setText(f"▲ {self._made}: the last answer." if words else f"{self._made}.")

    def _on_failed(self, task: Task, words: str, details: str) -> None:
        super()._on_failed(task, words, details)
        if self.answer_view.answer is not None:
            # What stands there is to be read from afar; the fault is told above it.
            self.show_options.setChecked(False)


def _stamp(path: Path | None) -> tuple[int, int] | None:
    """What tells one writing of a file from another; None where it is not there."""
    try:
        found = path.stat() if path is not None else None
    except OSError:
        return None
    return None if found is None else (found.st_mtime_ns, found.st_size)
