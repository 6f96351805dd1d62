"""A law of chance: its kind, its figures and its shape."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

import linesim
from gui.document import Document, field_label
from gui.form.controls import CalmCombo, TypedLine
from gui.form.doubt_button import DoubtButton
from gui.form.editors import Editor, show_in
from gui.form.law_picture import LawPicture
from gui.form.typed import shown, value_of
from gui.look import CLOSE, NEAR, PlainLabel, QuietLabel
from linesim.scenario import FieldDescription

_SAID = {"sd": "spread (sd)", "mode": "most likely"}
_FIGURE_WIDTH_CH = 11
_KIND_CH = 15
"""So many wide letters are as wide as the longest of its words."""


class LawEditor(Editor):
    """A number or a law; with the law's own words and a small picture."""

    beside_label = False

    def __init__(
        self, document: Document, field: FieldDescription, parent: QWidget | None = None
    ) -> None:
        super().__init__(field, parent)
        self._document = document
        self._laws = {law.name: law for law in linesim.scenario.law_descriptions()}
        self._unit = linesim.report.unit_words(field.unit)
        self._value: Any = None
        self._meant: Any = None
        self._kind = ""
        self._name = ""
        self.lines: dict[str, TypedLine] = {}
        self.doubts: dict[str, DoubtButton] = {}
        """How sure the figures are, by the figure; the mean has no name."""
        self.kind = CalmCombo()
        self.kind.setMinimumContentsLength(_KIND_CH)
        self.kind.setProperty("part", f"law of {field.label}")
        self.kind.addItem("not given", None)
        for law in self._laws.values():
            self.kind.addItem(law.name, law.name)
            self.kind.setItemData(self.kind.count() - 1, law.help, Qt.ItemDataRole.ToolTipRole)
        self.kind.activated.connect(self._choose)
        self._figures = QGridLayout()
        self._figures.setContentsMargins(0, 0, 0, 0)
        self._figures.setHorizontalSpacing(NEAR)
        self._single = QHBoxLayout()
        self._single.setSpacing(NEAR)
        self._elsewhere = QVBoxLayout()
        """Doubts of figures that have no line of their own."""
        self.picture = LawPicture()
        self.words = QuietLabel()
        self._build()

    def show_value(self, value: Any, default: Any) -> None:
        self._value = value
        self._meant = default if value is None else value
        kind = _kind_of(self._meant)
        if kind != self._kind:
            self._kind = kind
            self._set_out()
        absent = "not given" if default is None else f"standard: {_kind_of(default)}"
        self.kind.setItemText(0, absent)
        tip = "" if default is None else "what is meant where the file does not say"
        self.kind.setItemData(0, tip, Qt.ItemDataRole.ToolTipRole)
        while self.kind.count() > len(self._laws) + 1:
            self.kind.removeItem(self.kind.count() - 1)
        if value is not None and kind not in self._laws:
            self.kind.addItem(kind, kind)
        self.kind.setCurrentIndex(0 if value is None else self.kind.findData(kind))
        for name, line in self.lines.items():
            line.setPlaceholderText(shown(_figure(default, name)) if value is None else "needed")
            show_in(line, _figure(value, name), self._part(name))
        words = self.picture.show_law(self._meant, self._unit)
        self.words.setText(words)
        self.words.setVisible(bool(words) and kind != "constant")

    def show_doubts(self, name: str) -> None:
        """Show how sure the figures of the field of this dotted name are."""
        self._name = name
        for part in self._document.doubts(name):
            if part not in self.doubts:
                self._elsewhere.addWidget(self._doubt(part, _SAID.get(part, part), part))
        for part, button in self.doubts.items():
            button.point_at(name, part, unit="" if part == "shape" else self._unit)

    def _build(self) -> None:
        self.row.setSpacing(0)
        box = QVBoxLayout()
        box.setSpacing(CLOSE)
        self.row.addLayout(box)
        top = QHBoxLayout()
        top.addWidget(self.kind)
        top.addWidget(self.picture)
        top.addLayout(self._single)
        top.addStretch(1)
        box.addLayout(top)
        box.addLayout(self._figures)
        box.addLayout(self._elsewhere)
        box.addWidget(self.words)
        self.setFocusProxy(self.kind)

    def _set_out(self) -> None:
        """A line for each figure of the kind of law that is shown."""
        for layout in (self._figures, self._single, self._elsewhere):
            while (item := layout.takeAt(0)) is not None:
                if (old := item.widget()) is not None:
                    old.hide()
                    old.deleteLater()
        self.lines.clear()
        self.doubts.clear()
        law = self._laws.get(self._kind)
        if self._kind == "constant":
            line = self._line("mean", "value")
            doubt = self._doubt("", "value")
            doubt.offer_on(line, self.kind)
            for widget in (line, PlainLabel(self._unit), doubt):
                self._single.addWidget(widget)
            return
        for place, part in enumerate(law.fields if law is not None else ()):
            said = _SAID.get(part.name, part.label)
            line = self._line(part.name, said)
            label = PlainLabel(said)
            label.setBuddy(line)
            label.setToolTip(part.help)
            line.setToolTip(part.help)
            row, column = divmod(place, 2)
            wide = part.kind == "numbers"
            self._figures.addWidget(label, row * 2, column * 2)
            self._figures.addWidget(line, row * 2, column * 2 + 1, 1, 4 if wide else 1)
            if wide:
                line.setMaximumWidth(10_000)
                continue
            doubt = self._doubt("" if part.name == "mean" else part.name, said)
            doubt.offer_on(line)
            self._figures.addWidget(doubt, row * 2 + 1, column * 2 + 1)
        if "" not in self.doubts:
            self._elsewhere.addWidget(self._doubt("", "mean", "mean"))
        self.doubts[""].offer_on(self.kind)
        for row in {2 * (place // 2) for place in range(len(self.lines))}:
            self._figures.addWidget(PlainLabel(self._unit), row, 5)
        self._figures.setColumnStretch(6, 1)

    def _line(self, name: str, said: str) -> TypedLine:
        line = TypedLine(self._document)
        line.setMaximumWidth(_FIGURE_WIDTH_CH * self.fontMetrics().averageCharWidth())
        line.setProperty("part", f"{said} of {self.field.label}")
        line.setAccessibleName(line.property("part"))
        line.rested.connect(lambda typed: self._type(name, typed))
        self.lines[name] = line
        return line

    def _doubt(self, part: str, said: str, mark: str = "") -> DoubtButton:
        button = DoubtButton(self._document, f"{said} of {self.field.label}", mark=mark)
        self.doubts[part] = button
        return button

    def _part(self, name: str) -> FieldDescription:
        law = self._laws[self._kind]
        return next(replace(part) for part in law.fields if part.name == name)

    def _type(self, name: str, typed: str) -> None:
        figure = value_of(typed, self._part(name))
        if self._kind == "constant" and not isinstance(self._meant, dict):
            self.edited.emit(figure)
            return
        law = dict(self._meant) if isinstance(self._meant, dict) else {"law": self._kind}
        law[name] = figure
        if figure is None:
            del law[name]
        if set(law) == {"law"}:
            self.edited.emit(None)
            return
        self.edited.emit(law)

    def _choose(self, index: int) -> None:
        name = self.kind.itemData(index)
        if name == self._kind and self._value is not None:
            return
        if name is None:
            self.edited.emit(None)
        else:
            start = self._meant
            if start is None and self.field.typical is not None:
                start = sum(self.field.typical) / 2
            same = name == _kind_of(start)
            law = start if same else linesim.scenario.law_like(start, name)
            self._leave_out_doubts(law)
            self.edited.emit(law)

    def _leave_out_doubts(self, law: Any) -> None:
        """Set *law* without the doubts of figures that it does not have, in one step."""
        left = set(law) if isinstance(law, dict) else set()
        gone = {
            f"{self._name}.{part}": None
            for part in self._document.doubts(self._name)
            if part and part not in left
        }
        if gone:
            data = self._document.data
            changes = {self._name: law} | linesim.scenario.doubt_changes(data, gone)
            self._document.set_fields(changes, field_label(self._name, data), self._name)


def _kind_of(value: Any) -> str:
    if isinstance(value, dict):
        return shown(value.get("law", "constant"))
    return "constant"


def _figure(value: Any, name: str) -> Any:
    if isinstance(value, dict):
        return value.get(name)
    return value if name == "mean" else None
