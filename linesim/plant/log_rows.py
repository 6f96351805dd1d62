"""Rows of a stop log, read one by one: start and end of each stop, or why there is none."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from linesim.plant.date_order import ORDER_WORDS, Shifts, dates_of
from linesim.plant.log_columns import LogColumns
from linesim.plant.log_settings import LogSettings
from linesim.plant.moments import DateOrder, length_s, moment, time_of_day
from linesim.plant.production import files_of, read_several_counts
from linesim.plant.raw_table import Cell, RawRow, RawTable, written
from linesim.scenario.faults import ScenarioFaults

_AGREES_S = 90.0
"""Start and end to the minute, and a length of its own, may differ by rounding."""
_DATE_ONLY = re.compile(r"[\d./-]+")
NO_TIME = "lasts no time as logged"
"""A problem unless lengths are rounded."""
_COMMA, _POINT = re.compile(r"\d+,\d+"), re.compile(r"\d+\.\d+")
_THREE = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
"""Might be thousands."""
PUT_IN = re.compile(r"[\W_]*")


@dataclass(frozen=True)
class ReadRow:
    """A row as read; ``problem`` is empty where ``start`` and ``end`` are known and apart."""

    line: int
    shown: str
    station: str = ""
    cause: str = ""
    start: dt.datetime | None = None
    end: dt.datetime | None = None
    problem: str = ""
    amended: str = ""
    reading: float | None = None
    """What a running counter showed, where one tells the time."""


def read_rows(
    table: RawTable, columns: LogColumns, settings: LogSettings
) -> tuple[list[ReadRow], list[str]]:
    """All rows below the headings that are not empty, and notes on how dates were read.

    The plant's shifts are asked for where the dates themselves leave day and month open.
    """
    rows = [row for row in table.rows[columns.heading_row + 1 :] if not row.empty]
    dated = [columns.place[name] for name in ("date", "start", "end") if name in columns.place]
    cells = [row.at(n) for row in rows for n in dated]
    dates = dates_of(cells, terms=settings.terms.date_order)
    if not dates.certain:
        dates = dates_of(cells, shifts=_shifts(settings))
    lengths = [written(row.at(columns.place.get("minutes"))) for row in rows]
    notes = list(filter(None, [dates.words("the log"), _decimals(lengths)]))
    return [_Row(row, columns, dates.order, settings.longest_h).read() for row in rows], notes


def _decimals(lengths: Sequence[str]) -> str:
    """What is said of lengths that have decimal commas in some rows and points in others."""
    found = [next(filter(mark.fullmatch, lengths), "") for mark in (_COMMA, _POINT)]
    if not all(found):
        return ""
    said = f"Lengths have decimal commas and decimal points ({', '.join(map(repr, found))})"
    three = next(filter(_THREE.fullmatch, lengths), "")
    so = f"{float(three.replace(',', '.')):g}" if three else ""
    return f"{said}: both are read as such{f', {three!r} as {so}' if three else ''}."


def _shifts(settings: LogSettings) -> Shifts:
    """The plant's shifts; none where its counts cannot be read, which is said elsewhere."""
    try:
        read = read_several_counts(files_of(settings.counts), settings.terms.date_order)
    except ScenarioFaults:
        return ()
    return [(each.start, each.end) for counts in read for each in counts.shifts]


@dataclass(frozen=True)
class _Row:
    row: RawRow
    columns: LogColumns
    order: DateOrder
    longest_h: float

    def cell(self, field: str) -> Cell:
        return self.row.at(self.columns.place.get(field))

    def out(self, problem: str) -> ReadRow:
        return ReadRow(self.row.line, self.row.shown, problem=problem)

    def read(self) -> ReadRow:
        start = self.start()
        if start is None:
            return self.out(self.why_no_start())
        end, problem = self.end(start)
        length = self.length()
        if problem:
            return self.out(problem)
        if length is None and written(self.cell("minutes")):
            return self.out(f"length cannot be read: {written(self.cell('minutes'))!r}")
        if length is not None and length < 0:
            return self.out("length below 0")
        if length is not None and length > self.longest_h * 3600:
            return self.out(f"longer than {self.longest_h:g} h")
        if end is None and length is None:
            return self.out("neither end nor length")
        seconds, amended = 0.0, ""
        if end is not None:
            seconds = (end - start).total_seconds()
        if length is not None:
            apart = abs(seconds - length)
            if end is not None and abs(apart - 3600) <= _AGREES_S:
                amended = "start and end are an hour off its length (clock changed?): length taken"
            elif end is not None and apart > max(_AGREES_S, 0.05 * length):
                return self.out("start, end and length contradict each other")
            if end is None or amended or (length % 60 and not seconds % 60):
                # Of times to the minute and a length that is finer, the length is right.
                seconds = length
        if seconds < 0:
            return self.out("end before start")
        if seconds > self.longest_h * 3600:
            return self.out(f"longer than {self.longest_h:g} h")
        cause = written(self.cell("cause"))
        if PUT_IN.fullmatch(cause):
            return self.out("no cause")
        start = start.replace(tzinfo=None)
        end = start + dt.timedelta(seconds=seconds)
        known = (written(self.cell("station")), cause, start, end, "" if seconds else NO_TIME)
        return ReadRow(self.row.line, self.row.shown, *known, amended)

    def start(self) -> dt.datetime | None:
        cell = self.cell("start")
        if "date" in self.columns.place:
            day, clock = moment(self.cell("date"), self.order), time_of_day(cell)
            if day is not None and clock is not None:
                return dt.datetime.combine(day.date(), clock, day.tzinfo)
        return self.moment(cell)

    def why_no_start(self) -> str:
        """The cell that is to blame, by its field."""
        field = "date" if "date" in self.columns.place else "start"
        dated, start = self.cell(field), written(self.cell("start"))
        if written(dated) and moment(dated, self.order) is None:
            if any(moment(dated, order) for order in ORDER_WORDS):
                return f"date in another order: {written(dated)!r}"
            if field == "date":
                return f"date cannot be read: {written(dated)!r}"
        return f"start cannot be read: {start!r}" if start else "no start"

    def moment(self, cell: Cell) -> dt.datetime | None:
        """A date with a time of day; a date alone is no moment at which a stop began."""
        if isinstance(cell, dt.date) and not isinstance(cell, dt.datetime):
            return None
        if isinstance(cell, str) and _DATE_ONLY.fullmatch(cell):
            return None
        return moment(cell, self.order)

    def end(self, start: dt.datetime) -> tuple[dt.datetime | None, str]:
        """The end and no problem, or a problem; neither where no end is given."""
        cell = self.cell("end")
        if not written(cell):
            return None, ""
        full = self.moment(cell)
        clock = None if full is not None else time_of_day(cell)
        if full is None and clock is None:
            return None, f"end cannot be read: {written(cell)!r}"
        if full is None:
            assert clock is not None
            end = dt.datetime.combine(start.date(), clock, start.tzinfo)
            # A time of day that is earlier than the start belongs to the next day.
            return (end if end >= start else end + dt.timedelta(days=1)), ""
        if (full.tzinfo is None) != (start.tzinfo is None):
            full, start = full.replace(tzinfo=None), start.replace(tzinfo=None)
        return full if full.tzinfo == start.tzinfo else full.astimezone(start.tzinfo), ""

    def length(self) -> float | None:
        cell = self.cell("minutes")
        return length_s(cell, self.columns.unit) if written(cell) else None
