"""The name of a file, typed or chosen; that of a plant's table is one for all pages."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from gui import dialogs
from gui.document import PlantTables
from gui.look import spaced
from gui.shift import connect_weakly


class FileEdit(QWidget):
    """The name of a file, typed or chosen."""

    told = Signal()
    """Typing has ended, or a file was chosen."""

    def __init__(self, name: str, kinds: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kinds = kinds
        self.line = QLineEdit(name)
        self.line.setAcceptDrops(False)  # Files are the window's to open.
        self.line.setMinimumWidth(self.line.fontMetrics().horizontalAdvance("x" * 28))
        self.line.editingFinished.connect(self.told)
        self.setFocusProxy(self.line)
        choose = self.choose = QPushButton("Choose…")
        choose.clicked.connect(self._choose)
        row = QHBoxLayout(self)
        spaced(row)
        row.addWidget(self.line)
        row.addWidget(choose)

    @property
    def paths(self) -> tuple[Path, ...]:
        """What is named; several with semicolons between."""
        names = (name.strip() for name in self.line.text().split(";"))
        return tuple(Path(name) for name in names if name)

    def _choose(self) -> None:
        if name := dialogs.ask_table(self, self.accessibleName(), self._kinds):
            self.line.setText(name)
            self.told.emit()


class PlantTableEdit(FileEdit):
    """Shows what is chosen for the scenario, of one kind; another choice is one for all pages."""

    def __init__(
        self,
        tables: PlantTables,
        kind: str,
        parent: QWidget | None = None,
        *,
        several: bool = False,
    ) -> None:
        """``several``: whether more than one can be used here."""
        super().__init__("", parent=parent)
        self._tables, self._kind, self._several = tables, kind, several
        self.told.connect(self._tell)
        connect_weakly(tables.changed, self.follow)
        self.follow()

    def follow(self) -> None:
        """Show what is chosen; nothing where that is more than can be used here."""
        wanted = self._tables.of(self._kind)
        self.line.setPlaceholderText("")
        if len(wanted) > 1 and not self._several:
            self.line.setPlaceholderText(f"one of the {len(wanted)} chosen")
            wanted = ()
        if wanted != self.paths:
            self.line.setText("; ".join(map(str, wanted)))

    def _tell(self) -> None:
        many = len(self._tables.of(self._kind)) > 1
        if self.paths or self._several or not many:
            self._tables.choose(self._kind, self.paths)
