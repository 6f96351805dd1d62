"""A page for a list of tables: the entries above, the fields of the chosen one below."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.document import Document
from gui.form.block import block_of, pasted
from gui.form.entries import (
    add_entry,
    entries_of,
    group_words,
    move_entry,
    name_of,
    remove_entry,
)
from gui.form.pages import FieldsPage
from gui.look import CLOSE, KEPT, NEAR, QuietLabel, wrapped_label
from linesim.scenario import FieldGroup
from linesim.statistics import counted

_MOST_FAULTS = 8


class EntryList(QListWidget):
    """The entries; copied and pasted they are a block of cells with a row for each."""

    def __init__(
        self, document: Document, group: FieldGroup, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._group = document, group
        self.said = wrapped_label()
        """What came of pasting."""
        self.setAccessibleName(f"{group.label}: entries")
        self.setAccessibleDescription("Copy and paste go to a spreadsheet and back, all fields")
        self.setUniformItemSizes(True)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.addAction("Copy all, for a spreadsheet").triggered.connect(self.copy)
        self.addAction("Paste rows of a spreadsheet").triggered.connect(self.paste)

    def copy(self) -> None:
        """All entries, below the names of their fields."""
        QGuiApplication.clipboard().setText(block_of(self._document, self._group))

    def paste(self) -> None:
        """Entries of these names are changed, others added, in one step; or nothing is."""
        if not self._document.is_readable:
            return
        found = pasted(self._document, self._group, QGuiApplication.clipboard().text())
        if found.faults:
            more = len(found.faults) - _MOST_FAULTS
            rest = [f"and {more} more"] if more > 0 else []
            lines = "\n".join([*found.faults[:_MOST_FAULTS], *rest])
            self._say(f"▲ Nothing was pasted.\n{lines}")
            return
        label = self._group.label
        if found.changes:
            self._document.end_step()
            self._document.set_fields(found.changes, f"pasted rows of {label}")
            self._document.end_step()
        added = counted(found.added, "entry", "entries")
        self._say(f"Pasted: {added} added, {found.changed} changed.")

    def _say(self, words: str) -> None:
        self.said.setText(words)
        self.said.setVisible(bool(words))

    def quiet(self) -> None:
        """What came of pasting is old."""
        self._say("")


_DIGIT_WIDE = "\N{FIGURE SPACE}"


class EntriesPage(QWidget):
    """Master and detail of a list of tables."""

    def __init__(
        self, document: Document, group: FieldGroup, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.group = document, group
        self.list = EntryList(document, group)
        self.list.currentRowChanged.connect(self._show_entry)
        self.add = QPushButton("Add")
        self.remove = QPushButton("Remove")
        self.remove.clicked.connect(self._remove)
        self.up, self.down = QPushButton("Up"), QPushButton("Down")
        self.up.clicked.connect(lambda: self._move(-1))
        self.down.clicked.connect(lambda: self._move(1))
        if group.name == "stop":
            self.add.setMenu(self._causes())
        else:
            self.add.clicked.connect(lambda: self._add({}))
        self.paste = QPushButton("Paste")
        self.paste.setToolTip("Rows of a spreadsheet; the first of them names the fields")
        self.paste.clicked.connect(self.list.paste)
        self.detail = FieldsPage(document, group)
        self.nothing = QuietLabel(f"{group_words(group)} There is none yet: Add makes one.")
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.nothing.setContentsMargins(NEAR, NEAR, NEAR, NEAR)
        master = QWidget()
        column = QVBoxLayout(master)
        column.setContentsMargins(NEAR, CLOSE, NEAR, CLOSE)
        buttons = QHBoxLayout()
        for button in (self.add, self.remove, self.up, self.down, self.paste):
            narrow = button.fontMetrics().horizontalAdvance(button.text()) + 40
            button.setMaximumWidth(narrow)
            button.setAutoDefault(False)
            buttons.addWidget(button)
        buttons.addStretch(1)
        column.addLayout(buttons)
        column.addWidget(self.list)
        column.addWidget(self.nothing)
        self.halves = QSplitter(Qt.Orientation.Vertical)
        self.halves.setChildrenCollapsible(False)
        self.halves.addWidget(master)
        self.halves.addWidget(self.detail)
        self.halves.setStretchFactor(0, 1)
        self.halves.setStretchFactor(1, 3)
        KEPT.arrange(self.halves, self._share)
        KEPT.splitter(self.halves, f"form/{group.name}")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        self.list.said.setContentsMargins(NEAR, CLOSE, NEAR, 0)
        whole.addWidget(self.list.said)
        whole.addWidget(self.halves, 1)

    def point_at(self, name: str) -> None:
        """The page shows its own list whatever it is pointed at."""
        self.refresh()

    def refresh(self) -> None:
        """Show what the document says now."""
        self.list.quiet()
        count = len(entries_of(self.document, self.group))
        chosen = min(max(0, self.list.currentRow()), count - 1)
        self.list.blockSignals(True)
        while self.list.count() > count:
            self.list.takeItem(self.list.count() - 1)
        while self.list.count() < count:
            self.list.addItem(QListWidgetItem())
        for index in range(count):
            self.list.item(index).setText(self._words(index))
        self.list.setCurrentRow(chosen)
        self.list.blockSignals(False)
        readable = self.document.is_readable
        self.list.setVisible(count > 0)
        self.nothing.setVisible(count == 0)
        self.detail.setVisible(count > 0)
        self.add.setEnabled(readable and count < self.group.most)
        self.paste.setEnabled(readable)
        self.remove.setEnabled(readable and count > self.group.least)
        self._offer_moves()
        if count:
            self._show_entry(chosen)

    def reveal(self, name: str, *, focus: bool = True) -> None:
        """Show the entry and the field of this dotted name; with *focus* the keyboard goes too."""
        path = linesim.scenario.split_name(name)
        if len(path) > 1 and isinstance(path[1], int) and path[1] < self.list.count():
            self.list.setCurrentRow(path[1])
        if len(path) > 2:
            self.detail.reveal(name, focus=focus)
        elif focus:
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._share()

    def _share(self) -> None:
        """Room for some entries, and the rest for the fields of one."""
        if KEPT.by_hand(self.halves):
            return
        lines = min(8, max(3, self.list.count()))
        height = lines * (self.fontMetrics().height() + 4) + 60
        self.halves.setSizes([height, max(200, self.height() - height)])

    def _words(self, index: int) -> str:
        own = f"{self.group.name}[{index}]"
        marks = ""
        if any(f.field == own or f.field.startswith(f"{own}.") for f in self.document.faults):
            marks = "  ▲"
        elif self.document.differs(own):
            marks = "  ●"
        wide = len(str(self.list.count()))
        number = f"{index + 1}".rjust(wide, _DIGIT_WIDE)
        return f"{number}   {name_of(self.document, self.group, index)}{marks}"

    def _offer_moves(self) -> None:
        listed = self.document.data.get(self.group.name)
        given = len(listed) if isinstance(listed, list) else 0
        index = self.list.currentRow()
        self.up.setEnabled(self.document.is_readable and 0 < index < given)
        self.down.setEnabled(self.document.is_readable and 0 <= index < given - 1)

    def _show_entry(self, index: int) -> None:
        self._offer_moves()
        name = f"{self.group.name}[{index}]"
        if index >= 0 and name != self.detail.name:
            self.detail.point_at(name)
            self.detail.verticalScrollBar().setValue(0)
        elif index >= 0:
            self.detail.refresh()

    def _add(self, start: dict[str, object]) -> None:
        index = add_entry(self.document, self.group, start)
        self.list.setCurrentRow(index)
        needed = next((f for f in self.group.fields if f.required), self.group.fields[0])
        self.detail.reveal(f"{self.group.name}[{index}].{needed.name}")

    def _remove(self) -> None:
        remove_entry(self.document, self.group, self.list.currentRow())

    def _move(self, step: int) -> None:
        index = self.list.currentRow()
        move_entry(self.document, self.group, index, index + step)
        self.list.setCurrentRow(index + step)

    def _causes(self) -> QMenu:
        """The known causes by their station, and one of the user's own."""
        menu = QMenu(self)
        menu.setToolTipsVisible(True)
        own = menu.addAction("A cause of your own")
        own.triggered.connect(lambda: self._add({"cause": "new cause"}))
        menu.addSeparator()
        stations: dict[str, QMenu] = {}
        for cause, brought in linesim.scenario.KNOWN_CAUSES.items():
            station = str(brought["station"]).replace("_", " ")
            if station not in stations:
                stations[station] = menu.addMenu(station)
            action = stations[station].addAction(cause)
            action.triggered.connect(lambda _=False, known=cause: self._add({"cause": known}))
        return menu
