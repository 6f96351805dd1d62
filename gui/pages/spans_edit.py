"""One or two fields of the scenario, each with the values it takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QGridLayout,
    QLineEdit,
    QWidget,
)

import linesim
from gui.look import PlainLabel

_NUMBERS = ("number", "whole", "law")


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
        self._names: list[str] = []
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setVerticalSpacing(3)
        self.second = QCheckBox("and a second one (a map)")
        self.fields: list[QComboBox] = []
        self.ranges: list[QLineEdit] = []
        for row in range(2):
            field = _names_box()
            field.setAccessibleName("field" if row == 0 else "second field")
            values = QLineEdit()
            values.setAcceptDrops(False)  # Files are the window's to open.
            values.setPlaceholderText("from:to:how many, or a,b,c")
            values.setMinimumWidth(
                values.fontMetrics().horizontalAdvance("from:to:how many, or a  ")
            )
            values.setAccessibleName("values" if row == 0 else "values of the second field")
            layout.addWidget(field, 2 * row, 0)
            layout.addWidget(PlainLabel("takes"), 2 * row, 1)
            layout.addWidget(values, 2 * row, 2)
            self.fields.append(field)
            self.ranges.append(values)
        layout.addWidget(self.second, 1, 0, 1, 3)
        self.second.toggled.connect(self._toggled)
        self.refresh()
        self.set_texts(texts)

    def refresh(self) -> None:
        """Offer the fields that the scenario has now; what is typed stays."""
        names = list(field_names(self._scenario()))
        if names == self._names:
            return
        self._names = names
        for field in self.fields:
            typed = field.currentText()
            field.clear()
            field.addItems(names)
            field.setCurrentText(typed)

    def texts(self) -> tuple[str, ...]:
        """What is asked, as ``section.field=values``."""
        rows = 2 if self.second.isChecked() else 1
        return tuple(
            f"{self.fields[n].currentText().strip()}={self.ranges[n].text().strip()}"
            for n in range(rows)
        )

    def set_texts(self, texts: Sequence[str]) -> None:
        """Show these."""
        for n, text in enumerate([*texts, "crew.size=2:5:4"][:2]):
            name, _, values = text.partition("=")
            self.fields[n].setCurrentText(name)
            self.ranges[n].setText(values)
        self.second.setChecked(len(texts) > 1)
        self._toggled(self.second.isChecked())

    def _toggled(self, on: bool) -> None:
        for part in (self.fields[1], self.ranges[1]):
            part.setEnabled(on)


def _names_box() -> QComboBox:
    box = QComboBox()
    box.setEditable(True)
    line = box.lineEdit()
    assert line is not None
    line.setAcceptDrops(False)  # Files are the window's to open.
    box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(20)
    completer = QCompleter(box.model(), box)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    box.setCompleter(completer)
    return box


def field_names(scenario: linesim.scenario.Scenario | None) -> Iterator[str]:
    """Fields that hold a number or a law, as they are called in this scenario."""
    for group in linesim.scenario.field_groups():
        owners = [group.name]
        if group.is_list:
            entries = getattr(scenario, group.name, ()) if scenario is not None else ()
            owners = [f"{group.name}[{n}]" for n in range(len(entries))]
        for owner in owners:
            for field in group.fields:
                if field.kind in _NUMBERS and group.name != "money":
                    yield f"{owner}.{field.name}"
