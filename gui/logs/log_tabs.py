"""What a log says, in tabs: causes, rows left out and amended, fits, what to measure, notes."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QTabWidget, QTextBrowser, QVBoxLayout, QWidget

import linesim
from gui.document import with_titles
from gui.logs.causes_table import CausesTable
from gui.logs.fits_view import FitsView
from gui.look import CLOSE, PlainLabel, spaced
from gui.pages.answer_table import AnswerTableView
from gui.work.log_task import FittedLog

_MEASURE = "what-to-measure"
_MOST_ROWS = 16
"""A page asks for no more room: longer tables have bars of their own."""


class LogTabs(QTabWidget):
    """A tab is open to what there is something to say of."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.causes = CausesTable()
        self.left_out, self.amended = AnswerTableView(), AnswerTableView()
        self.fits, self.measured = FitsView(), AnswerTableView()
        self.measure, self.measure_words = QWidget(), PlainLabel()
        self.measure_words.setWordWrap(True)
        column = QVBoxLayout(self.measure)
        spaced(column, CLOSE)
        column.addWidget(self.measure_words)
        column.addWidget(self.measured, 1)
        self.notes = QTextBrowser()
        self.setAccessibleName("what the log says")
        for widget, words in (
            (self.causes, "Causes"),
            (self.left_out, "Left out"),
            (self.amended, "Amended"),
            (self.fits, "Fits"),
            (self.measure, "What to measure"),
            (self.notes, "Notes"),
        ):
            self.addTab(widget, words)

    def show_log(
        self, matched: linesim.plant.MatchedLog | None, scenario: linesim.scenario.Scenario | None
    ) -> None:
        """A log that was read, or that none could be."""
        for view in (self.causes, self.left_out, self.amended, self.notes):
            self._open(view, matched is not None)
        self._open(self.fits, False)
        self._open(self.measure, False)
        if matched is None:
            return
        log = matched.log
        self.causes.show_causes(matched.causes, scenario)
        tables = {table.name: table for table in linesim.report.row_tables(log)}
        for name, view, words, rows in (
            ("left-out", self.left_out, "Left out", len(log.left_out)),
            ("amended", self.amended, "Amended", len(log.amended)),
        ):
            self.setTabText(self.indexOf(view), f"{words} ({rows})")
            self._open(view, rows > 0)
            if name in tables:
                view.show_table(tables[name])
        read_as = linesim.report.log_words(log)[1]
        self._show_notes([read_as, matched.planned_words, *log.notes])
        self.setCurrentWidget(self.causes)

    def show_fits(self, fitted: FittedLog) -> None:
        """Its fits are in."""
        self.fits.show_fits(fitted)
        self._show_notes([*fitted.answer.words, *fitted.answer.notes])
        self._open(self.fits, True)
        tables = {table.name: table for table in fitted.answer.tables}
        self._open(self.measure, _MEASURE in tables)
        if _MEASURE in tables:
            self.measure_words.setText(f"{tables[_MEASURE].title}.")
            self.measured.show_table(tables[_MEASURE])
        self.setCurrentWidget(self.fits)

    def sizeHint(self) -> QSize:
        """As high as a table of some rows, however long the longest is."""
        hint = super().sizeHint()
        most = _MOST_ROWS * self.causes.verticalHeader().defaultSectionSize()
        return hint.boundedTo(QSize(hint.width(), most))

    def _open(self, view: QWidget, there: bool) -> None:
        self.setTabEnabled(self.indexOf(view), there)

    def _show_notes(self, notes: list[str]) -> None:
        self.notes.setPlainText(with_titles("\n\n".join(notes)))
