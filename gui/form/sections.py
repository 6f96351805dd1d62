"""The sections of the form in the order of the paper: a list, or a choice where it is narrow."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QListWidget

import linesim
from gui.document import Document
from gui.form.controls import CalmCombo
from linesim.scenario import FieldGroup


class Sections(QObject):
    """Which section is shown; ▲ marks one with a fault, ● one that differs from the file."""

    chosen = Signal(str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._groups = linesim.scenario.field_groups()
        self.list = QListWidget()
        self.list.setAccessibleName("sections")
        self.list.setUniformItemSizes(True)
        self.combo = CalmCombo()
        self.combo.setAccessibleName("section")
        self.combo.setMaxVisibleItems(len(self._groups))
        for group in self._groups:
            self.list.addItem(group.name)
            self.list.item(self.list.count() - 1).setToolTip(group.help)
            self.combo.addItem(group.name)
        self.refresh()
        widest = self.list.sizeHintForColumn(0) + 4 * self.list.fontMetrics().averageCharWidth()
        self.list.setFixedWidth(widest + 24)
        self.list.currentRowChanged.connect(self._choose)
        self.combo.activated.connect(self._choose)
        self.combo.hide()

    def set_narrow(self, narrow: bool) -> None:
        """A choice above the page instead of a list beside it."""
        self.list.setVisible(not narrow)
        self.combo.setVisible(narrow)

    def choose(self, name: str) -> None:
        """Mark this section without announcing it."""
        row = [group.name for group in self._groups].index(name)
        self.list.blockSignals(True)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)
        self.combo.setCurrentIndex(row)

    def refresh(self) -> None:
        """Show counts and marks as the document is now."""
        faulty = {_section(fault.field) for fault in self._document.faults}
        for row, group in enumerate(self._groups):
            words = self._words(group, group.name in faulty)
            self.list.item(row).setText(words)
            self.combo.setItemText(row, words)

    def _words(self, group: FieldGroup, faulty: bool) -> str:
        words = linesim.report.capital(group.title)
        if group.is_list:
            given = self._document.data.get(group.name)
            count = len(given) if isinstance(given, list) else group.least
            words += f" ({count})"
        if faulty:
            return f"{words} ▲"
        return f"{words} ●" if self._document.differs(group.name) else words

    def _choose(self, row: int) -> None:
        if row >= 0:
            self.chosen.emit(self._groups[row].name)


def _section(field: str) -> str:
    return field.split(".")[0].split("[")[0]
