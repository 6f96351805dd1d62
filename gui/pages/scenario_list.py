"""Which other scenarios the one in the window is compared with."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QGridLayout,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QWidget,
)

import linesim
from gui import dialogs
from gui.look import CLOSE, PlainLabel, plain_tip, spaced


class ScenarioList(QWidget):
    """A list of scenarios by name; each was checked when it was added."""

    refused = Signal(str)
    """A file that is no scenario, and why."""
    added = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = QListWidget()
        self.list.setAccessibleName("scenarios to compare with")
        self.list.setToolTip("The scenario in the window is held against these.")
        self.list.setMaximumHeight(5 * (self.fontMetrics().height() + 4))
        add = QPushButton("A&dd a file…")
        add.clicked.connect(self._ask_file)
        demo = QPushButton("Add a demo")
        menu = QMenu(demo)
        for name, path in linesim.scenario.shipped_scenarios().items():
            menu.addAction(name, partial(self.add, path))
        demo.setMenu(menu)
        out = QPushButton("Take out")
        out.clicked.connect(self._take_out)
        QShortcut(QKeySequence.StandardKey.Delete, self.list, self._take_out)
        layout = QGridLayout(self)
        spaced(layout)
        layout.setVerticalSpacing(CLOSE)
        words = PlainLabel("The scenario in the window against:")
        words.setBuddy(self.list)
        layout.addWidget(words, 0, 0)
        layout.addWidget(self.list, 1, 0, 3, 1)
        for row, button in enumerate((add, demo, out), start=1):
            layout.addWidget(button, row, 1)

    def texts(self) -> list[tuple[str, str]]:
        """Pairs of a name and the file's text."""
        items = (self.list.item(n) for n in range(self.list.count()))
        return [item.data(Qt.ItemDataRole.UserRole) for item in items]

    def add(self, path: Path) -> bool:
        """Add a file; one that is no scenario is refused with the reason."""
        name = path.stem
        taken = {each for each, _ in self.texts()}
        if name in taken:
            self.refused.emit(f"{name} is in the list already.")
            return False
        try:
            text = linesim.scenario.read_text(path)
            linesim.scenario.check_text(text, file=path.name)
        except linesim.scenario.ScenarioFaults as faults:
            self.refused.emit(f"{path.name} is no scenario that can be run. {faults}")
            return False
        item = QListWidgetItem(name)
        item.setToolTip(plain_tip(str(path)))
        item.setData(Qt.ItemDataRole.UserRole, (name, text))
        self.list.addItem(item)
        self.added.emit()
        return True

    def _ask_file(self) -> None:
        for path in dialogs.ask_open_several(self, "Compare with", "Scenarios (*.toml)"):
            self.add(path)

    def _take_out(self) -> None:
        self.list.takeItem(self.list.currentRow())
