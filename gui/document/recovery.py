"""Unsaved work survives a crash: a copy beside the program's own files, a moment after each edit.

The copy never touches the user's file. It goes when the work is saved or the window is closed; a
copy whose window no longer lives is offered at the next start.
"""

from __future__ import annotations

import contextlib
import json
import os
import threading
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import linesim
from gui.document.document import Document
from gui.document.saving import SaveRefused, write_whole

if TYPE_CHECKING:
    from filelock import BaseFileLock

WRITTEN_AFTER_S = 0.5
_FORMAT = 2


@dataclass(frozen=True)
class Recoverable:
    """Unsaved work of a window that did not close.

    ``path`` is the file it was meant for, ``based_on`` what stood in it then.
    """

    file: Path
    name: str
    path: Path | None
    text: str
    written: datetime
    based_on: str

    def discard(self) -> None:
        """Forget this work."""
        for file in (self.file, self.file.with_suffix(".lock")):
            with contextlib.suppress(OSError):
                file.unlink()


def recoverable(folder: Path | None = None) -> tuple[Recoverable, ...]:
    """What can be offered, newest first: copies whose window no longer lives.

    A copy that cannot be read is passed over and left where it is.
    """
    folder = folder or linesim.folders.recovery_folder()
    found = []
    for file in folder.glob("*.json") if folder.is_dir() else ():
        if not _has_owner(file):
            with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
                found.append(_read(file))
    return tuple(sorted(found, key=lambda work: work.written, reverse=True))


class Autosave:
    """Keeps a copy of *document* while it has unsaved changes.

    The copy is written by a thread, so that neither typing nor a busy window delays it.
    ``failed`` says in words why the last copy could not be written, empty where it could.
    The document does not hold on to this: its maker must.
    """

    def __init__(
        self, document: Document, folder: Path | None = None, *, after_s: float = WRITTEN_AFTER_S
    ) -> None:
        self._document, self._after_s = document, after_s
        self.file = (folder or linesim.folders.recovery_folder()) / f"{uuid.uuid4().hex}.json"
        self.failed = ""
        self._guard = threading.Lock()
        self._timer: threading.Timer | None = None
        self._owner: BaseFileLock | None = None
        self._closed = False
        document.changed.connect(self._on_change)
        document.saved.connect(self._on_change)
        self._on_change()

    def close(self) -> None:
        """The window closes and the user has decided: the copy goes."""
        self._document.changed.disconnect(self._on_change)
        self._document.saved.disconnect(self._on_change)
        self._closed = True
        self._remove()

    def abort(self) -> bool:
        """The window ends and nobody was asked: the copy stays. True where there is one."""
        self.write_now()
        return self._document.dirty and not self.failed

    def take_over(self, work: Recoverable) -> None:
        """Forget *work*, which the document took up, once a copy of this window's own stands."""
        self.write_now()
        if not self.failed:
            work.discard()

    def write_now(self) -> None:
        """Write the copy at once."""
        with self._guard:
            self._timer = None
            document = self._document
            if self._closed or not document.dirty:
                return
            stored = {
                "format": _FORMAT,
                "name": document.name,
                "path": None if document.path is None else os.fspath(document.path),
                "text": document.text,
                "based_on": document.text_on_disk,
                "written": datetime.now(UTC).isoformat(),
            }
            try:
                self._own()
                write_whole(self.file, json.dumps(stored).encode("ascii"))
                self.failed = ""
            except SaveRefused as refused:
                self.failed = str(refused)
            except OSError as error:
                self.failed = f"{self.file.parent} cannot be used: {error.strerror}."

    def _on_change(self) -> None:
        if not self._document.dirty:
            self._remove()
        elif self._timer is None:
            # Not put off by further typing: the copy is never older than this.
            self._timer = threading.Timer(self._after_s, self.write_now)
            self._timer.daemon = True
            self._timer.start()

    def _own(self) -> None:
        if self._owner is None:
            self.file.parent.mkdir(parents=True, exist_ok=True)
            from filelock import FileLock

            owner = FileLock(self.file.with_suffix(".lock"), thread_local=False)
            owner.acquire(timeout=0)
            self._owner = owner

    def _remove(self) -> None:
        with self._guard:
            if self._timer is not None:
                self._timer.cancel()
                self._timer = None
            with contextlib.suppress(OSError):
                self.file.unlink()
            if self._owner is not None:
                self._owner.release()
                self._owner = None
                with contextlib.suppress(OSError):
                    self.file.with_suffix(".lock").unlink()


def _has_owner(file: Path) -> bool:
    from filelock import FileLock, Timeout

    lock = FileLock(file.with_suffix(".lock"))
    try:
        with lock.acquire(timeout=0):
            return False
    except (Timeout, OSError):
        return True


def _read(file: Path) -> Recoverable:
    stored = json.loads(file.read_bytes())
    if stored["format"] != _FORMAT or not isinstance(stored["text"], str):
        raise ValueError("another format")
    return Recoverable(
        file,
        str(stored["name"]),
        Path(stored["path"]) if stored["path"] is not None else None,
        stored["text"],
        datetime.fromisoformat(stored["written"]),
        str(stored["based_on"]),
    )
