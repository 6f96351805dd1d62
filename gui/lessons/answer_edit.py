"""The number a learner answers with: nothing until one is typed."""

from __future__ import annotations

from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QDoubleSpinBox, QWidget

import linesim

_NOTHING, _MOST = -1.0, 100_000.0


class AnswerEdit(QDoubleSpinBox):
    """Begins empty: a nought that stands there by itself would be committed to by a slip."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.unit = ""
        """Of the lesson; one ream is named as one."""
        self.setRange(_NOTHING, _MOST)
        self.setAccessibleName("your answer")
        self.valueChanged.connect(self._name_unit)

    @property
    def answer(self) -> float | None:
        """What is typed; None for nothing."""
        self.interpretText()
        return None if self.value() == _NOTHING else self.value()

    def ask(self, lesson: linesim.lessons.Lesson, answer: float | None) -> None:
        """Take answers to this lesson; *answer* is what was typed so far."""
        self.unit = lesson.unit
        self.setDecimals(0 if lesson.unit == "reams" else 1)
        self.setValue(_NOTHING if answer is None else answer)
        self._name_unit(self.value())

    def _name_unit(self, value: float) -> None:
        self.setSuffix(" ream" if self.unit == "reams" and value == 1 else f" {self.unit}")

    def _typed(self, text: str) -> str:
        return text.removesuffix(self.suffix()).strip()

    def textFromValue(self, value: float) -> str:
        return "" if value == _NOTHING else super().textFromValue(value)

    def valueFromText(self, text: str) -> float:
        return super().valueFromText(text) if self._typed(text) else _NOTHING

    def validate(self, text: str, at: int) -> object:
        """Nothing is an answer not given yet; less than nothing is none."""
        typed = self._typed(text)
        if not typed:
            return QValidator.State.Acceptable, text, at
        if typed.startswith("-"):
            return QValidator.State.Invalid, text, at
        return super().validate(text, at)
