"""One or two fields of the scenario, each with the values it takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QSpinBox, QWidget

import linesim
from gui.look import CLOSE, NEAR, PlainLabel, QuietLabel, spaced
from gui.pages.field_choice import FieldChoice, named_fields
from gui.pages.run_controls import PlainNumber, whole_number

_ENDS = 1e12
_MOST = 100
_PLACES = "bridge.places"
_SECOND = "crew.size=2:5:4"


class SpansEdit(QWidget):
    """Rows of a field and its values; the second one can be left out."""

    def __init__(
        self,
        scenario: Callable[[], linesim.scenario.Scenario | None],
        texts: Sequence[str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._scenario = scenario
        self._offered: tuple[object, ...] | None = None
        self.second = QCheckBox("and a second one (a map)")
        self.rows = (SpanRow(scenario), SpanRow(scenario, "second "))
        layout = QGridLayout(self)
        spaced(layout, CLOSE)
        for part in (self.rows[0], self.second, self.rows[1]):
            layout.addWidget(part)
        self.second.toggled.connect(self.rows[1].setVisible)
        self.refresh()
        self.set_texts(texts)

    def refresh(self) -> None:
        """Offer the fields that the scenario has now; what is typed stays."""
        fields = tuple(named_fields(self._scenario()))
        offered = tuple((each.name, each.label) for each in fields)
        if offered != self._offered:
            self._offered = offered
            for row in self.rows:
                row.field.offer(fields)

    def texts(self) -> tuple[str, ...]:
        """What is asked, as ``section.field=values``."""
        return tuple(row.text() for row in self.rows[: 2 if self.second.isChecked() else 1])

    def set_texts(self, texts: Sequence[str]) -> None:
        """Show these."""
        for row, text in zip(self.rows, [*texts, _SECOND], strict=False):
            row.set_text(text)
        self.second.setChecked(len(texts) > 1)
        self.rows[1].setVisible(self.second.isChecked())


class _Given(NamedTuple):
    """Values as they were asked for, which hold until others are set."""

    text: str
    values: tuple[float, ...]


class SpanRow(QWidget):
    """A field, and from where to where it goes in how many values."""

    def __init__(
        self, scenario: Callable[[], linesim.scenario.Scenario | None], which: str = ""
    ) -> None:
        super().__init__()
        self._scenario = scenario
        self._given: _Given | None = None
        self.field = FieldChoice()
        self.field.setAccessibleName(f"{which}field")
        self.start, self.end = PlainNumber(), PlainNumber()
        self.count: QSpinBox = whole_number(2, _MOST, 5, "How many values, evenly apart")
        self.each = QuietLabel()
        values = QHBoxLayout()
        spaced(values)
        for words, control, name in (
            ("from", self.start, "from"),
            ("to", self.end, "to"),
            ("in", self.count, "number of values"),
        ):
            control.setAccessibleName(f"{which}field: {name}")
            values.addWidget(PlainLabel(words))
            values.addWidget(control)
            control.valueChanged.connect(self._set)
        values.addWidget(PlainLabel("values"))
        values.addStretch(1)
        layout = QGridLayout(self)
        spaced(layout, CLOSE)
        layout.setVerticalSpacing(NEAR)
        layout.addWidget(self.field, 0, 0)
        layout.addLayout(values, 1, 0)
        layout.addWidget(self.each, 2, 0)
        self.field.chosen.connect(self._begin)

    def text(self) -> str:
        """``section.field=from:to:count``, or the values that were given."""
        values = f"{self.start.value():.12g}:{self.end.value():.12g}:{self.count.value()}"
        return f"{self.field.name}={values if self._given is None else self._given.text}"

    def set_text(self, text: str) -> None:
        """Show these values of that field. What is no number is kept, for the answer to refuse."""
        name, _, right = text.rpartition("=")
        self.field.choose(name.strip())
        try:
            values = linesim.studies.read_values(right, text)
        except ValueError:
            values = ()
        self._show(values)
        self._given = _Given(right, values)
        self._say()

    def _begin(self) -> None:
        """Another field: values around what it is now."""
        scenario, named = self._scenario(), self.field.field
        if scenario is not None and named is not None:
            self._show(linesim.studies.span_around(scenario, named.name).values)
        self._set()

    def _show(self, values: Sequence[float]) -> None:
        named = self.field.field
        for control in (self.start, self.end):
            control.blockSignals(True)
            # Whatever was asked stands there, within the field's bounds or not.
            control.setDecimals(0 if named is not None and named.field.kind == "whole" else 6)
            control.setRange(-_ENDS, _ENDS)
            control.setStepType(PlainNumber.StepType.AdaptiveDecimalStepType)
            control.setSuffix(f" {named.unit}" if named is not None and named.unit else "")
            control.setToolTip("" if named is None else named.field.help)
        if values:
            self.start.setValue(min(values))
            self.end.setValue(max(values))
        self.count.blockSignals(True)
        self.count.setValue(max(2, len(values)))
        for control in (self.start, self.end, self.count):
            control.blockSignals(False)

    def _set(self, *_: object) -> None:
        self._given = None
        self._say()

    def _say(self) -> None:
        """Every value where they are not evenly apart, and places in metres."""
        values: Sequence[float] = ()
        if self._given is not None and ":" not in self._given.text:
            values = self._given.values
        words, scenario = ", ".join(f"{value:g}" for value in values), self._scenario()
        if scenario is not None and self.field.name == _PLACES:
            ends = values or (self.start.value(), self.end.value())
            words = ", ".join(linesim.report.places_text(scenario, round(end)) for end in ends)
        self.each.setText(words)
        self.each.setVisible(bool(words))
