"""The options of a question as a form, made from the fields themselves."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QLineEdit,
    QSpinBox,
    QWidget,
)

import linesim
from gui.document import PlantTables
from gui.look import ColumnLabel, label_of, spaced
from gui.pages.file_edit import FileEdit, PlantTableEdit
from gui.pages.name_choice import NameChoice
from gui.pages.run_controls import PlainNumber
from gui.pages.spans_edit import SpansEdit

_MOST = 1_000_000
_SMALLEST = 0.01


class OptionsForm(QWidget):
    """One control for each option; ``values`` are what they say."""

    def __init__(
        self,
        options: type[linesim.questions.StudyOptions],
        scenario: Callable[[], linesim.scenario.Scenario | None],
        tables: PlantTables | None = None,
        parent: QWidget | None = None,
        *,
        column: list[ColumnLabel] | None = None,
    ) -> None:
        """``tables``: those of the plant, for options that name one; ``column``: labels of a form
        that stands with it."""
        super().__init__(parent)
        self._options = options
        self.controls: dict[str, QWidget] = {}
        layout = QFormLayout(self)
        spaced(layout)
        layout.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for name, option in options.declared().items():
            control = _control(option, scenario, tables)
            several = " Several with semicolons between." if option.several else ""
            tip = option.help + several
            control.setToolTip(tip)
            control.setAccessibleName(option.title)
            control.setAccessibleDescription(tip)
            if isinstance(control, FileEdit):
                control.line.setAccessibleName(option.title)
                control.choose.setAccessibleName(f"choose a file: {option.title}")
            self.controls[name] = control
            if isinstance(control, QCheckBox):
                control.setText(option.title)
                layout.addRow(control)
                continue
            label = label_of(control, option.title, column)
            label.setToolTip(tip)
            layout.addRow(label, control)

    def values(self) -> dict[str, Any]:
        """What is set, by the names of the options."""
        found = {name: _value(control) for name, control in self.controls.items()}
        # What is empty means what it means where nothing is said.
        return {name: value for name, value in found.items() if value != ""}

    @property
    def choose_what(self) -> bool:
        """Whether what is asked is not known before it is chosen here."""
        options = self._options.declared().values()
        return any(option.required for option in options) or any(
            isinstance(control, SpansEdit) for control in self.controls.values()
        )

    def refresh(self) -> None:
        """The scenario may have other fields than before."""
        for control in self.controls.values():
            if isinstance(control, SpansEdit | NameChoice):
                control.refresh()

    def set_values(self, values: dict[str, Any]) -> None:
        """Show these."""
        for name, value in values.items():
            _show(self.controls[name], value)


def _control(
    option: linesim.questions.Option,
    scenario: Callable[[], linesim.scenario.Scenario | None],
    tables: PlantTables | None,
) -> QWidget:
    if option.kind is bool:
        tick = QCheckBox()
        tick.setChecked(option.default)
        return tick
    if option.kind in (int, float):
        return _number(option)
    if option.kind is tuple:
        return SpansEdit(scenario, option.default)
    if option.plant_table and tables is not None:
        return PlantTableEdit(tables, option.plant_table)
    if option.file:
        return FileEdit(option.default or "", option.kinds)
    if option.offered is not None:
        return NameChoice(scenario, option.offered, option.empty)
    if option.choices:
        box = QComboBox()
        box.addItem(option.empty.replace("-", " "), "")
        for choice in option.choices:
            # Typed it is one word.
            box.addItem(choice.replace("_", " ").replace("-", " "), choice)
        return box
    line = QLineEdit(option.default or "")
    line.setAcceptDrops(False)  # Files are the window's to open.
    shown = option.empty or (f"such as {option.example}" if option.example else "")
    seen = max(("chosen for this line", shown), key=len)
    line.setMinimumWidth(line.fontMetrics().horizontalAdvance(f"{seen}   "))
    line.setPlaceholderText(shown)
    return line


def _number(option: linesim.questions.Option) -> QSpinBox | PlainNumber:
    low = (option.least or 0) + (_SMALLEST if option.above_least else 0)
    high = _MOST if option.most is None else option.most
    number: QSpinBox | PlainNumber
    if option.kind is int:
        number = QSpinBox()
        number.setRange(int(low), int(high))
    else:
        number = PlainNumber()
        number.setDecimals(2)
        number.setRange(low, high)
        number.setStepType(PlainNumber.StepType.AdaptiveDecimalStepType)
    if low == option.default:
        number.setSpecialValueText(option.empty)
    number.setValue(option.default)
    number.setSuffix(f" {option.unit}" if option.unit else "")
    return number


def _value(control: QWidget) -> Any:
    if isinstance(control, QCheckBox):
        return control.isChecked()
    if isinstance(control, QSpinBox | PlainNumber):
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
    elif isinstance(control, QSpinBox | PlainNumber):
        control.setValue(value)
    elif isinstance(control, SpansEdit):
        control.set_texts(value)
    elif isinstance(control, FileEdit):
        control.line.setText(value or "")
    elif isinstance(control, QComboBox):
        control.setCurrentIndex(max(0, control.findData(value or "")))
    elif isinstance(control, QLineEdit):
        control.setText(value or "")
