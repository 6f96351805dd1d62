"""How many runs, how long, with which random numbers, and where they are kept."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QPushButton,
    QWidget,
)

import linesim
from gui import dialogs
from gui.look import ColumnLabel, PlainLabel, label_of, plain_tip, spaced
from gui.pages.made_by import MadeBy
from gui.pages.run_controls import Precision, hours_field, runs_field
from linesim.statistics import counted


class SettingsForm(QWidget):
    """The settings that all studies share; they begin as those of the commands."""

    changed = Signal()

    def __init__(self, runs: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        declared = linesim.questions.RunSettings.declared()
        self.runs = runs_field(2, runs, declared["replications"].help)
        hours = declared["hours"]
        self.hours = hours_field(1.0, hours.default, decimals=1, tip=hours.help)
        precision = Precision(
            seed=declared["seed"].default,
            most=declared["most"].default,
            most_tip=declared["most"].help,
            long_run=declared["long_run"].title,
        )
        self.seed, self.within = precision.seed, precision.within
        self.most, self.long_run = precision.most, precision.long_run
        self.column: list[ColumnLabel] = []
        """Its labels, and those of other forms that stand with it."""
        self.file: Path | None = None
        self._file_words = PlainLabel()
        self._keep = QPushButton("&Keep runs in…")
        self._keep.setToolTip(
            "Keep every finished run in a file for good. Otherwise they are kept until the study"
            " is complete, so that one that was stopped goes on from there."
        )
        self._keep.clicked.connect(self._choose)
        layout = self._rows = QFormLayout(self)
        spaced(layout)
        layout.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for words, control in (
            ("R&uns", self.runs),
            ("Hours", self.hours),
            ("Seed", self.seed),
            ("Good reams to w&ithin ±", self.within),
            ("&Most runs", self.most),
        ):
            control.setAccessibleName(words.replace("&", ""))
            layout.addRow(label_of(control, words, self.column), control)
            control.valueChanged.connect(self.changed)
        layout.addRow(self.long_run)
        self.made_by = MadeBy()
        layout.addRow(label_of(self.made_by, "Runs made &by", self.column), self.made_by)
        self.made_by.currentTextChanged.connect(self.changed)
        row = QHBoxLayout()
        row.addWidget(self._keep)
        row.addWidget(self._file_words, 1)
        layout.addRow(row)

    def settings(self) -> linesim.studies.Settings:
        """What is set; runs are added by themselves only where a width is asked for."""
        return self.asked().settings(cluster=self.made_by.cluster)

    def asked(self) -> linesim.questions.RunSettings:
        """What is set, as a command takes it."""
        return linesim.questions.RunSettings(
            replications=self.runs.value(),
            hours=self.hours.value(),
            seed=self.seed.value(),
            within_percent=self.within.value() or None,
            most=max(self.runs.value(), self.most.value()),
            long_run=self.long_run.isChecked(),
        )

    def leave_out(self, *controls: QWidget) -> None:
        """Do not ask for what does nothing here."""
        for control in controls:
            self._rows.setRowVisible(control, False)

    def find_hours(self, found: bool) -> None:
        """Whether the study finds for itself how long runs must be."""
        self.hours.setEnabled(not found)
        self.changed.emit()

    @property
    def summary(self) -> str:
        """What is set, in few words."""
        runs = counted(self.runs.value(), "run")
        if not self.hours.isEnabledTo(self):
            runs += " as long as the orders need"
        elif self._rows.isRowVisible(self.hours):
            runs += f" of {self.hours.text()}"
        return f"{runs}, seed {self.seed.value()}"

    def keep_in(self, path: Path | None) -> None:
        """Keep runs in this file; None for the cache."""
        self.file = path
        self._file_words.setText("" if path is None else path.name)
        self._file_words.setToolTip("" if path is None else plain_tip(str(path)))

    def _choose(self) -> None:
        path = dialogs.ask_kept(self, "Keep runs in a study file", "Study files (*.sqlite)")
        if path is not None:
            self.keep_in(path)
