"""Fits of a log: each cause with its intervals, and the pictures of the one that is chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QScrollArea,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.charts import ChartView
from gui.document import with_titles
from gui.look import CLOSE, KEPT, KeptColumns, PlainLabel, WrappedHeader, spaced
from gui.work.log_task import FittedLog

_WIDE = 1050
_TABLE = 0.38
_LEAST_PICTURE = 420
"""A picture has so much beside the whole table, or below it; else the table has less."""
_BAR = 28
_TABS = {"over-time": "Over time", "intervals": "Intervals", "restores": "Times to restore"}


class FitsView(QWidget):
    """A table with a tick for what is to be written; below it the pictures of a row."""

    ticked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fitted: FittedLog | None = None
        self.table = QTableWidget()
        self.table.setAccessibleName("fits")
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setHorizontalHeader(WrappedHeader(self.table))
        self.table.verticalHeader().hide()
        # The row chosen is no reason for bold headings.
        self.table.horizontalHeader().setHighlightSections(False)
        self.table.verticalHeader().setMinimumSectionSize(self.fontMetrics().height() + 6)
        self._columns = KeptColumns(self.table, {})
        self.table.itemChanged.connect(self._changed)
        self.table.currentCellChanged.connect(lambda row, *_: self._show_pictures(row))
        self.pictures = QTabWidget()
        self.pictures.setAccessibleName("pictures of the cause")
        self.views: dict[str, ChartView] = {}
        for name, words in _TABS.items():
            view = ChartView()
            area = QScrollArea()
            area.setWidgetResizable(True)
            area.setFrameShape(QFrame.Shape.NoFrame)
            area.setWidget(view)
            self.pictures.addTab(area, words)
            self.views[name] = view
        self._splitter = splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.addWidget(self._make_fits(splitter))
        splitter.addWidget(self.pictures)
        splitter.setChildrenCollapsible(False)
        KEPT.arrange(splitter, self._share)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(splitter)

    def _make_fits(self, parent: QWidget) -> QWidget:
        """The table, and below it why some of it has no tick."""
        fits = QWidget(parent)
        self.not_ticked = PlainLabel("", fits)
        self.not_ticked.setWordWrap(True)
        self.not_ticked.setAccessibleName("why causes are not ticked")
        column = QVBoxLayout(fits)
        spaced(column, CLOSE)
        column.addWidget(self.table, 1)
        column.addWidget(self.not_ticked)
        return fits

    def show_fits(self, fitted: FittedLog) -> None:
        """Put these on screen; the cause with most stops is looked at first."""
        self._fitted = fitted
        fits = fitted.fits.fits
        overview = linesim.report.fit_overview(fits)
        self.table.blockSignals(True)
        self.table.setRowCount(len(fits))
        self.table.setColumnCount(len(overview.columns))
        self.table.setHorizontalHeaderLabels([column.heading for column in overview.columns])
        for row, (fit, cells) in enumerate(zip(fits, overview.rows, strict=True)):
            for column, cell in enumerate(cells):
                item = QTableWidgetItem(linesim.report.cell_text(cell))
                if isinstance(cell, int):
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                if column == 0:
                    self._tick(item, fit)
                self.table.setItem(row, column, item)
        self._fit_columns()
        self.table.blockSignals(False)
        words = _why_not_ticked(fits, fitted.fits.scenario)
        self.not_ticked.setText(words)
        self.not_ticked.setVisible(bool(words))
        self._share(turned=self._turn())
        most = max(range(len(fits)), key=lambda n: fits[n].count, default=-1)
        self.table.setCurrentCell(most, 0)
        self._show_pictures(most)

    @property
    def chart_view(self) -> ChartView | None:
        """The picture that is looked at; None where the cause has none."""
        at = self.pictures.currentIndex()
        view = list(self.views.values())[at]
        return view if view.chart is not None and self.pictures.isTabEnabled(at) else None

    @property
    def chosen(self) -> list[linesim.plant.CauseFit]:
        """Fits that are ticked."""
        if self._fitted is None:
            return []
        return [
            fit
            for row, fit in enumerate(self._fitted.fits.fits)
            if (item := self.table.item(row, 0)) is not None
            and item.checkState() == Qt.CheckState.Checked
        ]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Beside each other where there is room for it."""
        super().resizeEvent(event)
        self._share(turned=self._turn())
        # The table has its width when all parts have theirs.
        QTimer.singleShot(0, self, self._fit_columns)

    def _fit_columns(self) -> None:
        self._columns.fit("fits")
        self.table.resizeRowsToContents()

    def _turn(self) -> bool:
        """Beside each other where both have room whole; whether that is new."""
        wide = self.width() >= max(_WIDE, self._columns_px() + _LEAST_PICTURE)
        way = Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical
        turned = way != self._splitter.orientation()
        if turned:
            self._splitter.setOrientation(way)
        return turned

    def _columns_px(self) -> int:
        """What the table needs to show all its columns."""
        return _BAR + sum(self.table.columnWidth(n) for n in range(self.table.columnCount()))

    def _share(self, *, turned: bool = False) -> None:
        """Room for the whole table where the pictures have enough then, else for some of it."""
        if KEPT.by_hand(self._splitter) and not turned:
            return
        if self._splitter.orientation() == Qt.Orientation.Vertical:
            rows, heads = self.table.verticalHeader(), self.table.horizontalHeader()
            whole = rows.length() + heads.height() + _BAR + self.not_ticked.sizeHint().height()
            table = max(round(self.height() * _TABLE), min(whole, self.height() - _LEAST_PICTURE))
            self._splitter.setSizes([table, self.height() - table])
            return
        table = self._columns_px()
        self._splitter.setSizes([table, self.width() - table])

    def _tick(self, item: QTableWidgetItem, fit: linesim.plant.CauseFit) -> None:
        assert self._fitted is not None
        why_not = _why_not(fit, self._fitted.fits.scenario)
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if why_not:
            item.setToolTip(why_not)
        else:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
            item.setToolTip("Ticked: written into the scenario")
        item.setFlags(flags)
        item.setCheckState(Qt.CheckState.Unchecked if why_not else Qt.CheckState.Checked)

    def _changed(self, item: QTableWidgetItem) -> None:
        if item.column() == 0:
            self.ticked.emit()

    def _show_pictures(self, row: int) -> None:
        fitted = self._fitted
        if fitted is None or not 0 <= row < len(fitted.charts):
            return
        charts = {chart.name: chart for chart in fitted.charts[row]}
        for n, (name, view) in enumerate(self.views.items()):
            self.pictures.setTabEnabled(n, name in charts)
            self.pictures.setTabToolTip(n, "" if name in charts else "Too few values for a picture")
            if name in charts:
                view.show_chart(charts[name], fitted.answer)


def _why_not(fit: linesim.plant.CauseFit, scenario: linesim.scenario.Scenario | None) -> str:
    return with_titles(linesim.plant.why_not_written(fit, scenario))


def _why_not_ticked(
    fits: Sequence[linesim.plant.CauseFit], scenario: linesim.scenario.Scenario | None
) -> str:
    """The causes that cannot be written, by why; empty where all can."""
    by_reason: dict[str, list[str]] = {}
    for fit in fits:
        reason = _why_not(fit, scenario)
        if reason:
            by_reason.setdefault(reason, []).append(fit.matched.cause)
    told = [f"{', '.join(causes)}: {reason}" for reason, causes in by_reason.items()]
    return f"Not ticked: {' '.join(told)}" if told else ""
