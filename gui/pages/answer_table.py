"""A table of an answer on screen."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QScrollArea,
    QStyle,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

import linesim
from gui.charts.clipboard import copy_cells
from gui.look import NEAR, KeptColumns, WrappedHeader, plain_tip

_MOST_ROWS = 25
"""A longer table has a bar of its own, and is no higher than so many of one line."""
_FITTED_ROWS = 200
"""Of a longer table each row beyond these has one line, however long its words."""
_NOT_SHOWN = "The interval spans 0: no difference is shown."


class AnswerTableView(QTableWidget):
    """Figures with their intervals; what is chosen can be copied to a spreadsheet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._table: linesim.report.AnswerTable | None = None
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(True)
        self.setTabKeyNavigation(False)
        self.setHorizontalHeader(WrappedHeader(self))
        self.verticalHeader().hide()
        self._columns = KeptColumns(self)
        self.horizontalHeader().geometriesChanged.connect(self._fit_names)
        self._fit_rows()

    def show_table(self, table: linesim.report.AnswerTable) -> None:
        """Put this table on screen."""
        self._table = table
        self.setAccessibleName(table.title)
        self.setRowCount(len(table.rows))
        self.setColumnCount(len(table.columns))
        heads = ["\n".join(filter(None, (c.label, c.shown_unit))) for c in table.columns]
        self.setHorizontalHeaderLabels(heads)
        for i, row in enumerate(table.rows):
            for j, cell in enumerate(row):
                item = QTableWidgetItem(_as_it_may_break(table.columns[j].text(cell)))
                left = j == 0 or table.columns[j].left
                side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
                item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
                if isinstance(cell, linesim.report.Figure) and cell.unsure:
                    item.setToolTip(_NOT_SHOWN)
                elif isinstance(cell, str):
                    # Long ones do not stand there whole.
                    item.setToolTip(plain_tip(cell))
                self.setItem(i, j, item)
        self._columns.fit(table.name)

    def copy(self) -> None:
        """Put what is chosen, all where nothing is, on the clipboard: whole figures, with ends."""
        if self._table is None:
            copy_cells(self)
            return
        chosen = {(index.row(), index.column()) for index in self.selectedIndexes()}
        rows = sorted({row for row, _ in chosen}) or range(len(self._table.rows))
        columns = sorted({column for _, column in chosen}) or range(len(self._table.columns))
        part = replace(
            self._table,
            columns=tuple(self._table.columns[n] for n in columns),
            rows=tuple(tuple(self._table.rows[row][n] for n in columns) for row in rows),
        )
        QGuiApplication.clipboard().setText(linesim.report.table_csv(part, separator="\t"))

    def changeEvent(self, event: QEvent) -> None:
        """Rows and columns follow the size of the letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_rows()
            self._columns.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What was shortened may have room now."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._columns.fit()

    def needed_height(self) -> int:
        """What it needs to show all its rows, but for those of a very long one, px."""
        rows = self._height_of_rows()
        if self.rowCount() > _MOST_ROWS:
            # All of it is in sight at once: else the page scrolls and the table as well.
            rows = min(rows, _MOST_ROWS * self.verticalHeader().defaultSectionSize())
        return self._round_rows() + rows

    def _height_of_rows(self) -> int:
        return sum(self.rowHeight(row) for row in range(self.rowCount()))

    def _round_rows(self) -> int:
        head, bar = self.horizontalHeader(), self.horizontalScrollBar()
        across = bar.sizeHint().height() if head.length() > self.viewport().width() else 0
        return head.sizeHint().height() + across + 2 * self.frameWidth()

    def sizeHint(self) -> QSize:
        """As high as its rows."""
        high = self._round_rows() + self._height_of_rows()
        return QSize(super().sizeHint().width(), high)

    def minimumSizeHint(self) -> QSize:
        """Qt's own is higher than a table of a single row."""
        return super().minimumSizeHint().boundedTo(self.sizeHint())

    def scrollTo(
        self,
        index: QModelIndex | QPersistentModelIndex,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Show a cell, though it is the page that scrolls."""
        super().scrollTo(index, hint)
        page = self.parentWidget()
        while page is not None and not isinstance(page, QScrollArea):
            page = page.parentWidget()
        if page is not None and self.isVisible():
            cell = self.visualRect(index)
            at = self.viewport().mapTo(page.widget(), cell.center())
            page.ensureVisible(at.x(), at.y(), 0, cell.height())

    def _fit_rows(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + NEAR)
        self._fit_names()

    def _fit_names(self) -> None:
        """Words stand there whole: what names a row often begins as others do."""
        metrics, usual = self.fontMetrics(), self.verticalHeader().defaultSectionSize()
        margin = self.style().pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin) + 1
        lines = [metrics.height()] * min(self.rowCount(), _FITTED_ROWS)
        for column in range(self.columnCount()):
            room = QRect(0, 0, self.columnWidth(column) - 2 * margin - 1, 100 * usual)
            for row in range(len(lines)):
                cell = self.item(row, column)
                if cell is not None:
                    high = metrics.boundingRect(room, Qt.TextFlag.TextWordWrap, cell.text())
                    lines[row] = max(lines[row], high.height())
        for row, high in enumerate(lines):
            self.setRowHeight(row, usual + high - metrics.height())
        self.updateGeometry()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        else:
            super().keyPressEvent(event)


def _as_it_may_break(text: str) -> str:
    """No number without its unit; where there is little room, an interval below its figure."""
    return linesim.report.unbroken(text).replace("\u00a0±", " ±")
