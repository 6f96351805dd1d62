"""What a user told of a log by hand, kept for the next one with the same headings.

Its columns, how its dates are written, and what its causes and machines are.

They stand in ``log-columns.toml`` in the user's configuration folder, as text that can be read and
put right by hand. That file is a convenience: nothing that is wrong with it stops a log from being
read.
"""

from __future__ import annotations

import datetime as dt
import os
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import tomlkit

from linesim.files import write_text
from linesim.folders import columns_file
from linesim.plant.date_order import ORDER_WORDS
from linesim.plant.log_columns import HEADING_WITHIN, LOG_FIELDS, heading_row_of, plain
from linesim.plant.log_settings import LogSettings, PlantTerms
from linesim.plant.raw_table import RawRow, RawTable, written
from linesim.plant.stop_log import StopLog, clean_log
from linesim.plant.table_files import read_table
from linesim.scenario.faults import ScenarioFaults

_MOST = 100
_FORMAT = 1
_TOP = "# Stop logs as they were explained by hand; a table for each row of headings.\n"


@dataclass(frozen=True)
class Kept:
    """Settings with what was kept put into them, and what to say about it."""

    settings: LogSettings
    notes: tuple[str, ...] = ()
    from_last_time: Mapping[str, str] = field(default_factory=dict)
    """Headings by field that were kept and are used now."""


class UnreadableError(ValueError):
    """The file of kept columns cannot be read; the text says why."""


def with_kept(table: RawTable, settings: LogSettings, file: Path | None = None) -> Kept:
    """Put what was told last time into *settings*; what is told now goes before."""
    file = file or columns_file()
    try:
        entry = _entry_of(table, _entries(file))
    except UnreadableError as error:
        return Kept(settings, (f"Columns named earlier are not known: {error}.",))
    if entry is None:
        return Kept(settings)
    headings = entry["headings"]
    kept = {f: str(h) for f, h in entry["columns"].items()}
    kept = {f: h for f, h in kept.items() if f in LOG_FIELDS and (not h or plain(h) in headings)}
    used = {f: h for f, h in kept.items() if f not in settings.columns}
    if settings.columns.get("start"):
        used.pop("counter", None)
    if settings.columns.get("counter"):
        used.pop("start", None)
    terms, notes = _terms_with(settings.terms, entry)
    if used:
        said = ", ".join(f"{f} = {h!r}" if h else f"no {f}" for f, h in used.items())
        notes.insert(0, f"Columns as you named them last time: {said}.")
    settings = replace(settings, columns={**used, **settings.columns}, terms=terms)
    return Kept(settings, tuple(notes), used)


def _terms_with(terms: PlantTerms, entry: Mapping[str, Any]) -> tuple[PlantTerms, list[str]]:
    """What is told now and what was told last time, and what to say of the latter."""
    notes: list[str] = []

    def merged(now: Mapping[str, str], kind: str, words: str) -> dict[str, str]:
        here = {plain(name) for name in now}
        before = {n: str(m) for n, m in entry.get(kind, {}).items() if plain(n) not in here}
        if before:
            said = ", ".join(f"{name!r} = {meant}" for name, meant in before.items())
            notes.append(f"{words} as you told them last time: {said}.")
        return {**before, **now}

    terms = replace(
        terms,
        causes=merged(terms.causes, "causes", "Causes"),
        stations=merged(terms.stations, "stations", "Machines"),
    )
    order = entry.get("dates")
    if terms.date_order is None and order in ORDER_WORDS:
        terms = replace(terms, date_order=order)
        notes.append(f"Dates {ORDER_WORDS[order]}, as you told last time.")
    return terms, notes


