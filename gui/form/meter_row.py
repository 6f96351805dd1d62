"""How often a stop falls due: a law, counted on one of several meters."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

import linesim
from gui.document import Document
from gui.form.controls import CalmCombo, PutBack
from gui.form.field_row import FIELD, differs_within, faults_at
from gui.form.law_editor import LawEditor
from gui.look import CLOSE, FaultLabel, PlainLabel
from linesim.scenario import FieldGroup


class MeterRow(QWidget):
    """Exactly one of the fields ``group.one_of``: which one is chosen, its law is edited."""

    def __init__(
        self, document: Document, group: FieldGroup, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.name = document, ""
        self.fields = [field for field in group.fields if field.name in group.one_of]
        self.label = PlainLabel("Happens every so many")
        self.meter = CalmCombo()
        self.meter.setAccessibleName("what the interval is counted in")
        for field in self.fields:
            self.meter.addItem(field.label, field.name)
            index = self.meter.count() - 1
            self.meter.setItemData(index, field.help, Qt.ItemDataRole.ToolTipRole)
        self.meter.activated.connect(self._choose)
        self.label.setBuddy(self.meter)
        self.laws = [LawEditor(document, field) for field in self.fields]
        self.put_back = PutBack()
        self.put_back.setText("● changed; put back the file's")
        self.put_back.clicked.connect(self._put_back)
        self.fault = FaultLabel()
        top = QHBoxLayout()
        top.addWidget(self.label)
        top.addWidget(self.meter, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, CLOSE, 0, CLOSE)
        column.setSpacing(CLOSE)
        column.addLayout(top)
        for law, field in zip(self.laws, self.fields, strict=True):
            column.addWidget(law)
            law.setProperty(FIELD, field.name)
            law.edited.connect(lambda value, name=field.name: self._set(name, value))
        column.addWidget(self.put_back, 0, Qt.AlignmentFlag.AlignRight)
        column.addWidget(self.fault)

    def point_at(self, name: str) -> None:
        """Show the meters of the entry of this dotted name from now on."""
        self.name = name
        self.refresh()

    def refresh(self) -> None:
        """Show what the document says now."""
        chosen = self.chosen
        for place, (law, field) in enumerate(zip(self.laws, self.fields, strict=True)):
            law.setVisible(field.name == chosen)
            if field.name == chosen:
                self.meter.setCurrentIndex(place)
                full = self._full(field.name)
                law.show_value(self.document.value(full), self.document.default(full))
                law.show_doubts(full)
                law.set_accessible(f"every so many {field.label}", field.help)
        names = [self._full(field.name) for field in self.fields]
        self.put_back.setVisible(any(differs_within(self.document, name) for name in names))
        self.fault.say(*faults_at(self.document, self.owns))
        self.setEnabled(self.document.is_readable)

    @property
    def chosen(self) -> str:
        """The meter that counts: the one in the text, else the one a known cause brings."""
        for ask in (self.document.value, self.document.default):
            for field in self.fields:
                if ask(self._full(field.name)) is not None:
                    return field.name
        shown = self.meter.currentData()
        return str(shown or self.fields[0].name)

    def owns(self, name: str) -> bool:
        """Whether a fault at *name* belongs here."""
        name, _ = linesim.scenario.doubt_at(self.document.data, name)
        return any(
            name == full or name.startswith(f"{full}.")
            for full in (self._full(field.name) for field in self.fields)
        )

    def take_focus(self) -> None:
        """Put the keyboard here."""
        self.meter.setFocus(Qt.FocusReason.OtherFocusReason)

    def _full(self, field: str) -> str:
        return f"{self.name}.{field}"

    def _set(self, field: str, value: Any) -> None:
        if not self.document.set_field(self._full(field), value):
            self.refresh()

    def _choose(self, index: int) -> None:
        """The figures go over to the other meter: they are seen there and can be set right."""
        new, old = self.meter.itemData(index), self.chosen
        if new == old:
            # While no interval is stated the choice alone says which one is meant.
            self.refresh()
            return
        value = self.document.value(self._full(old))
        if value is None:
            value = self.document.default(self._full(old))
        changes = {
            self._full(field.name): None
            for field in self.fields
            if field.name != new and self.document.value(self._full(field.name)) is not None
        }
        if value is not None:
            changes[self._full(new)] = value
        changes |= linesim.scenario.doubts_moved(
            self.document.data, self._full(old), self._full(new)
        )
        self.document.set_fields(changes, "what the interval is counted in")
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.put_back.clicked_by(event):
            super().keyPressEvent(event)

    def _put_back(self) -> None:
        names = [self._full(field.name) for field in self.fields]
        self.document.put_back(names, "interval as in the file")
