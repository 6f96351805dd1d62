"""The run in figures: many runs of the line, and all that ``linesim run`` says of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from gui import dialogs
from gui.document import with_titles
from gui.look import CLOSE, FAR, KEPT, PlainLabel, label_of, plain_tip
from gui.pages.run_controls import Precision, hours_field, runs_field
from gui.window.text_window import TextPane, save_text_asked
from gui.work.run_task import RunReport, RunRequest
from gui.workers import Task, WorkerPool

if TYPE_CHECKING:
    from gui.document import Document

_RUNS = 10
_TO_COME = (
    "Start runs the line as it is now so many times. What all runs say together will stand here:"
    " the line in words, its measures and losses with their intervals, states, stops and rates."
)
_ABOVE = 160
"""Height of what stands above and below the text."""


class RunDialog(QDialog):
    """Asks how long, how often and how sure; shows the report and gives it away."""

    def __init__(
        self,
        document: Document,
        pool: WorkerPool,
        *,
        hours: float,
        seed: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Run in figures")
        self.setModal(False)
        self._document, self._pool = document, pool
        self._task: Task | None = None
        self._report: RunReport | None = None
        self._make_controls(hours, seed)
        self.text = TextPane()
        self.text.setAccessibleName("report on the run")
        self.text.setPlaceholderText(_TO_COME)
        self.start = QPushButton("&Start")
        self.start.setDefault(True)
        self.start.clicked.connect(self._start)
        self.stop = QPushButton("S&top")
        self.stop.clicked.connect(self._stop)
        self.bar = QProgressBar()
        self.bar.setAccessibleName("runs made")
        self.status = PlainLabel()
        self.status.setWordWrap(True)
        self.copy = QPushButton("&Copy text")
        self.save_text = QPushButton("Save te&xt…")
        self.save_json = QPushButton("Save &JSON…")
        self.copy.clicked.connect(self._copy)
        self.save_text.clicked.connect(self._save_text)
        self.save_json.clicked.connect(self._save_json)
        close = QPushButton("Cl&ose")
        close.clicked.connect(self.close)
        layout = QVBoxLayout(self)
        layout.addLayout(self._form())
        work = QHBoxLayout()
        work.addWidget(self.start)
        work.addWidget(self.stop)
        work.addWidget(self.bar, 3)
        work.addStretch(1)
        layout.addLayout(work)
        layout.addWidget(self.status)
        layout.addWidget(self.text, 1)
        away = QHBoxLayout()
        for button in (self.copy, self.save_text, self.save_json):
            away.addWidget(button)
        away.addStretch(1)
        away.addWidget(close)
        layout.addLayout(away)
        self._update_buttons()
        width, height = self.text.full_size()
        self.resize(width + 40, height + _ABOVE)
        KEPT.window(self)

    def _make_controls(self, hours: float, seed: int) -> None:
        self.hours = hours_field(0.1, hours, decimals=2)
        tip = "Independent runs; the intervals come from these."
        self.runs = runs_field(1, _RUNS, tip)
        precision = Precision(
            seed=seed,
            most=RunRequest.most,
            most_tip="No more runs than this, however wide the interval is.",
            long_run="&Long run: as long as it takes",
        )
        self.seed, self.within = precision.seed, precision.within
        self.most, self.long_run = precision.most, precision.long_run
        self.audit = QCheckBox("&Audit: check the books of every run")

    def _form(self) -> QHBoxLayout:
        left, right = QFormLayout(), QFormLayout()
        for form, words, control in (
            (left, "&Hours in each run", self.hours),
            (left, "&Runs", self.runs),
            (left, "S&eed", self.seed),
            (right, "Good reams to &within ±", self.within),
            (right, "&Most runs", self.most),
        ):
            form.addRow(label_of(control, words), control)
            control.setAccessibleName(words.replace("&", ""))
        checks = QVBoxLayout()
        checks.addWidget(self.long_run)
        checks.addWidget(self.audit)
        row = QHBoxLayout()
        row.setSpacing(FAR)
        for part in (left, right, checks):
            # Unless told, a layout within another has the distances of that one.
            part.setSpacing(CLOSE)
            row.addLayout(part)
            row.setAlignment(part, Qt.AlignmentFlag.AlignTop)
        row.addStretch(1)
        return row

    def request(self) -> RunRequest:
        """What is set."""
        return RunRequest(
            hours=self.hours.value(),
            replications=self.runs.value(),
            seed=self.seed.value(),
            long_run=self.long_run.isChecked(),
            within_percent=self.within.value() or None,
            most=self.most.value(),
            audit=self.audit.isChecked(),
        )

    def _start(self) -> None:
        scenario = self._document.scenario
        if scenario is None or self._document.faults:
            self.status.setText("The scenario has faults; correct them first.")
            return
        task = self._pool.call("run_report", scenario=scenario, request=self.request())
        self._task = task
        self.status.setText("")
        task.progress.connect(self._show_progress)
        # Its own methods: what a task still says when the dialog is gone, nobody hears.
        task.finished.connect(self._on_finished)
        task.failed.connect(self._end)
        task.cancelled.connect(self._on_cancelled)
        self._update_buttons()

    def _stop(self) -> None:
        if self._task is not None:
            self._task.cancel()

    def _is_current(self) -> bool:
        return self._task is not None and self.sender() is self._task

    def _show_progress(self, part: float, words: str) -> None:
        self.bar.setRange(0, 0 if part < 0 else 1000)
        self.bar.setValue(round(1000 * max(part, 0)))
        self.status.setText(words)

    def _on_finished(self, report: RunReport) -> None:
        if self._is_current():
            self._report = replace(report, text=with_titles(report.text))
            self.text.setPlainText(self._report.text)
        self._end("" if report.sound else "▲ The audit found faults; the report names them.")

    def _on_cancelled(self) -> None:
        self._end("Stopped: nothing is reported.")

    def _end(self, words: str, details: str = "") -> None:
        if self._is_current():
            self._task = None
            self.status.setText(words)
            self.status.setToolTip(plain_tip(details))
            self._update_buttons()

    def _update_buttons(self) -> None:
        busy = self._task is not None
        self.start.setEnabled(not busy)
        self.stop.setEnabled(busy)
        self.bar.setVisible(busy)
        for button in (self.copy, self.save_text, self.save_json):
            button.setEnabled(self._report is not None and not busy)

    def _copy(self) -> None:
        if self._report is not None:
            QGuiApplication.clipboard().setText(self._report.text)

    def _save_text(self) -> None:
        if self._report is not None:
            name = dialogs.file_name(self._document.name, "run", suffix="txt")
            save_text_asked(self, "Save the report", self._report.text, "Text (*.txt)", name)

    def _save_json(self) -> None:
        if self._report is not None:
            name = dialogs.file_name(self._document.name, "run", suffix="json")
            save_text_asked(self, "Save all figures", self._report.json, "JSON (*.json)", name)

    def done(self, result: int) -> None:
        """Nobody waits for runs of a dialog that is left, by Escape or otherwise."""
        task, self._task = self._task, None
        if task is not None:
            task.cancel()
        super().done(result)
