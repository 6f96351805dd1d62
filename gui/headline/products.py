"""Effectiveness by product, below the losses: only where there are orders."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from gui.headline.figures import FiguresShown, of_run
from gui.look import CLOSE, NEAR, PlainLabel
from gui.pages.answer_table import AnswerTableView
from gui.shift import connect_weakly
from linesim.report import product_table

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record


class ProductsView(QWidget):
    """A row for each product of the run on screen, or of the runs of its line."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figures = FiguresShown(shown)
        self.title = PlainLabel("", self)
        self.title.setWordWrap(True)
        self.table = AnswerTableView(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(NEAR, CLOSE, CLOSE, 0)
        column.setSpacing(CLOSE)
        column.addWidget(self.title)
        column.addWidget(self.table, 1)
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self.refresh)
        connect_weakly(shown.figures_changed, self.refresh)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        of_run(record)

    def refresh(self) -> None:
        """Show the products of what is on screen."""
        figures = self._figures.now()
        table = None if figures is None else product_table(figures)
        self.setVisible(table is not None)
        if table is not None:
            self.title.setText(table.title)
            self.table.show_table(table)
