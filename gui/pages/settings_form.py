"""How many runs, how long, with which luck, and where they are kept."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QPushButton,
    QSpinBox,
    QWidget,
)

import linesim
from gui.look import PlainLabel, plain_tip
from gui.pages.options_form import PlainNumber

_MOST_RUNS = 100_000
_MOST_HOURS = 200_000.0
_MOST_SEED = 2**31 - 1


class SettingsForm(QWidget):
    """The settings that all studies share; they begin as those of the commands."""

    def __init__(self, runs: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        given = linesim.studies.Settings()
        self.runs = QSpinBox()
        self.runs.setRange(2, _MOST_RUNS)
        self.runs.setValue(runs)
        self.runs.setToolTip("Independent replications of each variant.")
        self.hours = PlainNumber()
        self.hours.setRange(1.0, _MOST_HOURS)
        self.hours.setDecimals(1)
        self.hours.setValue(given.hours)
        self.hours.setSuffix(" h")
        self.hours.setToolTip("Hours of the line in each run; a week has 168.")
        self.seed = QSpinBox()
        self.seed.setRange(0, _MOST_SEED)
        self.seed.setValue(given.seed)
        self.seed.setToolTip("The same seed gives the same figures, to the byte.")
        self.within = PlainNumber()
        self.within.setRange(0.0, 50.0)
        self.within.setDecimals(2)
        self.within.setSuffix(" %")
        self.within.setSpecialValueText("not asked for")
        self.within.setToolTip(
            "Add runs until good reams are known to within so much, or the most are made."
        )
        self.most = QSpinBox()
        self.most.setRange(2, _MOST_RUNS)
        self.most.setValue(given.most)
        self.most.setToolTip("No more runs of each variant than this, however wide the interval.")
        self.most.setEnabled(False)
        self.within.valueChanged.connect(lambda value: self.most.setEnabled(value > 0))
        self.long_run = QCheckBox("Long run: as long as it takes")
        self.long_run.setToolTip(
            "Runs are made as long as it takes until their successive parts no longer differ, the"
            " hours above or longer, and their start is left out. Without it each run starts as"
            " a real week does."
        )
        self.file: Path | None = None
        self._file_words = PlainLabel()
        self._keep = QPushButton("&Keep runs in…")
        self._keep.setToolTip(
            "Keep every finished run in a file for good. Otherwise they are kept until the study"
            " is complete, so that one that was stopped goes on from there."
        )
        self._keep.clicked.connect(self._choose)
        layout = QFormLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setVerticalSpacing(3)
        layout.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for words, control in (
            ("R&uns", self.runs),
            ("Hours", self.hours),
            ("Seed", self.seed),
            ("Good reams to w&ithin ±", self.within),
            ("&Most runs", self.most),
        ):
            label = PlainLabel(words)
            label.setBuddy(control)
            control.setAccessibleName(words.replace("&", ""))
            layout.addRow(label, control)
        layout.addRow(self.long_run)
        row = QHBoxLayout()
        row.addWidget(self._keep)
        row.addWidget(self._file_words, 1)
        layout.addRow(row)

    def settings(self) -> linesim.studies.Settings:
        """What is set; runs are added by themselves only where a width is asked for."""
        within = self.within.value()
        return linesim.studies.Settings(
            replications=self.runs.value(),
            hours=self.hours.value(),
            seed=self.seed.value(),
            narrow=within / 100 if within else None,
            most=max(self.runs.value(), self.most.value()),
        )

    def keep_in(self, path: Path | None) -> None:
        """Keep runs in this file; None for the cache."""
        self.file = path
        self._file_words.setText("" if path is None else path.name)
        self._file_words.setToolTip("" if path is None else plain_tip(str(path)))

    def _choose(self) -> None:
        name, _ = QFileDialog.getSaveFileName(
            self,
            "Keep runs in a study file",
            "",
            "Study files (*.sqlite)",
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        if name:
            self.keep_in(Path(name))
