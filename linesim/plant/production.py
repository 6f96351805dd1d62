"""Production counts as the plant keeps them: a row for each shift (or hour), and what it made.

The file is a table like a stop log: CSV or XLSX, with the columns ``shift start``, ``shift end``,
``good reams`` and, where the plant knows it, ``web km``: kilometres through the knives, of one web.
Where start and end are only times of day, the day stands in ``date``.
"""

from __future__ import annotations

import datetime as dt
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linesim.plant.date_order import DatesRead, dates_of
from linesim.plant.log_columns import plain
from linesim.plant.moments import DateOrder, moment, number, time_of_day
from linesim.plant.raw_table import Cell, RawRow, written
from linesim.plant.table_files import read_table
from linesim.scenario.faults import Fault, ScenarioFaults

_WORDS: dict[str, tuple[str, ...]] = {
    "start": (
        *("shift start", "shift from", "shift begins", "start", "from", "begin"),
        *("beginn", "schichtbeginn", "schicht beginn"),
        *("anfang", "schichtanfang", "schicht von", "von", "debut", "inicio", "inizio", "aanvang"),
    ),
    "end": (
        *("shift end", "shift to", "shift ends", "end", "to", "until"),
        *("ende", "schichtende", "schicht ende", "schicht bis"),
        *("bis", "fin", "fine", "einde"),
    ),
    "good_reams": (
        *("good reams", "reams", "ries", "gutries", "gut ries", "gute ries", "ries gut"),
        *("gutmenge", "gutmenge ries", "rames", "resmas", "risme", "riemen", "good"),
    ),
    "web_km": ("web km", "km", "kilometres", "kilometers", "bahn km", "laufkilometer"),
    "date": ("date", "day", "datum", "tag", "jour", "fecha", "data"),
}
_LONGEST_H = 24 * 31


@dataclass(frozen=True)
class ProductionCount:
    """What one shift made. Times are those of the plant's clock, as written."""

    start: dt.datetime
    end: dt.datetime
    good_reams: int
    web_km: float | None
    """Kilometres through the knives, of one web; None where the plant does not count them."""
    line: int
    """Line of the file it stands on."""


@dataclass(frozen=True)
class Counts:
    """A file of counts: its ``shifts`` in order of time, and how its dates were read."""

    shifts: tuple[ProductionCount, ...]
    dates: DatesRead


def read_counts(path: str | os.PathLike[str], date_order: DateOrder | None = None) -> Counts:
    """Read production counts; *date_order* is taken where the dates themselves leave it open.

    Nothing is left out: a count that is missing or wrong would move every comparison with it.
    Raises :class:`ScenarioFaults` with every fault: a column that is missing, a value that cannot
    be read, a shift that ends before it starts or overlaps another.
    """
    table = read_table(path)
    head, where = _columns(table.file, table.rows)
    rows = [row for row in table.rows[head + 1 :] if not row.empty]
    dated = ["date"] if "date" in where else ["start", "end"]
    cells = [row.at(where[name]) for row in rows for name in dated]
    dates = dates_of(cells)
    if not dates.certain and date_order is not None:
        dates = dates_of(cells, terms=date_order)
    order = dates.order
    faults: list[Fault] = []
    counts: list[ProductionCount] = []

    def fault(row: RawRow, field: str, cell: Cell, problem: str, right: str) -> None:
        faults.append(Fault(table.file, row.line, field, written(cell), problem, right))

    for row in rows:
        cell = {name: row.at(where.get(name)) for name in _WORDS}
        begin, end = _ends(cell, order)
        good, km = _whole(cell["good_reams"]), number(cell["web_km"])
        for name, value in (("start", begin), ("end", end)):
            if value is None:
                right = "a date with its time, such as 2026-03-02 06:00"
                stands = cell[name] if written(cell[name]) else cell["date"]
                fault(row, f"shift {name}", stands, "is no date with a time", right)
        if good is None or good < 0 or good != int(good):
            right = "a whole number of reams, 0 or more"
            fault(row, "good reams", cell["good_reams"], "is no count", right)
        if written(cell["web_km"]) and (km is None or km < 0):
            fault(row, "web km", cell["web_km"], "is no length", "a number, 0 or more")
        if begin is None or end is None or good is None:
            continue
        begin, end = begin.replace(tzinfo=None), end.replace(tzinfo=None)
        if not 0 < (end - begin).total_seconds() <= _LONGEST_H * 3600:
            fault(row, "shift end", cell["end"], "does not follow its start", "a later moment")
        counts.append(ProductionCount(begin, end, int(good), km, row.line))
    counts.sort(key=lambda count: (count.start, count.line))
    for before, after in pairwise(counts):
        if after.start < before.end:
            problem = f"begins before the shift of line {before.line} has ended"
            right = "shifts that do not overlap; each counted once"
            shown = after.start.isoformat(sep=" ")
            faults.append(Fault(table.file, after.line, "shift start", shown, problem, right))
    if not counts and not faults:
        faults.append(Fault(table.file, None, "", "", "holds no count", "a row for each shift"))
    if faults:
        raise ScenarioFaults(sorted(faults, key=lambda each: each.line or 0))
    return Counts(tuple(counts), dates)


