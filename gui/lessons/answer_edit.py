"""The number a learner answers with: nothing until one is typed."""

from __future__ import annotations

from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QDoubleSpinBox, QWidget

import linesim

_NOTHING, _MOST = -1.0, 100_000.0
_DECIMALS = 2
"""Of minutes: a sum on paper gives so many."""


class AnswerEdit(QDoubleSpinBox):
    """Begins empty: a nought that stands there by itself would be committed to by a slip.

    Its unit stands beside it, not in it: digits typed behind a unit would be refused.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._unit = ""
        self.setRange(_NOTHING, _MOST)

    @property
    def answer(self) -> float | None:
        """What is typed so far, left as it is typed; None for nothing."""
        return None if self.value() == _NOTHING else self.value()

    @property
    def unit(self) -> str:
        """Of the lesson; one ream is named as one."""
        return "ream" if self._unit == "reams" and self.value() == 1 else self._unit

    def ask(self, lesson: linesim.lessons.Lesson, answer: float | None) -> None:
        """Take answers to this lesson; *answer* is what was typed so far."""
        self._unit = lesson.unit
        self.setAccessibleName(f"your answer in {lesson.unit}")
        self.setDecimals(0 if lesson.unit == "reams" else _DECIMALS)
        self.setValue(_NOTHING if answer is None else answer)

    def textFromValue(self, value: float) -> str:
        if value == _NOTHING:
            return ""
        text, point = super().textFromValue(value), self.locale().decimalPoint()
        return text.rstrip("0").rstrip(point) if point in text else text

    def valueFromText(self, text: str) -> float:
        return super().valueFromText(text) if text.strip() else _NOTHING

    def validate(self, text: str, at: int) -> object:
        """Nothing is an answer not given yet; less than nothing is none; 1,5 is 1.5."""
        if not text.strip():
            return QValidator.State.Acceptable, text, at
        if text.lstrip().startswith("-"):
            return QValidator.State.Invalid, text, at
        if self.decimals():
            text = text.replace(",", ".")
        return super().validate(text, at)
