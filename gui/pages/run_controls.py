"""Controls for how many runs, how long, and how sure: those of a study and of runs in figures."""

from __future__ import annotations

from PySide6.QtCore import QLocale, QSize
from PySide6.QtWidgets import QCheckBox, QDoubleSpinBox, QSpinBox, QWidget

import linesim
from gui.look import plain_tip

_DECLARED = linesim.questions.RunSettings.declared()
_MOST_RUNS = int(_DECLARED["replications"].most or 0)
_MOST_HOURS = _DECLARED["hours"].most or 0
_MOST_SEED = 2**31 - 1
"""Qt's whole numbers end there, those of a command later."""


_WIDE = "8,888,888"


class PlainNumber(QDoubleSpinBox):
    """A number with a point, its thousands set apart, and no places that say nothing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setLocale(QLocale(QLocale.Language.English))
        self.setGroupSeparatorShown(True)

    def textFromValue(self, value: float) -> str:
        # Never fewer digits than were typed: what stands there is read back.
        return f"{value:,.15g}"

    def sizeHint(self) -> QSize:
        return self._in_use(super().sizeHint())

    def minimumSizeHint(self) -> QSize:
        return self._in_use(super().minimumSizeHint())

    def _in_use(self, size: QSize) -> QSize:
        """As wide as figures of a line are; the ends of what is legal lie far beyond."""
        words = max(f"{_WIDE}{self.suffix()}", self.specialValueText(), key=len)
        buttons = 2 * self.fontMetrics().height()
        most = self.fontMetrics().horizontalAdvance(words) + buttons
        return QSize(min(size.width(), most), size.height())


def whole_number(least: int, most: int, value: int, tip: str = "") -> QSpinBox:
    """A field for a whole number."""
    box = QSpinBox()
    box.setRange(least, most)
    box.setValue(value)
    box.setToolTip(tip)
    return box


def number(
    least: float, most: float, value: float, unit: str, *, decimals: int = 2, tip: str = ""
) -> PlainNumber:
    """A field for a number with a unit."""
    box = PlainNumber()
    box.setDecimals(decimals)
    box.setRange(least, most)
    box.setValue(value)
    box.setSuffix(f" {unit}")
    box.setToolTip(tip)
    return box


def runs_field(least: int, value: int, tip: str) -> QSpinBox:
    """A field for a number of runs."""
    return whole_number(least, _MOST_RUNS, value, tip)


def hours_field(least: float, value: float, *, decimals: int, tip: str = "") -> PlainNumber:
    """A field for the length of a run."""
    return number(least, _MOST_HOURS, value, "h", decimals=decimals, tip=tip)


class Precision:
    """The controls for seed, the width of an interval, and the long run."""

    def __init__(self, *, seed: int, most: int, most_tip: str, long_run: str) -> None:
        self.seed = whole_number(0, _MOST_SEED, seed, _DECLARED["seed"].help)
        within = _DECLARED["within_percent"]
        self.within = number(0.0, within.most or 0, 0.0, within.unit, tip=within.help)
        self.within.setSpecialValueText(within.empty)
        self.most = runs_field(2, most, most_tip)
        self.most.setEnabled(False)
        self.within.valueChanged.connect(lambda value: self.most.setEnabled(value > 0))
        self.long_run = QCheckBox(long_run)
        self.long_run.setToolTip(plain_tip(_DECLARED["long_run"].help))
