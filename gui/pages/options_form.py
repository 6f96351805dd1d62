"""The options of a question as a form, made from the fields themselves."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import annotated_types
from pydantic.fields import FieldInfo
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QWidget,
)

import linesim
from gui.look import PlainLabel
from gui.pages.spans_edit import SpansEdit

_MOST = 1_000_000
_SMALLEST = 0.01


class PlainNumber(QDoubleSpinBox):
    """A number with a point, and no places that say nothing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setLocale(QLocale.c())

    def textFromValue(self, value: float) -> str:
        return f"{value:g}"


class FileEdit(QWidget):
    """The name of a file, typed or chosen."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = QLineEdit(name)
        self.line.setAcceptDrops(False)  # Files are the window's to open.
        self.line.setMinimumWidth(self.line.fontMetrics().horizontalAdvance("x" * 28))
        self.setFocusProxy(self.line)
        choose = self.choose = QPushButton("Choose…")
        choose.clicked.connect(self._choose)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.line)
        row.addWidget(choose)

    def _choose(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, self.accessibleName(), "", "Tables (*.csv *.xlsx *.tsv *.txt);;All files (*)"
        )
        if name:
            self.line.setText(name)


class OptionsForm(QWidget):
    """One control for each option; ``values`` are what they say."""

    def __init__(
        self,
        kind: linesim.QuestionKind,
        scenario: Callable[[], linesim.Scenario | None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self.controls: dict[str, QWidget] = {}
        layout = QFormLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setVerticalSpacing(3)
        layout.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for name, info in kind.options.model_fields.items():
            control = _control(info, scenario)
            control.setToolTip(info.description or "")
            control.setAccessibleName(info.title or name)
            control.setAccessibleDescription(info.description or "")
            if isinstance(control, FileEdit):
                control.line.setAccessibleName(info.title or name)
                control.choose.setAccessibleName(f"choose a file: {info.title or name}")
            self.controls[name] = control
            if isinstance(control, QCheckBox):
                control.setText(info.title or name)
                layout.addRow(control)
                continue
            label = PlainLabel(info.title or name)
            label.setToolTip(info.description or "")
            label.setBuddy(control)
            layout.addRow(label, control)

    def values(self) -> dict[str, Any]:
        """What is set, by the names of the options."""
        found = {name: _value(control) for name, control in self.controls.items()}
        # What is empty means what it means where nothing is said.
        return {name: value for name, value in found.items() if value != ""}

    def look_again(self) -> None:
        """The scenario may have other fields than before."""
        for control in self.controls.values():
            if isinstance(control, SpansEdit):
                control.look_again()

    def set_values(self, values: dict[str, Any]) -> None:
        """Show these."""
        for name, value in values.items():
            _show(self.controls[name], value)


def _control(info: FieldInfo, scenario: Callable[[], linesim.Scenario | None]) -> QWidget:
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = str(extra.get("unit", ""))
    low, high = _bounds(info)
    if info.annotation is bool:
        tick = QCheckBox()
        tick.setChecked(bool(info.default))
        return tick
    if info.annotation is int:
        whole = QSpinBox()
        whole.setRange(int(low), int(high))
        whole.setValue(info.default)
        whole.setSuffix(f" {unit}" if unit else "")
        return whole
    if info.annotation is float:
        number = PlainNumber()
        number.setDecimals(2)
        number.setRange(low, high)
        number.setValue(info.default)
        number.setSuffix(f" {unit}" if unit else "")
        number.setStepType(PlainNumber.StepType.AdaptiveDecimalStepType)
        if low == info.default:
            number.setSpecialValueText(str(extra.get("empty", "")))
        return number
    if info.annotation == tuple[str, ...]:
        return SpansEdit(scenario, info.default)
    if extra.get("file"):
        return FileEdit(info.default or "")
    if choices := extra.get("choices"):
        box = QComboBox()
        for choice in choices:  # type: ignore[union-attr]
            box.addItem(str(choice) or str(extra.get("empty")), choice)
        return box
    line = QLineEdit(info.default or "")
    line.setAcceptDrops(False)  # Files are the window's to open.
    line.setMinimumWidth(line.fontMetrics().horizontalAdvance("chosen for this line  "))
    line.setPlaceholderText(str(extra.get("empty", "")))
    return line


def _bounds(info: FieldInfo) -> tuple[float, float]:
    low, high = 0.0, float(_MOST)
    for rule in info.metadata:
        if isinstance(rule, annotated_types.Ge):
            low = float(rule.ge)  # type: ignore[arg-type]
        elif isinstance(rule, annotated_types.Gt):
            low = float(rule.gt) + _SMALLEST  # type: ignore[arg-type]
        elif isinstance(rule, annotated_types.Le):
            high = float(rule.le)  # type: ignore[arg-type]
    return low, high


def _value(control: QWidget) -> Any:
    if isinstance(control, QCheckBox):
        return control.isChecked()
    if isinstance(control, QSpinBox | QDoubleSpinBox):
        return control.value()
    if isinstance(control, SpansEdit):
        return control.texts()
    if isinstance(control, FileEdit):
        return control.line.text().strip()
    if isinstance(control, QComboBox):
        return control.currentData()
    assert isinstance(control, QLineEdit)
    return control.text().strip()


def _show(control: QWidget, value: Any) -> None:
    if isinstance(control, QCheckBox):
        control.setChecked(value)
    elif isinstance(control, QSpinBox | QDoubleSpinBox):
        control.setValue(value)
    elif isinstance(control, SpansEdit):
        control.set_texts(value)
    elif isinstance(control, FileEdit):
        control.line.setText(value or "")
    elif isinstance(control, QComboBox):
        control.setCurrentIndex(max(0, control.findData(value or "")))
    elif isinstance(control, QLineEdit):
        control.setText(value or "")
