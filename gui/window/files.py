"""Opening and saving scenario files: asking where, and saying in words what did not work."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

import linesim
from gui.document import Autosave, Document, Reason, SaveRefused, recoverable
from gui.look import plain_tip
from gui.window.trouble import say_trouble

if TYPE_CHECKING:
    from gui.window.memory import Memory

_FILTER = "Scenario files (*.toml);;All files (*)"


class Files(QObject):
    """What the menu File does to the document."""

    def __init__(
        self,
        document: Document,
        memory: Memory,
        window: QWidget,
        autosave: Autosave | None = None,
    ) -> None:
        super().__init__(window)
        self._document, self._memory, self._window = document, memory, window
        self._autosave = autosave

    def open(self, path: Path) -> bool:
        """Open a file; says what is wrong where it cannot be read at all."""
        try:
            self._document.open(path)
        except (linesim.ScenarioFaults, OSError, ValueError) as error:
            say_trouble(self._window, f"{path.name} could not be opened.", str(error))
            return False
        if not self._document.is_demo:
            self._memory.opened(path)
        return True

    def ask_open(self) -> bool:
        """Ask which file, and open it."""
        if not self.may_leave():
            return False
        folder = str(self._document.path.parent) if self._document.path else ""
        name, _ = QFileDialog.getOpenFileName(self._window, "Open a scenario", folder, _FILTER)
        return bool(name) and self.open(Path(name))

    def save(self, path: Path | None = None, *, overwrite: bool = False) -> bool:
        """Save; asks for a name where one is needed, and before anything is lost."""
        try:
            self._document.save(path, overwrite=overwrite)
        except SaveRefused as refused:
            return self._refused(refused, path)
        if self._document.path is not None:
            self._memory.opened(self._document.path)
        return True

    def _refused(self, refused: SaveRefused, path: Path | None) -> bool:
        if refused.reason in (Reason.NEEDS_NAME, Reason.DEMO):
            return self.ask_save()
        if refused.reason in (Reason.CHANGED_ON_DISK, Reason.EXISTS):
            answer = QMessageBox.question(
                self._window, "Save", plain_tip(f"{refused}\n\nSave over it all the same?")
            )
            return answer == QMessageBox.StandardButton.Yes and self.save(path, overwrite=True)
        say_trouble(self._window, str(refused))
        return False

    def ask_save(self) -> bool:
        """Ask for a name, and save under it."""
        here = self._document.path
        own = here is not None and not self._document.is_demo
        start = str(here) if own else f"my-{Path(self._document.name).stem}.toml"
        name, _ = QFileDialog.getSaveFileName(self._window, "Save the scenario as", start, _FILTER)
        # The dialog has asked already whether a file that exists may be replaced.
        return bool(name) and self.save(Path(name), overwrite=True)

    def offer_recovered(self) -> bool:
        """Offer unsaved work of a window that did not close; True where it was taken."""
        for work in recoverable():
            buttons = QMessageBox.StandardButton
            answer = QMessageBox.question(
                self._window,
                "Unsaved work found",
                plain_tip(
                    f"Unsaved work on {work.name} of {work.written:%d %B %Y, %H:%M} UTC was left"
                    " by a window that did not close. Take it up?"
                ),
                buttons.Yes | buttons.No | buttons.Discard,
                buttons.Yes,
            )
            if answer == buttons.Yes:
                self._document.restore(work.text, work.path, work.name, work.based_on)
                if self._autosave is not None:
                    self._autosave.take_over(work)
                return True
            if answer == buttons.Discard:
                work.discard()
        return False

    def may_leave(self) -> bool:
        """Whether the document may be left; asks where something is unsaved."""
        if not self._document.dirty:
            return True
        buttons = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self._window,
            "Unsaved changes",
            plain_tip(f"{self._document.name} has changes that are not saved. Save them?"),
            buttons.Save | buttons.Discard | buttons.Cancel,
            buttons.Save,
        )
        if answer == buttons.Save:
            return self.save()
        return bool(answer == buttons.Discard)
