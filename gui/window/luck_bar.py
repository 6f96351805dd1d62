"""How long the run on screen is, and with which luck it was made."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QDoubleSpinBox, QHBoxLayout, QPushButton, QSpinBox, QWidget

from gui.look import PlainLabel


class LuckBar(QWidget):
    """Hours, and the number of the replication; ``changed`` says (hours, replication)."""

    changed = Signal(float, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.hours = QDoubleSpinBox()
        self.hours.setRange(0.1, 9000.0)
        self.hours.setDecimals(1)
        self.hours.setSuffix(" h")
        self.hours.setValue(8.0)
        self.hours.setAccessibleName("hours to run")
        self.luck = QSpinBox()
        self.luck.setRange(0, 99_999)
        self.luck.setAccessibleName("number of the replication")
        self.luck.setToolTip(
            "Stops and their lengths fall by chance. Each replication has random numbers of its"
            " own; the same number gives the same run again."
        )
        another = QPushButton("Other replication")
        another.setToolTip("The same line in another shift, with other random numbers (Ctrl+L)")
        another.clicked.connect(self.next_luck)
        for box in (self.hours, self.luck):
            box.setKeyboardTracking(False)
        self.hours.valueChanged.connect(self._say)
        self.luck.valueChanged.connect(self._say)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        hours, luck = PlainLabel("&Run"), PlainLabel("replication no.")
        hours.setBuddy(self.hours)
        luck.setBuddy(self.luck)
        for part in (hours, self.hours, luck, self.luck, another):
            layout.addWidget(part)
        layout.addStretch(1)

    def show_luck(self, *, hours: float, luck: int) -> None:
        """What is run now; nobody asked for it here."""
        with QSignalBlocker(self.hours), QSignalBlocker(self.luck):
            self.hours.setValue(hours)
            self.luck.setValue(luck)

    def next_luck(self) -> None:
        """Run the same line in another shift."""
        self.luck.setValue(self.luck.value() + 1)

    def _say(self) -> None:
        self.changed.emit(self.hours.value(), self.luck.value())
