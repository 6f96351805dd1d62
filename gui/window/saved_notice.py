"""What was written last, and a way to it: the file itself, or the folder it is in."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

import linesim
from gui import dialogs
from gui.look import NEAR, PlainLabel, plain_tip, set_icon, spaced
from gui.shift import connect_weakly


class SavedNotice(QWidget):
    """Stands in the status bar from the first file on."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.path: Path | None = None
        self.words = PlainLabel()
        # A long name must not make the window wider; the tip has it whole.
        self.words.setMinimumWidth(1)
        self.open = QPushButton("Open")
        self.open_folder = QPushButton("Open folder")
        set_icon(self.open, "open")
        self.open.clicked.connect(lambda: self._show(self.path))
        self.open_folder.clicked.connect(lambda: self._show(self.path and self.path.parent))
        row = QHBoxLayout(self)
        spaced(row, NEAR)
        for part in (self.words, self.open, self.open_folder):
            row.addWidget(part)
        self.hide()
        connect_weakly(dialogs.WRITTEN.told, self.tell)

    def tell(self, path: Path) -> None:
        """Say that a file, or a folder of them, was written."""
        self.path = path
        self.words.setText(f"Saved to {path.name}")
        self.words.setToolTip(plain_tip(str(path)))
        self.open.setAccessibleName(f"Open {path.name}")
        self.open_folder.setToolTip(plain_tip(str(path.parent)))
        self.open_folder.setHidden(path.is_dir())
        self.show()

    def _show(self, path: Path | None) -> None:
        """With the program that the desktop has for it."""
        if path is None:
            return
        if not path.exists():
            self.words.setText(f"{path.name} is no longer there")
            return
        with linesim.platforms.starting_another_program():
            opened = QDesktopServices.openUrl(QUrl.fromLocalFile(str(path.absolute())))
        if not opened:
            self.words.setText(f"No program is known that opens {path.name}")
