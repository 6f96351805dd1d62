"""Rows of a stop log that tells time by a running counter, put on a clock of their own."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linesim.plant.counter import Elapsed, elapsed_of, stands_in_stops
from linesim.plant.log_columns import LogColumns, plain
from linesim.plant.log_rows import NO_TIME, PUT_IN, ReadRow
from linesim.plant.log_settings import LogSettings
from linesim.plant.moments import SECONDS, DurationUnit, length_s
from linesim.plant.raw_table import RawRow, RawTable, refused, written

_NO_DATE = dt.datetime(2000, 1, 1)
_MOST_BACKWARDS = 1 / 3
_LONGEST_YEARS = 100
_LONGEST_S = _LONGEST_YEARS * 365.25 * 86400
_RUNNING = re.compile(
    r"\b(run|running|machine|operating|meter|betriebsstunden|maschinenstunden|draaiuren)\b|"
    r"stundenz|horom|contaore|uren"
)


@dataclass(frozen=True)
class CounterUsed:
    """How a counter was read. Moments are made from it; with no date told they are no dates."""

    heading: str
    unit: DurationUnit
    stands: bool
    """Whether it stands while a stop lasts, as the hour meter of a machine does."""
    began: dt.datetime
    """Moment at which the log begins."""
    dated: bool

    @property
    def words(self) -> str:
        how = "stands while a stop lasts" if self.stands else "runs on while a stop lasts"
        return f"Time is told by the counter {self.heading!r} ({self.unit}), which {how}."


@dataclass(frozen=True)
class _Row:
    line: int
    shown: str
    reading: float
    """In the counter's unit."""
    length: float
    """In the counter's unit."""
    station: str
    cause: str


def read_counter_rows(
    table: RawTable, columns: LogColumns, settings: LogSettings
) -> tuple[list[ReadRow], list[str], CounterUsed]:
    """All rows that are not empty, notes, and how the counter was read.

    What the settings leave open is seen from readings and heading. Raises
    :class:`ScenarioFaults` where the column is no running counter.
    """
    counts = settings.counter_unit or columns.counter_unit or "h"
    out: list[ReadRow] = []
    rows: list[_Row] = []
    seen: dict[tuple[float, float, str, str], int] = {}
    for raw in table.rows[columns.heading_row + 1 :]:
        if raw.empty:
            continue
        read = _read(raw, columns, counts, settings.longest_h)
        if isinstance(read, ReadRow):
            out.append(read)
            continue
        same = (read.reading, read.length, plain(read.station), plain(read.cause))
        if same in seen:
            problem = f"the same stop as line {seen[same]}"
            out.append(ReadRow(read.line, read.shown, problem=problem))
            continue
        seen[same] = read.line
        rows.append(read)
    used, kept, notes = _on_a_clock(table, columns, rows, counts, settings)
    if settings.counter_unit is None and columns.counter_unit is None:
        notes.append(f"The heading {used.heading!r} does not say what it counts: hours were taken.")
    return sorted([*out, *kept], key=lambda row: row.line), notes, used


def _read(
    raw: RawRow, columns: LogColumns, counts: DurationUnit, longest_h: float
) -> _Row | ReadRow:
    def out(problem: str) -> ReadRow:
        return ReadRow(raw.line, raw.shown, problem=problem)

    def text(field: str) -> str:
        return written(raw.at(columns.place.get(field)))

    def value(field: str, unit: DurationUnit) -> float | None:
        return length_s(raw.at(columns.place.get(field)), unit) if text(field) else None

    reading = value("counter", counts)
    if reading is None or reading < 0:
        what = text("counter")
        return out(f"counter cannot be read: {what!r}" if what else "no counter reading")
    length, end = value("minutes", columns.unit), None
    if text("minutes") and length is None:
        return out(f"length cannot be read: {text('minutes')!r}")
    if length is None:
        if not text("end"):
            return out("neither end nor length")
        end = value("end", counts)
        if end is None:
            return out(f"end cannot be read: {text('end')!r}")
        length = end - reading
    if length < 0:
        return out("length below 0" if end is None else "end before start")
    if length > longest_h * 3600:
        return out(f"longer than {longest_h:g} h")
    if PUT_IN.fullmatch(text("cause")):
        return out("no cause")
    factor = SECONDS[counts]
    measured = (reading / factor, length / factor)
    return _Row(raw.line, raw.shown, *measured, text("station"), text("cause"))


