"""The parts of the form in the order of the paper: a list beside them, or before them."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QListWidget, QPushButton

import linesim
from gui.document import Document, help_words
from gui.look import FAR, plain_tip, set_icon
from linesim.scenario import FieldGroup

_ANY_WIDTH = 16_777_215
"""Qt's own ``QWIDGETSIZE_MAX``."""


class Sections(QObject):
    """Which section is shown; ▲ marks one with a fault, ● one that differs from the file.

    Where there is no room beside the fields, the list stands in their place until one is chosen;
    ``back`` leads to it.
    """

    chosen = Signal(str)
    browsed = Signal()
    """The list stands in the place of the fields, or no longer."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._groups = linesim.scenario.field_groups()
        self.list = QListWidget()
        self.list.setAccessibleName("parts of the line")
        self.list.setUniformItemSizes(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.back = QPushButton()
        self.back.setToolTip("All parts of the line")
        set_icon(self.back, "parts")
        self.back.clicked.connect(self._browse)
        self.back.hide()
        self._narrow = self.browsing = False
        for group in self._groups:
            self.list.addItem(group.name)
            self.list.item(self.list.count() - 1).setToolTip(plain_tip(help_words(group.help)))
        self.refresh()
        self.list.currentRowChanged.connect(self._pass)
        for signal in (self.list.itemClicked, self.list.itemActivated):
            signal.connect(lambda item: self._choose(self.list.row(item)))

    def set_narrow(self, narrow: bool) -> None:
        """The list stands before the fields instead of beside them."""
        if narrow != self._narrow:
            self._narrow, self.browsing = narrow, False
            self._lay_out()

    def _browse(self) -> None:
        self.browsing = True
        self._lay_out()
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        metrics = self.list.fontMetrics()
        beside = self.list.sizeHintForColumn(0) + 4 * metrics.averageCharWidth() + FAR
        self.list.setMaximumWidth(_ANY_WIDTH if self._narrow else beside)
        self.list.setMinimumWidth(0 if self._narrow else beside)
        self.list.setVisible(self.browsing or not self._narrow)
        self.back.setVisible(self._narrow and not self.browsing)
        self.browsed.emit()

    def choose(self, name: str) -> None:
        """Mark this section without announcing it."""
        row = [group.name for group in self._groups].index(name)
        self.list.blockSignals(True)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)
        self.back.setText(self._says(row))
        self.browsing = False
        self._lay_out()

    def refresh(self) -> None:
        """Show counts and marks as the document is now."""
        faulty = {_section(fault.field) for fault in self._document.faults}
        for row, group in enumerate(self._groups):
            words = self._words(group, group.name in faulty)
            self.list.item(row).setText(words)
        self.back.setText(self._says(self.list.currentRow()))

    def _says(self, row: int) -> str:
        """Where the form is, and that there is more."""
        item = self.list.item(row)
        return "All parts" if item is None else f"All parts  ›  {item.text()}"

    def _words(self, group: FieldGroup, faulty: bool) -> str:
        words = linesim.report.capital(group.title)
        if group.is_list:
            given = self._document.data.get(group.name)
            count = len(given) if isinstance(given, list) else group.least
            words += f" ({count})"
        if faulty:
            return f"{words} ▲"
        return f"{words} ●" if self._document.differs(group.name) else words

    def _pass(self, row: int) -> None:
        """Beside the fields the arrows turn to a part; before them, Enter or a click does."""
        if not self.browsing:
            self._choose(row)

    def _choose(self, row: int) -> None:
        if row >= 0:
            self.chosen.emit(self._groups[row].name)


def _section(field: str) -> str:
    return field.split(".")[0].split("[")[0]
