"""Stop it yourself: which station, when, how long, for what."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.look import KEPT, PlainLabel, label_of
from gui.window.elapsed_time_edit import ElapsedTimeEdit

_USUAL_MIN = 4.0
_ROUNDING_S = 1e-6
"""Hours of a whole second may be a hair below it."""


class StopDialog(QDialog):
    """Asks for a stop that the trainer puts into the run on screen."""

    def __init__(
        self,
        record: linesim.record.Record,
        station: str,
        at_h: float,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Stop it here")
        self._station = QComboBox()
        self._station.addItems(list(record.stations))
        self._station.setCurrentText(station)
        self._at = ElapsedTimeEdit(int(record.hours * 3600))
        self._at.setValue(int(at_h * 3600 + _ROUNDING_S))
        self._minutes = QDoubleSpinBox()
        self._minutes.setDecimals(1)
        self._minutes.setRange(0.1, 600.0)
        self._minutes.setSuffix(" min")
        self._minutes.setValue(_USUAL_MIN)
        self._cause = QComboBox()
        self._cause.setEditable(True)
        self._cause.addItems(["demonstration", *sorted(linesim.scenario.KNOWN_CAUSES)])
        form = QFormLayout()
        form.addRow(label_of(self._station, "&Station"), self._station)
        form.addRow(label_of(self._at, "&At"), self._at)
        form.addRow(label_of(self._minutes, "&Length"), self._minutes)
        form.addRow(label_of(self._cause, "&Cause"), self._cause)
        words = PlainLabel(
            "The line is run again with this stop in it. All else meets the same random numbers,"
            " so any difference is due to this stop alone."
        )
        words.setWordWrap(True)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText("Stop it")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(words)
        layout.addWidget(buttons)
        KEPT.window(self)

    def forced(self) -> linesim.scenario.ForcedStop:
        """The stop as it was asked for."""
        return linesim.scenario.ForcedStop(
            station=self._station.currentText(),
            at_h=self._at.value() / 3600,
            minutes=self._minutes.value(),
            cause=self._cause.currentText().strip() or "demonstration",
        )
