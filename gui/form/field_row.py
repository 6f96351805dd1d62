"""One field of the form: label, editor, unit, what is usual, what is wrong, what the file says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.document import Document, field_label, help_words
from gui.form.controls import PutBack
from gui.form.doubt_button import DoubtButton
from gui.form.editors import ChoiceEditor, Editor, LineEditor, SuggestingEditor, SwitchEditor
from gui.form.law_editor import LawEditor
from gui.form.typed import shown, usual
from gui.look import CLOSE, NEAR, FaultLabel, PlainLabel, QuietLabel
from linesim.report import capital, unit_words
from linesim.scenario import Fault, FieldDescription, currency_of, unit_in

_EDITOR_WIDTH_CH = 17
_UNIT_WIDTH_CH = 11
_WITHOUT_UNIT = ("text", "choice")
FIELD = "field"
"""The property of a widget that says the name of the field that it edits."""


class FieldRow(QWidget):
    """A field of the document, under the dotted name it was pointed at."""

    def __init__(
        self, document: Document, field: FieldDescription, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.field, self.name = document, field, ""
        self.setProperty(FIELD, field.name)
        self.editor = editor_for(document, field)
        self.editor.edited.connect(self._set)
        self.label = PlainLabel(capital(field.label))
        self.label.setWordWrap(True)
        self.label.setBuddy(self.editor)
        self.unit = PlainLabel()
        self.unit.setWordWrap(True)
        self.usual = QuietLabel(usual(field), self)
        self.usual.setVisible(bool(self.usual.text()))
        self.put_back = PutBack()
        self.put_back.clicked.connect(self._put_back)
        self.fault = FaultLabel()
        self.doubt: DoubtButton | None = None
        if field.is_figure and isinstance(self.editor, LineEditor):
            self.doubt = DoubtButton(document, field.label)
            self.doubt.offer_on(self.editor.line, self.label)
        tip = f"<p>{help_words(field.help)}</p><p><i>{field.name}</i></p>"
        for widget in (self, self.label):
            widget.setToolTip(tip)
        self._lay_out()

    def point_at(self, name: str) -> None:
        """Show the field of this dotted name from now on."""
        self.name = name
        self.refresh()

    def refresh(self) -> None:
        """Show what the document says now."""
        document, name = self.document, self.name
        unit = unit_words(unit_in(self.field.unit, currency_of(document.data)))
        self.unit.setText(unit)
        self.editor.show_value(document.value(name), document.default(name))
        self.editor.setEnabled(document.is_readable)
        if self.doubt is not None:
            self.doubt.point_at(name, unit=unit)
        elif isinstance(self.editor, LawEditor):
            self.editor.show_doubts(name)
        wrong = faults_at(document, self.owns)
        self.fault.say(*wrong)
        differs = differs_within(document, name)
        self.put_back.setVisible(differs)
        if differs:
            then = document.file_value(name)
            what = _short(then) if then != document.value(name) else "the file's"
            self.put_back.setText(f"● changed; put back {what}")
            self.put_back.setAccessibleName(f"Put back {self.field.label} as in the file")
        notes = [help_words(self.field.help), self.usual.text(), *wrong]
        called = f"{self.field.label}, {unit}" if unit else self.field.label
        self.editor.set_accessible(called, ". ".join(note for note in notes if note))

    def owns(self, name: str) -> bool:
        """Whether a fault at *name* belongs here."""
        name, _ = linesim.scenario.doubt_at(self.document.data, name)
        return name == self.name or name.startswith((f"{self.name}.", f"{self.name}["))

    def take_focus(self) -> None:
        """Put the keyboard here; what is typed next takes the place of what stands here."""
        self.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _set(self, value: Any) -> None:
        if not self.document.set_field(self.name, value):
            self.refresh()

    def _put_back(self) -> None:
        self.document.put_back([self.name], field_label(self.name, self.document.data))
        self.take_focus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.put_back.clicked_by(event):
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "doubt"):
            self._fit()

    def _fit(self) -> None:
        if not self.editor.beside_label:
            return
        character = self.fontMetrics().averageCharWidth()
        wide = _EDITOR_WIDTH_CH * character
        # Where there is no unit to leave room for: long names need it more.
        more = _UNIT_WIDTH_CH * character + NEAR if self.field.kind in _WITHOUT_UNIT else 0
        self.editor.setFixedWidth(wide + more)
        self.unit.setFixedWidth(_UNIT_WIDTH_CH * character)

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, CLOSE, 0, CLOSE)
        grid.setVerticalSpacing(0)
        grid.setColumnStretch(0, 1)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addWidget(self.label)
        words.addWidget(self.usual)
        grid.addLayout(words, 0, 0)
        if self.editor.beside_label:
            self.editor.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            self._fit()
            beside = QHBoxLayout()
            beside.setSpacing(NEAR)
            beside.addWidget(self.editor)
            if self.field.kind not in _WITHOUT_UNIT:
                beside.addWidget(self.unit)
            figures = QVBoxLayout()
            figures.setSpacing(0)
            figures.addLayout(beside)
            if self.doubt is not None:
                figures.addWidget(self.doubt)
            grid.addLayout(figures, 0, 1, Qt.AlignmentFlag.AlignTop)
        else:
            grid.addWidget(self.editor, 1, 0, 1, 2)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.put_back)
        grid.addLayout(below, 2, 0, 1, 2)
        grid.addWidget(self.fault, 3, 0, 1, 2)


def editor_for(document: Document, field: FieldDescription) -> Editor:
    """The editor that suits the kind of *field*."""
    if field.kind == "law":
        return LawEditor(document, field)
    if field.kind == "choice":
        return ChoiceEditor(field)
    if field.kind == "switch":
        return SwitchEditor(field)
    if field.suggestions:
        return SuggestingEditor(document, field)
    return LineEditor(document, field)


def differs_within(document: Document, name: str) -> bool:
    """Whether a field differs from the file; in an entry that is new as a whole none is marked."""
    path = linesim.scenario.split_name(name)
    if len(path) > 2 and isinstance(path[1], int):
        entry = f"{path[0]}[{path[1]}]"
        if document.file_value(entry) is None:
            return False
    return document.differs(name)


def faults_at(document: Document, owns: Callable[[str], bool]) -> list[str]:
    """The faults at names that *owns* holds for, in words where their fields are plain to see."""
    found = []
    for fault in document.faults:
        if owns(fault.field):
            _, said = linesim.scenario.doubt_at(document.data, fault.field)
            found.append(f"{said.label}: {fault_text(fault)}" if said else fault_text(fault))
    return found


def fault_text(fault: Fault) -> str:
    """A fault in words where its field is plain to see."""
    right = f"; right would be: {fault.would_be_right}" if fault.would_be_right else ""
    # Some say the value themselves.
    value = f"{fault.value} " if fault.value and fault.problem.startswith(("is ", "has ")) else ""
    return f"{value}{fault.problem}{right}"


def _short(value: Any) -> str:
    text = shown(value) or "“not given”"
    return text if len(text) <= 40 else text[:37] + "…"
