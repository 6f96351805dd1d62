"""What a stop did, as words and as a table that can be taken away."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

import linesim
from gui import dialogs
from gui.look import CLOSE, NEAR, FaultLabel, FlowRow, PlainLabel, set_icon
from gui.pages.answer_table import AnswerTableView

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim.record import Ripple


class RippleView(QWidget):
    """Of the stop that is looked at; ``left`` is asked for by who has seen enough."""

    left = Signal()

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._table: linesim.report.AnswerTable | None = None
        self.words = PlainLabel("", self)
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.words.setAccessibleName("what the stop did")
        self.table = AnswerTableView(self)
        self.status = FaultLabel()
        row = FlowRow()
        for text, icon, tip, act in (
            (
                "&Back to all",
                "shift",
                "No stop is looked at, the whole run is shown",
                self.left.emit,
            ),
            ("&Copy table", "copy", "The table, to paste into a spreadsheet", self.copy),
            ("Save &CSV…", "save", "The table as a file", self._ask_csv),
        ):
            button = QPushButton(text, self)
            button.setToolTip(tip)
            set_icon(button, icon)
            button.clicked.connect(act)
            row.add(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(NEAR, CLOSE, NEAR, CLOSE)
        column.setSpacing(CLOSE)
        column.addWidget(self.words)
        column.addWidget(self.table)
        column.addWidget(row)
        column.addWidget(self.status)
        column.addStretch(1)

    def show_ripple(self, ripple: Ripple) -> None:
        """Tell of this one."""
        record = self._shown.record
        assert record is not None
        self._table = linesim.report.ripple_table(record, ripple)
        words = linesim.report.ripple_words(record, ripple)
        self.words.setText(linesim.report.unbroken(words))
        # The page tells more of a stop that was put in.
        self.words.setVisible(not self._shown.is_put_in(ripple.event))
        self.table.show_table(linesim.report.ripple_table(record, ripple, in_words=True))
        self.table.setFixedHeight(self.table.needed_height())
        self.status.hide()

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "table"):
            self.table.setFixedHeight(self.table.needed_height())

    def copy(self) -> None:
        """Put the table on the clipboard, as a spreadsheet takes it."""
        if self._table is not None:
            text = linesim.report.table_csv(self._table, separator="\t")
            QGuiApplication.clipboard().setText(text)

    def _ask_csv(self) -> None:
        path = dialogs.ask_file(self, "Save the table", "ripple.csv", "Tables (*.csv)")
        if path is not None:
            self.save_csv(path)

    def save_csv(self, path: Path) -> None:
        """Write the table; what stands against it is said."""
        if self._table is None:
            return
        try:
            linesim.files.write_text(path, linesim.report.table_csv(self._table))
            self.status.say()
            dialogs.WRITTEN.told.emit(path)
        except OSError as error:
            self.status.say(f"It could not be written: {error}")
