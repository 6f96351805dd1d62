"""One editor for each kind of field: a line, a choice, a switch."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QCompleter, QHBoxLayout, QWidget

from gui.document import Document
from gui.form.controls import CalmCombo, TypedLine
from gui.form.typed import shown, value_of
from linesim.scenario import FieldDescription


class Editor(QWidget):
    """What all editors have: they show a value and tell what the user made of it."""

    edited = Signal(object)
    beside_label = True

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(0, 0, 0, 0)

    def show_value(self, value: Any, default: Any) -> None:
        """Show what the file says, and what is meant where it says nothing."""
        raise NotImplementedError

    def set_accessible(self, name: str, description: str) -> None:
        """Name and description for who cannot see the form."""
        for widget in self.findChildren(QWidget):
            if widget.focusPolicy() != Qt.FocusPolicy.NoFocus:
                widget.setAccessibleName(widget.property("part") or name)
                widget.setAccessibleDescription(description)


def line_for(field: FieldDescription, default: Any) -> str:
    """What stands faintly in an empty line."""
    if default is not None and shown(default):
        return f"standard {shown(default)}"
    return "needed" if field.required else "not given"


class LineEditor(Editor):
    """A number or a text."""

    def __init__(
        self, document: Document, field: FieldDescription, parent: QWidget | None = None
    ) -> None:
        super().__init__(field, parent)
        self.line = TypedLine(document)
        self.row.addWidget(self.line)
        self.setFocusProxy(self.line)
        self.line.rested.connect(lambda typed: self.edited.emit(value_of(typed, field)))

    def show_value(self, value: Any, default: Any) -> None:
        self.line.setPlaceholderText(line_for(self.field, default))
        show_in(self.line, value, self.field)


def show_in(line: TypedLine, value: Any, field: FieldDescription) -> None:
    """Show *value*, but leave alone what the user is typing where it means that value."""
    if line.waiting:
        return
    typed = value_of(line.text(), field)
    if typed != value or type(typed) is bool or not line.hasFocus():
        line.show_text(shown(value))


class SuggestingEditor(Editor):
    """A text with some known answers to choose from."""

    def __init__(
        self, document: Document, field: FieldDescription, parent: QWidget | None = None
    ) -> None:
        super().__init__(field, parent)
        self.combo = CalmCombo()
        self.line = TypedLine(document)
        self.combo.setEditable(True)
        line = self.combo.lineEdit()
        assert line is not None
        line.setAcceptDrops(False)  # Files are the window's to open.
        self.combo.setLineEdit(self.line)
        self.combo.setInsertPolicy(CalmCombo.InsertPolicy.NoInsert)
        self.combo.addItems(list(field.suggestions))
        completer = QCompleter(list(field.suggestions), self.combo)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.combo.setCompleter(completer)
        self.row.addWidget(self.combo)
        self.setFocusProxy(self.combo)
        self.line.rested.connect(lambda typed: self.edited.emit(value_of(typed, field)))
        self.combo.textActivated.connect(lambda text: self.edited.emit(value_of(text, field)))

    def show_value(self, value: Any, default: Any) -> None:
        self.line.setPlaceholderText(line_for(self.field, default))
        if self.line.waiting:
            return
        if self.combo.currentText() != shown(value):
            self.combo.setCurrentIndex(self.combo.findText(shown(value)))
            self.line.show_text(shown(value))


class ChoiceEditor(Editor):
    """One of a few; the first leaves the field out of the file."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.combo = CalmCombo()
        self.row.addWidget(self.combo)
        self.setFocusProxy(self.combo)
        self.combo.addItem("", None)
        for choice in field.choices:
            self.combo.addItem(plain(choice), choice)
        self.combo.activated.connect(lambda index: self.edited.emit(self.combo.itemData(index)))

    def show_value(self, value: Any, default: Any) -> None:
        absent = "not given" if default is None else f"standard: {plain(default)}"
        self.combo.setItemText(0, absent)
        # What is no choice must be seen as well as told.
        while self.combo.count() > len(self.field.choices) + 1:
            self.combo.removeItem(self.combo.count() - 1)
        if value is not None and value not in self.field.choices:
            self.combo.addItem(shown(value), value)
        index = 0 if value is None else self.combo.findData(value)
        self.combo.setCurrentIndex(index)


class SwitchEditor(Editor):
    """Yes or no."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.box = QCheckBox()
        self.row.addWidget(self.box)
        self.row.addStretch(1)
        self.setFocusProxy(self.box)
        self.box.clicked.connect(lambda on: self.edited.emit(bool(on)))

    def show_value(self, value: Any, default: Any) -> None:
        said = default if value is None else value
        if isinstance(said, bool):
            self.box.setTristate(False)
            self.box.setChecked(said)
        else:
            self.box.setCheckState(Qt.CheckState.PartiallyChecked)
        self.box.setText("yes" if said is True else "no" if said is False else shown(said))


def plain(choice: Any) -> str:
    """A choice as people say it: ``standing_change`` is a standing change."""
    return shown(choice).replace("_", " ")
