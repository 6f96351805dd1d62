"""Choosing a field of the scenario by a word of what the form calls it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QStringListModel, Signal
from PySide6.QtWidgets import QComboBox, QCompleter, QWidget

import linesim
from gui.form.search import holds
from linesim.report import capital, unit_words
from linesim.scenario import CURRENCY, FieldDescription, FieldGroup, Scenario

_NUMBERS = ("number", "whole", "law")


class NamedField(NamedTuple):
    """A field that takes numbers: what the form calls it, and what a question does."""

    label: str
    name: str
    unit: str
    field: FieldDescription

    def is_called(self, words: list[str]) -> bool:
        """Whether all these words are in its label, its name, its unit or its help."""
        return holds(f"{self.label} {self.name} {self.unit} {self.field.help}", words)


class FieldChoice(QComboBox):
    """Every field by part and label; typing finds those that hold all the words typed."""

    chosen = Signal()
    """Another field stands there now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fields: tuple[NamedField, ...] = ()
        self._before = ""
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(34)
        self.setMaxVisibleItems(20)
        self._found = QStringListModel(self)
        finder = QCompleter(self._found, self)
        finder.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        finder.setMaxVisibleItems(12)
        self.setCompleter(finder)
        line = self.lineEdit()
        assert line is not None
        line.setAcceptDrops(False)  # Files are the window's to open.
        line.setPlaceholderText("a word of it: places, crew, jam …")
        line.textEdited.connect(self._search)
        line.editingFinished.connect(self._settle)
        self.activated.connect(self._settle)
        finder.activated.connect(self._settle)

    @property
    def found(self) -> list[str]:
        """The labels offered for what is typed."""
        return self._found.stringList()

    @property
    def field(self) -> NamedField | None:
        """The field that stands there; None where it is none of the scenario."""
        text = self.currentText().strip()
        return next((each for each in self._fields if text in (each.label, each.name)), None)

    @property
    def name(self) -> str:
        """What a question calls it; what is typed where it is none of the scenario's fields."""
        return self.currentText().strip() if self.field is None else self.field.name

    def offer(self, fields: tuple[NamedField, ...]) -> None:
        """Have these to choose from; what is typed stays."""
        text = self.currentText()
        self._fields = fields
        self.clear()
        self.addItems([each.label for each in fields])
        self.setCurrentText(text)

    def choose(self, name: str) -> None:
        """Have this one there."""
        label = next((each.label for each in self._fields if each.name == name), name)
        self.setCurrentText(label)
        self._before = self.name

    def _search(self, typed: str) -> None:
        words = typed.casefold().split()
        called = [each for each in self._fields if holds(each.label, words)]
        spoken = [each for each in self._fields if each not in called and each.is_called(words)]
        self._found.setStringList([each.label for each in (*called, *spoken)])

    def _settle(self, *_: object) -> None:
        """What is typed means the only field found for it."""
        if self.field is None and len(self.found) == 1:
            self.setCurrentText(self.found[0])
        if self.name != self._before:
            self._before = self.name
            self.chosen.emit()


def named_fields(scenario: Scenario | None) -> Iterator[NamedField]:
    """Fields that hold a number or a law; entries of a list go by their names."""
    for group in linesim.scenario.field_groups():
        for owner, said in _owners(group, scenario):
            for field in group.fields:
                if field.kind in _NUMBERS and not _is_money(group, field):
                    unit = unit_words(field.unit)
                    mean = ", mean" if field.kind == "law" else ""
                    label = f"{capital(said)}: {field.label}{mean}"
                    yield NamedField(label, f"{owner}.{field.name}", unit, field)


def _is_money(group: FieldGroup, field: FieldDescription) -> bool:
    """Prices, and what may be changed at a price, change nothing that the line makes."""
    return group.name in ("money", "levers") or CURRENCY in field.unit


def _owners(group: FieldGroup, scenario: Scenario | None) -> Iterator[tuple[str, str]]:
    """What holds the fields, as questions and as people call it."""
    if not group.is_list:
        yield group.name, group.label
        return
    tables = getattr(scenario, group.name, ()) if scenario is not None else ()
    entries = [table.model_dump() for table in tables]
    names = [linesim.scenario.entry_label(group.label, entries, n) for n in range(len(entries))]
    for n, (entry, name) in enumerate(zip(entries, names, strict=True)):
        own = name in (entry.get("cause"), entry.get("name")) and names.count(name) == 1
        yield f"{group.name}.{name}" if own else f"{group.name}[{n}]", _said(group.label, name)


def _said(label: str, name: str) -> str:
    """What an entry is, where its name does not say so."""
    return name if name.casefold().startswith(label.casefold()) else f"{label} {name}"
