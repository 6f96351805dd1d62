"""Columns that a user named by hand, kept for the next log with the same headings.

They stand in ``log-columns.toml`` in the user's configuration folder, as text that can be read and
put right by hand. That file is a convenience: nothing that is wrong with it stops a log from being
read.
"""

from __future__ import annotations

import datetime as dt
import os
import tempfile
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import platformdirs
import tomlkit

from linesim.plant.log_columns import LOG_FIELDS, heading_row_of, plain
from linesim.plant.raw_table import RawTable, read_table, written
from linesim.plant.stop_log import LogSettings, StopLog, clean_log
from linesim.scenario.faults import ScenarioFaults

_MOST = 100
_TOP = "# Columns of stop logs as they were named by hand; a table for each row of headings.\n"


@dataclass(frozen=True)
class KeptColumns:
    """Settings with what was kept put into them, and what to say about it."""

    settings: LogSettings
    notes: tuple[str, ...] = ()
    from_last_time: Mapping[str, str] = field(default_factory=dict)
    """Headings by field that were kept and are used now."""


class UnreadableError(ValueError):
    """The file of kept columns cannot be read; the text says why."""


def columns_file() -> Path:
    """Where columns are kept."""
    return Path(platformdirs.user_config_dir("linesim")) / "log-columns.toml"


def with_kept(table: RawTable, settings: LogSettings, file: Path | None = None) -> KeptColumns:
    """Put the columns named last time into *settings*; what is told now goes before."""
    file = file or columns_file()
    try:
        entries = _entries(file)
    except UnreadableError as error:
        return KeptColumns(settings, (f"Columns named earlier are not known: {error}.",))
    headings = _headings(table, settings)
    entry = next((each for each in entries if each["headings"] == headings), None)
    if entry is None:
        return KeptColumns(settings)
    kept = {f: str(h) for f, h in entry["columns"].items()}
    kept = {f: h for f, h in kept.items() if f in LOG_FIELDS and (not h or plain(h) in headings)}
    used = {f: h for f, h in kept.items() if f not in settings.columns}
    if settings.columns.get("start"):
        used.pop("counter", None)
    if settings.columns.get("counter"):
        used.pop("start", None)
    if not used:
        return KeptColumns(settings)
    said = ", ".join(
        f"{field} = {heading!r}" if heading else f"no {field}" for field, heading in used.items()
    )
    note = f"Columns as you named them last time: {said}."
    settings = replace(settings, columns={**used, **settings.columns})
    return KeptColumns(settings, (note,), used)


def keep(table: RawTable, settings: LogSettings, file: Path | None = None) -> str:
    """Keep the columns of *settings* for these headings; says what went wrong, or nothing."""
    file = file or columns_file()
    headings = _headings(table, settings)
    try:
        entries = [each for each in _entries(file) if each["headings"] != headings]
        if settings.columns:
            entries.append({"headings": headings, "columns": dict(settings.columns)})
        _write(file, entries[-_MOST:])
    except UnreadableError as error:
        return f"The columns named were not kept for next time: {error}."
    except OSError as error:
        return f"The columns named were not kept for next time: {file}: {error.strerror}."
    return ""


def forget(table: RawTable, file: Path | None = None) -> str:
    """Forget what was kept for these headings; says what went wrong, or nothing."""
    return keep(table, LogSettings(), file)


def open_log(
    path: str | os.PathLike[str],
    settings: LogSettings | None = None,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    file: Path | None = None,
) -> StopLog:
    """Read a log with the columns named last time, and keep those named now.

    The log's notes begin with what was taken from last time. As :func:`read_stop_log` otherwise.
    """
    settings = settings or LogSettings()
    table = read_table(path, sheet=settings.sheet)
    return log_in(table, settings, since=since, until=until, file=file)


def log_in(
    table: RawTable,
    settings: LogSettings,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    file: Path | None = None,
) -> StopLog:
    """The log in a table that was read; as :func:`open_log`."""
    kept = with_kept(table, settings, file)
    try:
        log = clean_log(table, kept.settings, since=since, until=until)
    except ScenarioFaults:
        if not kept.from_last_time:
            raise
        # What was kept no longer makes a log of it: better none of it than no log.
        kept = KeptColumns(settings, ("The columns named last time do not fit, so not used.",))
        log = clean_log(table, settings, since=since, until=until)
    trouble = keep(table, kept.settings, file) if settings.columns else ""
    notes = (*kept.notes, *([trouble] if trouble else []), *log.notes)
    return replace(log, notes=notes)


def _headings(table: RawTable, settings: LogSettings) -> list[str]:
    row, _ = heading_row_of(table, settings.columns)
    return [plain(written(cell)) for cell in table.rows[row].cells] if table.rows else []


def _entries(file: Path) -> list[dict[str, Any]]:
    try:
        data = tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return []
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is not what was written there"
        raise UnreadableError(f"{file} cannot be read ({why}); delete it or put it right") from None
    entries = data.get("log", [])
    right = isinstance(entries, list) and all(
        isinstance(each, dict)
        and isinstance(each.get("headings"), list)
        and isinstance(each.get("columns"), dict)
        for each in entries
    )
    if not right:
        raise UnreadableError(f"{file} is not as it was written; delete it or put it right")
    return list(entries)


def _write(file: Path, entries: list[dict[str, Any]]) -> None:
    """The whole file or nothing of it."""
    if not entries and not file.exists():
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    text = _TOP + tomlkit.dumps({"log": entries} if entries else {})
    descriptor, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8", newline="\n") as out:
            out.write(text)
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