Files = str | os.PathLike[str] | Sequence[str | os.PathLike[str]]
"""A file or several."""


def files_of(files: Files | None) -> tuple[str | os.PathLike[str], ...]:
    """One file, several or none, as a tuple."""
    if files is None:
        return ()
    return (files,) if isinstance(files, str | os.PathLike) else tuple(files)


def read_several_counts(
    paths: Sequence[str | os.PathLike[str]], date_order: DateOrder | None = None
) -> tuple[Counts, ...]:
    """Several files of counts, as :func:`read_counts`; a shift that two have is counted once.

    Raises :class:`ScenarioFaults`, too, where two count it differently, or where a shift of one
    overlaps another's.
    """
    read: list[Counts] = []
    faults: list[Fault] = []
    seen: list[tuple[ProductionCount, str]] = []
    for path in paths:
        found, file = read_counts(path, date_order), os.fspath(path)
        own = []
        for count in found.shifts:
            over = (b for b in seen if b[0].start < count.end and count.start < b[0].end)
            before = next(over, None)
            if before is None:
                own.append(count)
            elif replace(before[0], line=count.line) != count:
                problem = f"overlaps the shift of line {before[0].line} of {before[1]}"
                right = "the same shift with the same counts, or shifts that do not overlap"
                shown = count.start.isoformat(sep=" ")
                faults.append(Fault(file, count.line, "shift start", shown, problem, right))
        seen += [(count, file) for count in own]
        read.append(replace(found, shifts=tuple(own)))
    if faults:
        raise ScenarioFaults(faults)
    return tuple(read)


def counts_between(
    counts: Sequence[ProductionCount], since: dt.datetime | None, until: dt.datetime | None
) -> list[ProductionCount]:
    """Counts that begin at *since* or later and before *until*."""
    first, end = since or dt.datetime.min, until or dt.datetime.max
    return [count for count in counts if first <= count.start < end]


def _ends(
    cell: Mapping[str, Cell], order: DateOrder
) -> tuple[dt.datetime | None, dt.datetime | None]:
    """Start and end; times of day are of the row's date, an end before its start of the next."""
    day = moment(cell["date"], order)
    found: list[dt.datetime | None] = []
    for name in ("start", "end"):
        at, clock = moment(cell[name], order), time_of_day(cell[name])
        if at is None and day is not None and clock is not None:
            at = dt.datetime.combine(day.date(), clock)
            if found and found[0] is not None and at <= found[0]:
                at += dt.timedelta(days=1)
        found.append(at)
    return found[0], found[1]


def _whole(cell: Cell) -> float | None:
    """A count: ``15.450`` and ``15,450`` are thousands here, since reams have no decimals."""
    if isinstance(cell, str) and re.fullmatch(r"\d{1,3}([.,' ]\d{3})+", cell):
        return number(re.sub(r"\D", "", cell))
    return number(cell)


def _columns(file: str, rows: Sequence[RawRow]) -> tuple[int, dict[str, int]]:
    best: tuple[int, dict[str, int]] = (0, {})
    for at, row in enumerate(rows[:30]):
        # A unit in brackets is no part of the name.
        names = [plain(re.split(r"[\[(]", written(cell))[0]) for cell in row.cells]
        found: dict[str, int] = {}
        for field, words in _WORDS.items():
            first = (names.index(word) for word in words if word in names)
            place = next((n for n in first if n not in found.values()), None)
            if place is not None:
                found[field] = place
        if len(found) > len(best[1]):
            best = at, found
    missing = [f"shift {n}" for n in ("start", "end") if n not in best[1]]
    missing += ["good reams"] if "good_reams" not in best[1] else []
    if missing:
        head = rows[best[0]]
        shown = ", ".join(filter(None, map(written, head.cells)))[:90]
        right = "columns shift start, shift end, good reams and, where known, web km"
        problems = [f"there is no column {name!r}" for name in missing]
        raise ScenarioFaults([Fault(file, head.line, "", shown, p, right) for p in problems])
    return best
