"""Taking an answer away: as tables, as JSON; and opening a kept one. Charts have their own menu."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QMimeData, Signal
from PySide6.QtWidgets import QPushButton, QWidget

import linesim
from gui import dialogs
from gui.charts.clipboard import put
from gui.look import FlowRow, set_icon
from gui.pages.answer_view import AnswerView


class ExportRow(FlowRow):
    """Buttons that take away what the answer view shows; there with the first answer.

    ``kept`` asks for a kept study, and stands where the page puts it.
    """

    refused = Signal(str)
    opened = Signal(Path)
    """A study file that the user wants to see the answer of."""

    def __init__(self, view: AnswerView, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent)
        self._view = view
        self._needing: list[QPushButton] = []
        for words, icon, tip, act in (
            ("Copy t&able", "table", "The table that is looked at, to paste", self.copy_table),
            ("Save &tables…", "save", "A folder with a CSV file for each table", self._ask_csv),
            ("Save &workbook…", "save", "A workbook with a sheet for each table", self._ask_xlsx),
            ("Save &JSON…", "save", "Everything that is said, for programs", self._ask_json),
        ):
            button = QPushButton(words, self)
            button.setToolTip(tip)
            button.clicked.connect(act)
            set_icon(button, icon)
            button.setEnabled(False)
            self.add(button)
            self._needing.append(button)
        self.kept = QPushButton("Open a kept stud&y…")
        self.kept.setToolTip("The answer of a study file, from the runs in it")
        set_icon(self.kept, "open")
        self.kept.clicked.connect(self._ask_kept)
        self.hide()

    def ready(self, *, complete: bool) -> None:
        """Whether there is an answer that can be taken away."""
        self.show()
        for button in self._needing:
            button.setEnabled(complete)

    def copy_table(self) -> None:
        """Put the table that is looked at on the clipboard, as a spreadsheet takes it."""
        table = self._view.table
        if table is not None:
            both = QMimeData()
            both.setText(linesim.report.table_csv(table, separator="\t"))
            both.setData("text/csv", linesim.report.table_csv(table).encode())
            put(both)

    def save_csv(self, folder: Path) -> None:
        """Write the tables into a folder."""
        answer = self._view.answer
        if answer is not None:
            self._do(folder, lambda: linesim.report.write_answer_csv(folder, answer))

    def save_xlsx(self, path: Path) -> None:
        """Write the tables into a workbook."""
        answer = self._view.answer
        if answer is not None:
            self._do(path, lambda: linesim.report.write_answer_xlsx(path, answer))

    def save_json(self, path: Path) -> None:
        """Write everything the answer says."""
        answer = self._view.answer
        if answer is not None:
            text = linesim.report.answer_json(answer)
            self._do(path, lambda: linesim.files.write_text(path, text))

    def _do(self, path: Path, act: Callable[[], object]) -> None:
        try:
            act()
            dialogs.WRITTEN.told.emit(path)
        except (OSError, linesim.report.NoWorkbookError) as error:
            self.refused.emit(f"It could not be written: {error}")

    def _name(self, suffix: str = "") -> str:
        answer = self._view.answer
        parts = () if answer is None else (answer.scenario, answer.study)
        return dialogs.file_name(*parts, suffix=suffix)

    def _ask_csv(self) -> None:
        path = dialogs.ask_folder(self, "Folder for the tables", self._name())
        if path is not None:
            self.save_csv(path)

    def _ask_xlsx(self) -> None:
        path = dialogs.ask_file(self, "Save the tables", self._name("xlsx"), "Workbooks (*.xlsx)")
        if path is not None:
            self.save_xlsx(path)

    def _ask_json(self) -> None:
        path = dialogs.ask_file(self, "Save the answer", self._name("json"), "JSON (*.json)")
        if path is not None:
            self.save_json(path)

    def _ask_kept(self) -> None:
        kinds = "Study files (*.sqlite);;All files (*)"
        path = dialogs.ask_open(self, "Open a kept study", kinds)
        if path is not None:
            self.opened.emit(path)
