"""How long the run on screen is, and with which random numbers it was made."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QDoubleSpinBox, QPushButton, QSpinBox, QWidget

from gui.look import FlowRow, PlainLabel


class RunBar(FlowRow):
    """Hours, and the number of the replication; ``changed`` says (hours, replication)."""

    changed = Signal(float, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self.hours = QDoubleSpinBox()
        self.hours.setRange(0.1, 9000.0)
        self.hours.setDecimals(1)
        self.hours.setSuffix(" h")
        self.hours.setValue(8.0)
        self.hours.setAccessibleName("hours to run")
        self.replication = QSpinBox()
        self.replication.setRange(0, 99_999)
        self.replication.setAccessibleName("number of the run")
        self.replication.setToolTip(
            "Stops and their lengths fall by chance. Each run has random numbers of its"
            " own; the same number gives the same run again."
        )
        another = QPushButton("Another run")
        another.setToolTip("The same line in another shift, with other random numbers (Ctrl+L)")
        another.clicked.connect(self.next_replication)
        for box in (self.hours, self.replication):
            box.setKeyboardTracking(False)
        self.hours.valueChanged.connect(self._emit)
        self.replication.valueChanged.connect(self._emit)
        number, hours = PlainLabel("&Run no."), PlainLabel("of")
        number.setBuddy(self.replication)
        hours.setBuddy(self.hours)
        for part in (number, self.replication, hours, self.hours, another):
            self.add(part)

    def show_run(self, *, hours: float, replication: int) -> None:
        """What is run now; nobody asked for it here."""
        with QSignalBlocker(self.hours), QSignalBlocker(self.replication):
            self.hours.setValue(hours)
            self.replication.setValue(replication)

    def next_replication(self) -> None:
        """Run the same line in another shift."""
        self.replication.setValue(self.replication.value() + 1)

    def _emit(self) -> None:
        self.changed.emit(self.hours.value(), self.replication.value())
