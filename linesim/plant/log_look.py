"""A first look at a stop log: what its columns are taken for, what is left out, which causes."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field

from linesim.plant.kept_columns import forget, log_in, with_kept
from linesim.plant.log_columns import heading_row_of
from linesim.plant.log_fits import FitSettings, MatchedLog, match_log
from linesim.plant.log_settings import LogSettings
from linesim.plant.raw_table import written
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
    path: str | os.PathLike[str],
    scenario: Scenario | None,
    reading: LogSettings,
    settings: FitSettings,
) -> LogLook:
    """Read a log as far as it can be read; columns that are told are kept for next time.

    Raises :class:`ScenarioFaults` where there is no table to read at all.
    """
    table = read_table(path, sheet=reading.sheet)
    kept = with_kept(table, reading)
    row, places = heading_row_of(table, kept.settings.columns)
    headings = tuple(written(cell) for cell in table.rows[row].cells)
    columns = {name: headings[n] for name, n in places.items()}
    named = tuple(heading for heading in headings if heading)
    try:
        log = log_in(table, reading, since=settings.since, until=settings.until)
        matched = match_log(log, scenario, settings)
    except ScenarioFaults as error:
        return LogLook(named, columns, None, tuple(error.faults), kept.from_last_time, kept.notes)
    return LogLook(named, log.columns, matched, (), kept.from_last_time, kept.notes)


def forget_told(path: str | os.PathLike[str], reading: LogSettings) -> str:
    """Forget all that was told of logs with these headings; says what went wrong, or nothing."""
    return forget(read_table(path, sheet=reading.sheet))
