"""The length of the bridge under the hand: moved, rested at, written into the scenario."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSpinBox, QVBoxLayout, QWidget

import linesim
from gui.look import CLOSE, PlainLabel, plain_tip, spaced
from gui.pages.places_slider import PlacesSlider

REST_MS = 250
_PAGE = 10
_TIP = (
    "Move along the lengths run, here or by the line on the curve. Where it rests, that length is"
    " run with the same random numbers and added to the curve. Arrow keys: one place;"
    " page up and down: ten; Home and End: the ends."
)


class SizeSlider(QWidget):
    """A slider of places with the number beside it, and a line on what is being run."""

    moved = Signal(int)
    """The user is at so many places, perhaps only passing."""
    rested = Signal(int)
    """The user has stayed there for a quarter of a second."""
    write_asked = Signal(int)
    """The scenario is to have so many places."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sizes: linesim.report.BridgeSizes | None = None
        self.slider = PlacesSlider()
        self.slider.setSingleStep(1)
        self.slider.setPageStep(_PAGE)
        self.number = QSpinBox()
        self.number.setKeyboardTracking(False)
        self.write = QPushButton("Write i&nto scenario")
        self.status = PlainLabel()
        for control in (self.slider, self.number):
            control.setAccessibleName("bridge length in places, reams")
            control.setToolTip(_TIP)
        label = PlainLabel("&Bridge length")
        label.setBuddy(self.slider)
        label.setToolTip(_TIP)
        row = QHBoxLayout()
        for part in (label, self.number, self.write):
            row.addWidget(part)
        row.addWidget(self.status, 1)
        layout = QVBoxLayout(self)
        spaced(layout, CLOSE)
        # As wide as the chart above it, along whose axis it lies.
        layout.addWidget(self.slider)
        layout.addLayout(row)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(lambda: self.rested.emit(self.places))
        self.slider.valueChanged.connect(self._go)
        self.number.valueChanged.connect(self._go)
        self.write.clicked.connect(lambda: self.write_asked.emit(self.places))

    @property
    def places(self) -> int:
        """Where it is."""
        return self.slider.value()

    def set_ends(self, sizes: linesim.report.BridgeSizes) -> None:
        """From one set to the largest length run; nobody moved it."""
        for control in (self.slider, self.number):
            control.blockSignals(True)
            control.setRange(sizes.least, sizes.most)
            control.blockSignals(False)
        self._sizes = sizes
        self._say_metres()
        self.show_run(sizes)

    def show_run(self, sizes: linesim.report.BridgeSizes) -> None:
        """Mark the lengths that were run."""
        self.slider.show_run(sizes.run)

    def put(self, places: int) -> None:
        """Stand there; nobody moved it, so nothing is run."""
        for control in (self.slider, self.number):
            control.blockSignals(True)
            control.setValue(places)
            control.blockSignals(False)
        self._say_metres()
        self._rest.stop()

    def show_status(self, words: str, details: str = "") -> None:
        """Say what is going on with this length."""
        self.status.setText(words)
        self.status.setToolTip(plain_tip(details))

    def _say_metres(self) -> None:
        if self._sizes is not None:
            _, _, beside = self._sizes.words(self.places).partition(" ")
            self.number.setSuffix(f" {beside}")

    def _go(self, places: int) -> None:
        for control in (self.slider, self.number):
            control.blockSignals(True)
            control.setValue(places)
            control.blockSignals(False)
        self._say_metres()
        self._rest.start()
        self.moved.emit(places)
