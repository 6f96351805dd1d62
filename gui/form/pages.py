"""A page for each table of the file: its fields, one below the other."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QCheckBox, QFrame, QScrollArea, QVBoxLayout, QWidget

from gui.document import Document
from gui.form.entries import group_words
from gui.form.field_row import FieldRow, faults_at
from gui.form.meter_row import MeterRow
from gui.look import CLOSE, NEAR, FaultLabel, QuietLabel
from linesim.scenario import FieldGroup

Row = FieldRow | MeterRow
_WIDEST_CH = 82


class FieldsPage(QScrollArea):
    """The fields of one table, or of one entry of a list of tables."""

    def __init__(
        self, document: Document, group: FieldGroup, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.group, self.name = document, group, ""
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        inner.setMaximumWidth(_WIDEST_CH * self.fontMetrics().averageCharWidth())
        column = QVBoxLayout(inner)
        column.setContentsMargins(NEAR, CLOSE, NEAR, NEAR)
        column.setSpacing(0)
        help_text = QuietLabel(group_words(group))
        column.addWidget(help_text)
        self.present = QCheckBox(f"The line has this ({group.label})", self)
        self.present.setVisible(group.optional)
        self.present.clicked.connect(self._switch)
        column.addWidget(self.present)
        self.fault = FaultLabel()
        column.addWidget(self.fault)
        self.rows: list[Row] = []
        for field in group.fields:
            if field.name in group.one_of:
                if field.name == group.one_of[0]:
                    self._add(MeterRow(document, group), column)
            else:
                self._add(FieldRow(document, field), column)
        column.addStretch(1)
        self.setWidget(inner)

    def point_at(self, name: str) -> None:
        """Show the table or entry of this dotted name from now on."""
        self.name = name
        for row in self.rows:
            row.point_at(name if isinstance(row, MeterRow) else f"{name}.{row.field.name}")
        self.refresh_own()

    def refresh(self) -> None:
        """Show what the document says now."""
        for row in self.rows:
            row.refresh()
        self.refresh_own()

    def refresh_own(self) -> None:
        """Show what is wrong with the table as a whole, and whether it is there."""

        def own(name: str) -> bool:
            return self.owns(name) and self.row_of(name) is None

        self.fault.say(*faults_at(self.document, own))
        if self.group.optional:
            there = self.document.value(self.name) is not None
            self.present.setChecked(there)
            for row in self.rows:
                row.setVisible(there)

    def owns(self, name: str) -> bool:
        """Whether a fault at *name* belongs on this page."""
        return name == self.name or name.startswith((f"{self.name}.", f"{self.name}["))

    def row_of(self, name: str) -> Row | None:
        """The row in which the field of this dotted name is edited."""
        return next((row for row in self.rows if row.owns(name)), None)

    def reveal(self, name: str, *, focus: bool = True) -> None:
        """Scroll to a field; with *focus* put the keyboard there too."""
        row = self.row_of(name)
        if row is None and self.rows:
            row = self.rows[0]
        if row is not None:
            self.ensureWidgetVisible(row, 0, 40)
            if focus:
                row.take_focus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The list of faults takes room and gives it back: what is typed in stays in sight."""
        super().resizeEvent(event)
        focus = self.window().focusWidget()
        row = next((row for row in self.rows if focus and row.isAncestorOf(focus)), None)
        if row is not None:
            self.ensureWidgetVisible(row, 0, 0)

    def _add(self, row: Row, column: QVBoxLayout) -> None:
        self.rows.append(row)
        column.addWidget(row)

    def _switch(self, there: bool) -> None:
        if not self.document.set_field(self.name, {} if there else None):
            self.refresh_own()
