"""A moment of the run as it is said everywhere in the window: hours, minutes and seconds."""

from __future__ import annotations

import re

from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QSpinBox, QWidget

import linesim

_NS_PER_S = 1_000_000_000
_STEP_S = 60
_TYPED = re.compile(r"(\d+):([0-5]?\d)(?::([0-5]?\d))?")
_ON_THE_WAY = re.compile(r"[\d:]*")


class ElapsedTimeEdit(QSpinBox):
    """Holds whole seconds from the start of the run; takes 5:24 for 5:24:00."""

    def __init__(self, last_s: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setRange(0, last_s)
        self.setSingleStep(_STEP_S)
        self.setToolTip("Hours, minutes and seconds from the start of the run, such as 5:24:27")

    def textFromValue(self, value: int) -> str:
        """As ``linesim.report.clock_words`` says it."""
        return linesim.report.clock_words(value * _NS_PER_S)

    def valueFromText(self, text: str) -> int:
        """Seconds; 0 for what is no moment, which ``validate`` does not let through."""
        found = _TYPED.fullmatch(text.strip())
        if found is None:
            return 0
        hours, minutes, seconds = (int(part or 0) for part in found.groups())
        return hours * 3600 + minutes * 60 + seconds

    def validate(self, text: str, place: int) -> tuple[QValidator.State, str, int]:
        """Whether it is a moment of the run, or may become one."""
        states = QValidator.State
        if _TYPED.fullmatch(text.strip()):
            within = self.valueFromText(text) <= self.maximum()
            return (states.Acceptable if within else states.Intermediate), text, place
        may_be = _ON_THE_WAY.fullmatch(text.strip())
        return (states.Intermediate if may_be else states.Invalid), text, place
