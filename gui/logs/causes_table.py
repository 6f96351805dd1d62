"""What the log calls its stops, and what each is taken for."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QComboBox, QTableWidget, QTableWidgetItem, QWidget

import linesim
from gui.look import KeptColumns, plain_tip

_HEADS = ("in the log", "stops", "station", "taken for", "remark")
_MOST_NAME = 24
"""Letters of what a log calls a stop: some are sentences."""
_STATION, _TAKEN_FOR = 2, 3
_NEW = "new to the scenario"
_BY_ITSELF = "made by the line itself"


class CausesTable(QTableWidget):
    """A row for each cause; choosing another name says what the plant means by it.

    ``renamed`` carries the names as written in the log, and the name meant; ``placed`` so of a
    machine that is no station yet.
    """

    renamed = Signal(tuple, str)
    placed = Signal(tuple, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(_HEADS), parent)
        self.setHorizontalHeaderLabels(_HEADS)
        self.setAccessibleName("causes of the log")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 12)
        self.horizontalHeader().setStretchLastSection(True)
        self._columns = KeptColumns(self, {0: _MOST_NAME})
        self.choices: list[QComboBox] = []

    def show_causes(
        self,
        causes: tuple[linesim.plant.MatchedCause, ...],
        scenario: linesim.scenario.Scenario | None,
    ) -> None:
        """Put these on screen; names of the scenario are offered for each."""
        self.choices = []
        # What waits for an answer is not to be looked for below what needs none.
        causes = tuple(sorted(causes, key=_settled))
        self.setRowCount(len(causes))
        known = list(dict.fromkeys(stop.cause for stop in scenario.stop)) if scenario else []
        for n, cause in enumerate(causes):
            changes = len(cause.changes)
            what = _NEW if cause.new else _BY_ITSELF if cause.set_in else ""
            if cause.looks_like:
                what = f"{cause.looks_like}? Choose that, or its own name again"
            elif scenario is None:
                what = ""
            cells = (
                ", ".join(cause.written),
                f"{len(cause.stops):,}" + f" + {changes} by plan" * bool(changes),
                linesim.record.station_words(cause.station) if cause.station else "?",
                "",
                what,
            )
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                item.setToolTip(plain_tip(text))
                if column == 1:
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                self.setItem(n, column, item)
            self.setCellWidget(n, _TAKEN_FOR, self._choice(cause, known))
            rows = (*cause.stops, *cause.changes)
            machines = tuple(dict.fromkeys(stop.station for stop in rows if stop.station))
            if cause.station is None and machines:
                self.setCellWidget(n, _STATION, self._station(machines, scenario))
            else:
                self.removeCellWidget(n, _STATION)
        self._columns.fit("log causes")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow table other columns need what a wide one gave to long names."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._columns.fit()

    def _station(
        self, machines: tuple[str, ...], scenario: linesim.scenario.Scenario | None
    ) -> QComboBox:
        choice = QComboBox()
        choice.setAccessibleName(f"station of {machines[0]}")
        choice.setToolTip("Which station this machine is")
        choice.addItem(f"{machines[0]}?", "")
        wrappers = [wrapper.name for wrapper in scenario.wrapper] if scenario else []
        for station in dict.fromkeys([*linesim.scenario.STATIONS, *wrappers]):
            choice.addItem(linesim.record.station_words(station), station)

        def chosen() -> None:
            if station := str(choice.currentData()):
                self.placed.emit(machines, station)

        choice.activated.connect(lambda _: chosen())
        return choice

    def _choice(self, cause: linesim.plant.MatchedCause, known: list[str]) -> QComboBox:
        choice = QComboBox()
        choice.setEditable(True)
        line = choice.lineEdit()
        assert line is not None
        line.setAcceptDrops(False)  # Files are the window's to open.
        choice.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        choice.setAccessibleName(f"what {cause.written[0]} is taken for")
        choice.setToolTip("A cause of the scenario, or a name of your own for a new one")
        offered = [cause.cause, *([cause.looks_like] if cause.looks_like else []), *known]
        choice.addItems(known if cause.cause in known else list(dict.fromkeys(offered)))
        choice.setCurrentText(cause.cause)
        choice.setMinimumContentsLength(16)
        line = choice.lineEdit()
        assert line is not None
        line.setCursorPosition(0)

        def chosen(*, again: bool = False) -> None:
            name = " ".join(choice.currentText().split())
            if name and (name != cause.cause or again):
                self.renamed.emit(cause.written, name)

        # Its own name, chosen where it is asked about, says that it is a cause of its own.
        choice.activated.connect(lambda _: chosen(again=cause.looks_like is not None))
        line.editingFinished.connect(chosen)
        self.choices.append(choice)
        return choice


def _settled(cause: linesim.plant.MatchedCause) -> int:
    """0 for what is asked about, 1 for what is new to the scenario, 2 for all others."""
    asked = cause.looks_like is not None or cause.station is None
    return 0 if asked else 1 if cause.new else 2
