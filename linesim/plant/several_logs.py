"""Several stop logs as one: a new month together with the last, no stop counted twice."""

from __future__ import annotations

import bisect
import datetime as dt
import os
from collections.abc import Sequence
from dataclasses import replace

from linesim.plant.kept_columns import log_in
from linesim.plant.log_columns import HEADING_WITHIN, plain
from linesim.plant.log_settings import LogSettings, PlantTerms
from linesim.plant.production import ProductionCount
from linesim.plant.raw_table import RawTable, refused, written
from linesim.plant.stop_log import CleanStop, StopLog
from linesim.plant.table_files import read_table
from linesim.scenario.faults import Fault, ScenarioFaults
from linesim.statistics import counted

_MOMENT = dt.timedelta(seconds=30)
"""A stop of no minutes lasts a moment, or the last one of a log would lie beyond its end."""
_GAP = dt.timedelta(days=1)
_LONGEST = dt.timedelta(days=2)


def open_logs(
    paths: Sequence[str | os.PathLike[str]],
    settings: LogSettings | None = None,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
) -> StopLog:
    """Read logs, joined; as :func:`~linesim.plant.kept_columns.open_log`.

    A column that is told by its heading is that of the logs which have such a heading.
    """
    tables = [read_table(path, sheet=(settings or LogSettings()).sheet) for path in paths]
    return logs_in(tables, settings or LogSettings(), since=since, until=until)


def logs_in(
    tables: Sequence[RawTable],
    settings: LogSettings,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
) -> StopLog:
    """The logs in tables that were read; as :func:`open_logs`, with the faults of all of them."""
    logs: list[StopLog] = []
    faults: list[Fault] = []
    for table in tables:
        try:
            told = told_of(table, tables, settings)
            logs.append(log_in(table, told, since=since, until=until))
        except ScenarioFaults as error:
            faults += error.faults
    if faults:
        raise ScenarioFaults(faults)
    return joined(logs)


def told_of(table: RawTable, tables: Sequence[RawTable], settings: LogSettings) -> LogSettings:
    """What is told of this one among several: not the columns whose headings only others have."""
    elsewhere = set().union(*(_texts(each) for each in tables if each is not table))
    foreign = elsewhere - _texts(table) - {""}
    columns = {f: h for f, h in settings.columns.items() if plain(h) not in foreign}
    return replace(settings, columns=columns)


def _texts(table: RawTable) -> set[str]:
    return {plain(written(cell)) for row in table.rows[:HEADING_WITHIN] for cell in row.cells}


def joined(logs: Sequence[StopLog]) -> StopLog:
    """All stops of the logs, in order of time; one that two of them have is left out of the later.

    Raises :class:`ScenarioFaults` where one of several goes by a running counter.
    """
    if len(logs) == 1:
        return logs[0]
    for log in logs:
        if log.counter is not None:
            problem = "a running counter does not tell where this log stands among the others"
            raise refused(log.file, problem, "one such log by itself", field="counter")
    parts: list[StopLog] = []
    for log in sorted(logs, key=lambda log: (not log.stops, *(s.start for s in log.stops[:1]))):
        part = _named(log)
        before = sorted(
            (stop for each in parts for stop in each.stops), key=lambda stop: stop.start
        )
        twice = _twice(part, before)
        if twice:
            stand = f"{counted(len(twice), 'stop')} of {part.name} stand{'s' * (len(twice) == 1)}"
            words = f"{stand} in an earlier log, too; counted once."
            part = replace(part, notes=(*part.notes, words))
        parts.append(part.without(twice))
    rounding = [part.rounding for part in parts if part.rounding is not None]
    return StopLog(
        file=", ".join(part.file for part in parts),
        read_as="",
        columns={},
        rows=sum(part.rows for part in parts),
        stops=tuple(
            sorted((s for part in parts for s in part.stops), key=lambda s: (s.start, s.end))
        ),
        left_out=tuple(row for part in parts for row in part.left_out),
        amended=tuple(row for part in parts for row in part.amended),
        notes=_notes(parts),
        terms=PlantTerms(
            causes={k: v for part in parts for k, v in part.terms.causes.items()},
            stations={k: v for part in parts for k, v in part.terms.stations.items()},
        ),
        rounding=max(rounding, key=lambda each: (each.step, each.by_ends), default=None),
        parts=tuple(parts),
    )


def ends_at(log: StopLog) -> dt.datetime:
    """When the last stop of a log was over."""
    return max(max(stop.end, stop.start + _MOMENT) for stop in log.stops)


def turns(log: StopLog) -> list[dt.datetime]:
    """When each of the logs that it was joined from ends and the next one takes over."""
    ends: list[dt.datetime] = []
    for part in [part for part in log.parts if part.stops][:-1]:
        ends.append(max([*ends[-1:], ends_at(part)]))
    return ends


def within_logs(log: StopLog, shifts: Sequence[ProductionCount]) -> list[ProductionCount]:
    """Shifts without those that lie between two of the logs, where nobody wrote stops down.

    A gap of up to a day is none: the night from one month to the next may pass without a stop.
    """
    parts = [part for part in log.parts if part.stops]
    gaps = [
        (before, after.stops[0].start)
        for before, after in zip(turns(log), parts[1:], strict=True)
        if after.stops[0].start - before > _GAP
    ]
    return [s for s in shifts if not any(a <= s.start and s.end <= b for a, b in gaps)]


def _named(log: StopLog) -> StopLog:
    """The log with its file in every row."""
    return replace(
        log,
        stops=tuple(replace(stop, file=log.file) for stop in log.stops),
        left_out=tuple(replace(row, file=log.file) for row in log.left_out),
        amended=tuple(replace(row, file=log.file) for row in log.amended),
    )


def _twice(log: StopLog, before: Sequence[CleanStop]) -> dict[CleanStop, str]:
    """Stops that earlier logs have, too, each with the reason to leave it out."""
    starts = [stop.start for stop in before]
    to_the_minute = log.start_step is not None
    near = dt.timedelta(minutes=1) if to_the_minute else dt.timedelta(seconds=1)
    found = {}
    for stop in log.stops:
        first = bisect.bisect_left(starts, stop.start - _LONGEST)
        last = bisect.bisect_right(starts, stop.end + near)
        for other in before[first:last]:
            overlaps = stop.start < other.end and other.start < stop.end
            if (overlaps or abs(stop.start - other.start) <= near) and _alike(stop, other):
                found[stop] = f"the same stop as line {other.line} of {other.file}"
                break
    return found


def _alike(one: CleanStop, other: CleanStop) -> bool:
    """Whether two that overlap are one: a station stands once at a time."""
    station = plain(one.station)
    return (bool(station) and station == plain(other.station)) or (
        plain(one.cause) == plain(other.cause)
    )


def _notes(parts: Sequence[StopLog]) -> tuple[str, ...]:
    """What is to be said of each log, once where it is the same of all."""
    by_note: dict[str, list[str]] = {}
    for part in parts:
        for note in part.notes:
            by_note.setdefault(note, []).append(part.name)
    return tuple(
        note if len(names) == len(parts) or names[0] in note else f"{', '.join(names)}: {note}"
        for note, names in by_note.items()
    )
