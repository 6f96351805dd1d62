"""The file in which a study keeps every run as it ends: SQLite, read as data and nothing else.

A file that is not a study's, or belongs to another scenario or another version of the program,
is refused with the reason. What is read from it is text and numbers that are checked; no code
in it (triggers, views, functions in the schema) is ever run.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sqlite3
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import TracebackType

from linesim.studies.outcome import Outcome

_MARK = 0x6C696E65
_FORMAT = 2
_HEADER = b"SQLite format 3\x00"
_NO_WRITE_AHEAD = b"\x01\x01"
_SCHEMA = (
    "CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL)",
    "CREATE TABLE run (key TEXT PRIMARY KEY, outcome TEXT NOT NULL)",
)
_PATIENCE_S = 1.0
_LONGEST_OUTCOME = 5_000_000
_LONGEST_NOTE = 20_000_000
_NO_ROOM_OR_RIGHTS = (
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_CANTOPEN,
)


class StudyFileError(ValueError):
    """A study file that cannot be used, and why."""


class StudyFile:
    """Finished runs by the digest of what they depend on. One study at a time may hold it."""

    def __init__(
        self,
        path: Path,
        *,
        scenario: str | None,
        name: str,
        program: str,
        may_fail: bool = False,
    ) -> None:
        """Open or make the file. ``scenario`` and ``program`` are digests, ``name`` is for people.

        Without ``scenario`` the file must be there, is only read, and holds runs of whatever
        scenario it says. With ``may_fail`` a run that cannot be kept (a full disk) stops nobody:
        ``failed`` says in words why, and no further one is kept. Raises :class:`StudyFileError`
        where the file must not be used, ``OSError`` where it cannot be.
        """
        self.path = path
        self.failed = ""
        self._may_fail = may_fail
        known = path.exists() and path.stat().st_size > 0
        if scenario is None and not known:
            raise StudyFileError(f"{path}: there is no study in it")
        if known:
            _refuse_what_is_no_database(path)
        elif not path.exists():
            os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
        reading = scenario is None
        if reading:
            _undo_what_a_kill_cut_short(path)
        try:
            self._db = _connect(path, "ro" if reading else "rw")
        except sqlite3.Error as error:
            raise StudyFileError(f"{path}: cannot be opened: {error}") from None
        try:
            self._prepare(reading)
            if known and self._schema():
                self._check(scenario, program)
            elif scenario is None:
                raise StudyFileError(f"{path}: there is no study in it")
            else:
                self._begin(scenario, name, program)
        except UnicodeDecodeError:  # SQLite quotes a damaged schema in its own error
            self._db.close()
            raise StudyFileError(
                f"{path}: damaged: what says how it is laid out is no text"
            ) from None
        except sqlite3.Error as error:
            self._db.close()
            raise _refusal(path, error, reading) from None
        except StudyFileError:
            self._db.close()
            raise

    def __enter__(self) -> StudyFile:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def get(self, key: str) -> Outcome | None:
        """The kept run, None where there is none. Raises :class:`StudyFileError` if damaged."""
        try:
            row = self._db.execute(
                "SELECT outcome FROM run WHERE key = ? AND typeof(outcome) = 'text'"
                " AND length(outcome) <= ?",
                (key, _LONGEST_OUTCOME),
            ).fetchone()
            return None if row is None else Outcome.from_text(_checked(row[0]))
        except (sqlite3.Error, ValueError) as error:
            raise StudyFileError(f"{self.path}: damaged: {error}") from None

    def put(self, key: str, text: str) -> None:
        """Keep a finished run, as :meth:`put_all` several."""
        self.put_all({key: text})

    def put_all(self, runs: Mapping[str, str]) -> None:
        """Keep finished runs; when this returns, not even a power cut takes them away.

        Raises ``OSError`` where that cannot be done, unless the file may fail.
        """
        rows = [(key, _with_check(text)) for key, text in runs.items()]
        self._write("a run", "INSERT OR REPLACE INTO run VALUES (?, ?)", rows)

    def note(self, values: Mapping[str, str]) -> None:
        """Write what the study is about beside its runs: what was asked, of which scenarios."""
        self._write("what is asked", "INSERT OR REPLACE INTO about VALUES (?, ?)", values.items())

    def _write(self, what: str, statement: str, rows: Iterable[tuple[str, str]]) -> None:
        if self.failed:
            return
        try:
            # In one go: the disk takes longer to settle than all the rest.
            self._db.execute("BEGIN")
            self._db.executemany(statement, rows)
            self._db.execute("COMMIT")
        except sqlite3.Error as error:
            with contextlib.suppress(sqlite3.Error):
                self._db.execute("ROLLBACK")
            words = f"{self.path}: {what} could not be kept: {error}"
            if not self._may_fail:
                raise OSError(words) from None
            self.failed = words

    def noted(self, name: str) -> str | None:
        """What :meth:`note` wrote, or None. Raises :class:`StudyFileError` if damaged."""
        try:
            row = self._db.execute(
                "SELECT value FROM about WHERE name = ? AND typeof(value) = 'text'"
                " AND length(value) <= ?",
                (name, _LONGEST_NOTE),
            ).fetchone()
        except (sqlite3.Error, UnicodeDecodeError) as error:
            raise StudyFileError(f"{self.path}: damaged: {error}") from None
        return None if row is None else str(row[0])

    def __len__(self) -> int:
        return int(self._db.execute("SELECT count(*) FROM run").fetchone()[0])

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _prepare(self, reading: bool) -> None:
        self._db.execute("PRAGMA trusted_schema = OFF")
        self._db.execute("PRAGMA cell_size_check = ON")
        if reading:
            # A study under way holds the file for itself: this is told now.
            self._db.execute("PRAGMA query_only = ON")
            self._db.execute("SELECT count(*) FROM sqlite_master").fetchone()
            return
        self._db.execute("PRAGMA locking_mode = EXCLUSIVE")
        self._db.execute("PRAGMA journal_mode = DELETE")
        self._db.execute("PRAGMA synchronous = FULL")
        # Taken at once, so that a second study on the same file is told before it works.
        self._db.execute("BEGIN EXCLUSIVE")
        self._db.execute("COMMIT")

    def _schema(self) -> set[str]:
        rows = self._db.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
        return {str(row[0]) for row in rows}

    def _begin(self, scenario: str, name: str, program: str) -> None:
        self._db.execute("BEGIN")
        for statement in _SCHEMA:
            self._db.execute(statement)
        self._db.execute(f"PRAGMA application_id = {_MARK}")
        self._db.execute(f"PRAGMA user_version = {_FORMAT}")
        about = {"scenario": scenario, "name": name, "program": program}
        self._db.executemany("INSERT INTO about VALUES (?, ?)", about.items())
        self._db.execute("COMMIT")

    def _check(self, scenario: str | None, program: str) -> None:
        mark = self._db.execute("PRAGMA application_id").fetchone()[0]
        if mark != _MARK or self._schema() != set(_SCHEMA):
            raise StudyFileError(f"{self.path}: is no study file of linesim; name another file")
        kept_as = self._db.execute("PRAGMA user_version").fetchone()[0]
        if kept_as > _FORMAT:
            raise StudyFileError(
                f"{self.path}: a newer version of linesim keeps its runs in another way; open it"
                " with that"
            )
        about = {str(k): str(v) for k, v in self._db.execute("SELECT name, value FROM about")}
        if scenario is not None and about.get("scenario") != scenario:
            raise StudyFileError(
                f"{self.path}: holds runs of another scenario ({about.get('name', '?')!r}, as it"
                " was then); the scenario has changed. Keep this study in another file, or"
                " throw the old runs away: delete this one (a command: --start-over)"
            )
        # Runs of an older format are those of an older program: there is no step for them.
        if kept_as < _FORMAT or about.get("program") != program:
            raise StudyFileError(
                f"{self.path}: its runs were made by another version of linesim and may differ;"
                + (
                    " ask once more, or open it with that version"
                    if scenario is None
                    else " keep this study in another file, or throw them away: delete this one (a"
                    " command: --start-over)"
                )
            )


def _with_check(text: str) -> str:
    """The outcome of a run with its digest: a damaged page must not become a wrong figure."""
    return f"{hashlib.sha256(text.encode()).hexdigest()} {text}"


def _checked(kept: str) -> str:
    text = kept.partition(" ")[2]
    if _with_check(text) != kept:
        raise ValueError("a run in it is not what was kept")
    return text


def discard(path: Path) -> None:
    """Throw a study file away, damaged or not.

    Raises :class:`StudyFileError` for a file that is none, and for one that a study is using.
    """
    if not path.exists():
        return
    _refuse_what_is_no_database(path)
    if not _is_marked(path):
        raise StudyFileError(f"{path}: is no study file of linesim; it is left as it is")
    with contextlib.suppress(sqlite3.Error), contextlib.closing(_connect(path, "rw")) as db:
        try:
            db.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as error:
            if _is(error, sqlite3.SQLITE_BUSY):
                raise _in_use(path) from None
    path.unlink()
    path.with_name(path.name + "-journal").unlink(missing_ok=True)


def _refuse_what_is_no_database(path: Path) -> None:
    if not path.is_file():
        raise StudyFileError(f"{path}: is not a file")
    with path.open("rb") as source:
        header = source.read(72)
    # Opening another program's database may already change it, so its header is read first.
    ours = header[68:72] == _MARK.to_bytes(4, "big") and header[18:20] == _NO_WRITE_AHEAD
    if not header.startswith(_HEADER) or not ours:
        raise StudyFileError(f"{path}: is no study file of linesim; name another file")


def _is_marked(path: Path) -> bool:
    with path.open("rb") as source:
        return int.from_bytes(source.read(72)[68:72], "big") == _MARK


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    """A connection without extensions and without other files; ``mode`` is "ro" or "rw"."""
    name = f"{path.resolve().as_uri()}?mode={mode}"
    db = sqlite3.connect(name, uri=True, timeout=_PATIENCE_S, isolation_level=None)
    db.setlimit(sqlite3.SQLITE_LIMIT_ATTACHED, 0)
    return db


def _undo_what_a_kill_cut_short(path: Path) -> None:
    """Take back a write that was under way when its study was killed; reading alone may not.

    Where that cannot be done, the reading that follows says why.
    """
    if not path.with_name(path.name + "-journal").exists() or not _is_marked(path):
        return
    with contextlib.suppress(sqlite3.Error), contextlib.closing(_connect(path, "rw")) as db:
        db.execute("PRAGMA trusted_schema = OFF")
        db.execute("SELECT count(*) FROM sqlite_master").fetchone()


def _is(error: sqlite3.Error, *codes: int) -> bool:
    found = getattr(error, "sqlite_errorcode", None)
    return found is not None and found & 0xFF in codes


def _in_use(path: Path, reading: bool = False) -> StudyFileError:
    if reading:
        return StudyFileError(f"{path}: a study is using it; wait for it, or stop it first")
    return StudyFileError(
        f"{path}: another study is using it; wait for that one, or keep this study in another file"
        " (a command: --keep)"
    )


def _refusal(path: Path, error: sqlite3.Error, reading: bool) -> StudyFileError | OSError:
    if _is(error, sqlite3.SQLITE_BUSY):
        return _in_use(path, reading)
    if _is(error, *_NO_ROOM_OR_RIGHTS):
        what = "cannot be read" if reading else "a study cannot be kept there"
        return (StudyFileError if reading else OSError)(f"{path}: {what}: {error}")
    return StudyFileError(f"{path}: damaged or no study file: {error}")