def _on_a_clock(
    table: RawTable,
    columns: LogColumns,
    rows: Sequence[_Row],
    counts: DurationUnit,
    settings: LogSettings,
) -> tuple[CounterUsed, list[ReadRow], list[str]]:
    heading = columns.heading["counter"]
    elapsed = elapsed_of([row.reading for row in rows])
    backwards = elapsed.since.count(None)
    if backwards > _MOST_BACKWARDS * len(rows):
        _refuse(table, columns, rows, backwards)
    order = [n for n, since in enumerate(elapsed.since) if since is not None]
    order = order[::-1] if elapsed.newest_first else order
    since = [elapsed.since[n] or 0.0 for n in order]
    steps = [b - a for a, b in pairwise(since) if b > a]
    # A log that its counter began with starts at 0; an old machine's meter does not.
    first = rows[order[0]].reading if order else 0.0
    from_zero = first <= max(steps, default=0.0)
    finest = max(min(steps, default=0.0), 60 / SECONDS[counts])
    stands, began = settings.counter_stands, settings.counter_began
    if stands is None:
        stands = stands_in_stops(since, [rows[n].length for n in order], finest)
    if stands is None:
        stands = bool(_RUNNING.search(plain(heading)))
    used = CounterUsed(heading, counts, stands, began or _NO_DATE, began is not None)
    kept, stood = [], 0.0
    for n, counted in zip(order, since, strict=True):
        row = rows[n]
        at = counted + stood + (first if from_zero else 0.0)
        if at * SECONDS[counts] > _LONGEST_S:
            problem = f"its counter is {_LONGEST_YEARS} years or more after the first"
            kept.append(ReadRow(row.line, row.shown, problem=problem))
            continue
        start = used.began + dt.timedelta(seconds=round(at * SECONDS[counts], 3))
        end = start + dt.timedelta(seconds=round(row.length * SECONDS[counts], 3))
        stood += row.length if stands else 0.0
        read = ReadRow(row.line, row.shown, row.station, row.cause, start, end, reading=row.reading)
        kept.append(read if row.length else replace(read, problem=NO_TIME))
    wrong = [n for n, each in enumerate(elapsed.since) if each is None]
    kept += [_backwards(rows, n, order, counts) for n in wrong]
    return used, kept, _notes(used, rows, elapsed, from_zero)


def _backwards(rows: Sequence[_Row], n: int, order: Sequence[int], unit: str) -> ReadRow:
    """Why row n cannot be right: beside its nearest neighbours that are."""
    row = rows[n]
    before = [m for m in order if m < n and rows[m].reading > row.reading]
    after = [m for m in order if m > n and rows[m].reading < row.reading]
    other = rows[before[-1]] if before else rows[after[0]] if after else None
    problem = f"the counter runs backwards: {row.reading:.6g} {unit}"
    if other is not None:
        side = "after" if before else "before"
        problem += f" {side} {other.reading:.6g} {unit} of line {other.line}"
    return ReadRow(row.line, row.shown, problem=problem)


def _notes(used: CounterUsed, rows: Sequence[_Row], elapsed: Elapsed, from_zero: bool) -> list[str]:
    if from_zero:
        notes = [used.words, "It is taken to have begun at 0 with the log."]
    else:
        notes = [used.words, "What it counted before the first row is not part of the log."]
    for n in elapsed.rolled:
        notes.append(f"It rolled over before line {rows[n].line}; counting goes on from there.")
    for n in elapsed.anew:
        notes.append(
            f"It was set back before line {rows[n].line}; what it counted between the row before"
            " and the setting back is not known, and left out."
        )
    return notes


def _refuse(table: RawTable, columns: LogColumns, rows: Sequence[_Row], backwards: int) -> None:
    line = table.rows[columns.heading_row].line
    by_station: dict[str, list[float]] = {}
    for row in rows:
        by_station.setdefault(plain(row.station), []).append(row.reading)
    apart = sum(elapsed_of(readings).since.count(None) for readings in by_station.values())
    problem = f"{columns.heading['counter']!r} runs backwards in {backwards} of {len(rows)} rows"
    right = "a column that counts up from row to row"
    if len(by_station) > 1 and apart <= 0.1 * len(rows):
        problem += ", but hardly within a station: each seems to have a counter of its own"
        right = "the log of one station at a time"
    raise refused(table.file, problem, right, line, "counter")
