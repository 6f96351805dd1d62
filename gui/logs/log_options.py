"""What the user tells beside the log: counts or hours, dates, and what a counter is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QLineEdit, QWidget

import linesim
from gui.document import COUNTS, PlantTables
from gui.look import APART, FAR, ColumnLabel, FlowRow, label_of, spaced
from gui.pages.file_edit import PlantTableEdit
from gui.pages.run_controls import PlainNumber

_RUNS = (("as readings and heading tell", None), ("runs on", False), ("stands", True))
_DATES = (
    ("as days above 12 or the counts tell", None),
    ("day first", "dmy"),
    ("month first", "mdy"),
    ("year first", "ymd"),
)
_UNITS = (("as its heading says", None), ("hours", "h"), ("minutes", "min"), ("seconds", "s"))
_DAYS = 24.0
RESAMPLES = 200
"""Behind intervals and goodness of fit."""


class LogOptions(FlowRow):
    """Options of a stop log; ``changed`` when one was set."""

    changed = Signal()

    def __init__(self, tables: PlantTables, parent: QWidget | None = None) -> None:
        super().__init__(FAR, parent, level=True)
        self.resamples = RESAMPLES
        self._tables = tables
        self.production = PlantTableEdit(tables, COUNTS, several=True)
        self.hours = PlainNumber()
        self.hours.setRange(0, _DAYS)
        self.hours.setSpecialValueText("all day")
        self.hours.setSuffix(" h")
        self.starts = _line("06:00", 8)
        self.since, self.until = _line("", 14), _line("", 14)
        for line in (self.since, self.until):
            line.setPlaceholderText("as 2026-03-16")
        self.longest = PlainNumber()
        self.longest.setRange(0.1, 1000)
        self.longest.setValue(12)
        self.longest.setSuffix(" h")
        self.sheet = _line("", 12)
        self.dates = _choice(_DATES)
        self.stands = _choice(_RUNS)
        self.unit = _choice(_UNITS)
        self.began = _line("", 20)
        self.began.setPlaceholderText("as 2026-03-02 06:00")
        self._last = self._state()
        column: list[ColumnLabel] = []
        self.add(
            _Form(
                column,
                (
                    "Production counts",
                    self.production,
                    "Shift start, shift end, good reams, web km:"
                    " they tell when the line was meant to run and move the meters of reams and km."
                    " Several with semicolons between.",
                ),
                ("or planned each day", self.hours, "Without counts: hours in which it is to run"),
                ("beginning at", self.starts, "When those hours begin"),
                ("Stops from", self.since, "Leave out stops before this date"),
                ("Stops to", self.until, "The last date whose stops are used"),
            )
        )
        self._of_log = _Form(
            column,
            ("Longest stop", self.longest, "A longer one is taken for a mistake"),
            (
                "Dates",
                self.dates,
                "What stands first where no day is above 12; kept for logs with these headings",
            ),
            ("Sheet", self.sheet, "Of a workbook; the first with rows if empty"),
            ("A counter", self.stands, "Whether it goes on while a stop lasts"),
            ("counts", self.unit, "What a running counter counts"),
            ("and began", self.began, "When its log begins; without it there are no dates"),
        )
        self.add(self._of_log)
        self.show_counter(False)
        for line in (self.production.line, self.starts, self.since, self.until, self.sheet):
            line.editingFinished.connect(self._look)
        # A file that was chosen is set, not typed.
        self.production.line.textChanged.connect(self._if_there)
        self.began.editingFinished.connect(self._look)
        for number in (self.hours, self.longest):
            number.editingFinished.connect(self._look)
        for choice in (self.dates, self.stands, self.unit):
            choice.activated.connect(lambda _: self._look())

    def show_counter(self, chosen: bool) -> None:
        """What is asked of a running counter, where a column of the log is one."""
        for control in (self.stands, self.unit, self.began):
            self._of_log.form.setRowVisible(control, chosen)

    def set_production(self, path: Path) -> None:
        """Take these counts; the next look has them."""
        self.production.line.blockSignals(True)
        self.production.line.setText(str(path))
        self.production.line.blockSignals(False)
        self._last = self._state()
        self._tables.choose(COUNTS, [path])

    def reading(
        self, columns: dict[str, str], causes: dict[str, str], stations: dict[str, str]
    ) -> linesim.plant.LogSettings:
        """How the log is to be read. Raises ``ValueError`` that says what cannot be."""
        return linesim.plant.LogSettings(
            terms=linesim.plant.PlantTerms(self.dates.currentData(), causes, stations),
            counts=self._production(),
            columns=columns,
            sheet=self.sheet.text().strip() or None,
            longest_h=self.longest.value(),
            counter_stands=self.stands.currentData(),
            counter_unit=self.unit.currentData(),
            counter_began=_moment("and began", self.began),
        )

    def settings(self) -> linesim.plant.FitSettings:
        """What to fit with. Raises ``ValueError`` that says what cannot be."""
        until = _moment("Stops to", self.until)
        return linesim.plant.FitSettings(
            production=self._production(),
            hours_per_day=self.hours.value() or None,
            day_starts=_time("beginning at", self.starts),
            since=_moment("Stops from", self.since),
            until=None if until is None else until + dt.timedelta(days=1),
            resamples=self.resamples,
        )

    def _production(self) -> tuple[Path, ...]:
        return self.production.paths

    def _state(self) -> tuple[object, ...]:
        lines = (self.production.line, self.starts, self.since, self.until, self.sheet, self.began)
        return (
            *(line.text() for line in lines),
            *(number.value() for number in (self.hours, self.longest)),
            *(choice.currentIndex() for choice in (self.dates, self.stands, self.unit)),
        )

    def _if_there(self, _: str) -> None:
        if all(path.is_file() for path in self._production()):
            self._look()

    def _look(self) -> None:
        now = self._state()
        if now != self._last:
            self._last = now
            self.changed.emit()


class _Form(QWidget):
    """Rows of words, a control and its tip; the words as wide as in other forms of the column."""

    def __init__(self, column: list[ColumnLabel], *rows: tuple[str, QWidget, str]) -> None:
        super().__init__()
        self.form = QFormLayout(self)
        spaced(self.form)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for words, control, tip in rows:
            control.setToolTip(tip)
            control.setAccessibleName(words)
            self.form.addRow(label_of(control, words, column), control)


def _line(text: str, wide: int) -> QLineEdit:
    line = QLineEdit(text)
    line.setAcceptDrops(False)  # Files are the window's to open.
    line.setFixedWidth(line.fontMetrics().horizontalAdvance("0" * wide) + APART)
    return line


def _choice(items: tuple[tuple[str, object], ...]) -> QComboBox:
    choice = QComboBox()
    for words, value in items:
        choice.addItem(words, value)
    return choice


def _moment(name: str, line: QLineEdit) -> dt.datetime | None:
    text = line.text().strip()
    try:
        return dt.datetime.fromisoformat(text) if text else None
    except ValueError:
        raise ValueError(
            f"{name}: {text!r} is no date; right would be year-month-day, such as 2026-03-16"
        ) from None


def _time(name: str, line: QLineEdit) -> dt.time:
    text = line.text().strip()
    try:
        return dt.time.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{name}: {text!r} is no time of day, such as 06:00") from None