def keep(table: RawTable, settings: LogSettings, file: Path | None = None) -> str:
    """Keep what *settings* tell of these headings; says what went wrong, or nothing."""
    file = file or columns_file()
    try:
        entries = _entries(file)
        old = _entry_of(table, entries)
        new = _entry(table, settings, old)
        entries = [each for each in entries if each is not old]
        entries = [each for each in entries if each["headings"] != new["headings"]]
        if settings.columns or settings.terms != PlantTerms():
            entries.append(new)
        _write(file, entries[-_MOST:])
    except UnreadableError as error:
        return f"The columns named were not kept for next time: {error}."
    except OSError as error:
        return f"The columns named were not kept for next time: {file}: {error.strerror}."
    return ""


def _entry(table: RawTable, settings: LogSettings, old: Mapping[str, Any] | None) -> dict[str, Any]:
    terms = settings.terms
    headings = old["headings"] if old else []
    if table.rows and (settings.columns or not old):
        headings = _plain_row(table.rows[heading_row_of(table, settings.columns)[0]])
    entry: dict[str, Any] = {"headings": headings}
    if terms.date_order is not None:
        entry["dates"] = terms.date_order
    entry["columns"] = dict(settings.columns)
    names = (("causes", terms.causes), ("stations", terms.stations))
    return entry | {name: dict(meant) for name, meant in names if meant}


def forget(
    table: RawTable, file: Path | None = None, *, columns: bool = True, causes: bool = True
) -> str:
    """Forget what was kept for these headings; says what went wrong, or nothing.

    Columns go with the order of dates, causes with the machines.
    """
    settings = with_kept(table, LogSettings(), file).settings
    terms = settings.terms
    if columns:
        settings, terms = replace(settings, columns={}), replace(terms, date_order=None)
    if causes:
        terms = replace(terms, causes={}, stations={})
    return keep(table, replace(settings, terms=terms), file)


def open_log(
    path: str | os.PathLike[str],
    settings: LogSettings | None = None,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    file: Path | None = None,
) -> StopLog:
    """Read a log with the columns named last time, and keep those named now.

    The log's notes begin with what was taken from last time. As :func:`clean_log` otherwise.
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
        kept = Kept(settings, ("The columns named last time do not fit, so not used.",))
        log = clean_log(table, settings, since=since, until=until)
    told = settings.columns or settings.terms != PlantTerms()
    trouble = keep(table, kept.settings, file) if told else ""
    notes = (*kept.notes, *([trouble] if trouble else []), *log.notes)
    return replace(log, notes=notes)


def _plain_row(row: RawRow) -> list[str]:
    return [plain(written(cell)) for cell in row.cells]


def _entry_of(table: RawTable, entries: Sequence[dict[str, Any]]) -> dict[str, Any] | None:
    """What was kept for a table: its headings may stand below a title that looks like them."""
    for row in table.rows[:HEADING_WITHIN]:
        headings = _plain_row(row)
        for entry in entries:
            if entry["headings"] == headings:
                return entry
    return None


def _entries(file: Path) -> list[dict[str, Any]]:
    try:
        data = tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return []
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is not what was written there"
        raise UnreadableError(f"{file} cannot be read ({why}); delete it or put it right") from None
    stated = data.get("format", _FORMAT)
    if isinstance(stated, int) and stated > _FORMAT:
        # Written again by this one it would lose what it does not know.
        raise UnreadableError(f"{file} was written by a newer version of linesim")
    entries = data.get("log", [])
    right = isinstance(entries, list) and all(
        isinstance(each, dict)
        and isinstance(each.get("headings"), list)
        and all(isinstance(each.get(part, {}), dict) for part in ("causes", "stations"))
        and isinstance(each.get("columns"), dict)
        for each in entries
    )
    if not right:
        raise UnreadableError(f"{file} is not as it was written; delete it or put it right")
    return list(entries)


def _write(file: Path, entries: list[dict[str, Any]]) -> None:
    if not entries and not file.exists():
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    text = _TOP + tomlkit.dumps({"format": _FORMAT, "log": entries} if entries else {})
    write_text(file, text)
