"""A first look at a stop log: what its columns are taken for, what is left out, which causes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from linesim.plant.kept_columns import forget, with_kept
from linesim.plant.log_columns import heading_row_of
from linesim.plant.log_fits import FitSettings, MatchedLog, match_log
from linesim.plant.log_settings import LogSettings
from linesim.plant.production import Files, files_of
from linesim.plant.raw_table import written
from linesim.plant.several_logs import logs_in, told_of
from linesim.plant.table_files import read_table
from linesim.scenario import Scenario
from linesim.scenario.faults import Fault, ScenarioFaults


@dataclass(frozen=True)
class LogLook:
    """What is known of a log before it is fitted; ``matched`` is None while ``faults`` stand."""

    headings: tuple[str, ...]
    columns: Mapping[str, str]
    """Heading by field: told, kept from last time, or proposed."""
    matched: MatchedLog | None
    faults: tuple[Fault, ...] = ()
    from_last_time: Mapping[str, str] = field(default_factory=dict)
    """Headings by field."""
    kept_words: tuple[str, ...] = ()
    """What else was told last time, in sentences."""


def look_at_log(
    paths: Files,
    scenario: Scenario | None,
    reading: LogSettings,
    settings: FitSettings,
) -> LogLook:
    """Read a log, or several together, as far as can be; columns told are kept for next time.

    Headings are those of all logs, columns those of the first. Raises :class:`ScenarioFaults` where
    there is no table to read at all.
    """
    tables = [read_table(path, sheet=reading.sheet) for path in files_of(paths)]
    kept = [with_kept(table, told_of(table, tables, reading)) for table in tables]
    found = [heading_row_of(t, k.settings.columns) for t, k in zip(tables, kept, strict=True)]
    rows = [
        tuple(written(cell) for cell in table.rows[row].cells)
        for table, (row, _) in zip(tables, found, strict=True)
    ]
    columns = {name: rows[0][n] for name, n in found[0][1].items()}
    named = tuple(dict.fromkeys(heading for row in rows for heading in row if heading))
    last_time = {f: h for each in kept for f, h in each.from_last_time.items()}
    notes = tuple(dict.fromkeys(note for each in kept for note in each.notes))
    try:
        log = logs_in(tables, reading, since=settings.since, until=settings.until)
        matched = match_log(log, scenario, settings)
    except ScenarioFaults as error:
        return LogLook(named, columns, None, tuple(error.faults), last_time, notes)
    columns = dict((log.parts or (log,))[0].columns)
    return LogLook(named, columns, matched, (), last_time, notes)


def forget_told(paths: Files, reading: LogSettings) -> str:
    """Forget all that was told of logs with these headings; says what went wrong, or nothing."""
    said = [forget(read_table(path, sheet=reading.sheet)) for path in files_of(paths)]
    return " ".join(dict.fromkeys(filter(None, said)))
