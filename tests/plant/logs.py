"""A stop log read with nothing kept from last time, whatever the machine's user has told."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from linesim.plant.log_settings import LogSettings
from linesim.plant.stop_log import StopLog, clean_log
from linesim.plant.table_files import read_table


def read_stop_log(
    path: str | Path,
    settings: LogSettings | None = None,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
) -> StopLog:
    settings = settings or LogSettings()
    return clean_log(read_table(path, sheet=settings.sheet), settings, since=since, until=until)
