"""Two windows on one file: the second one says so.

Each window holds a lock, among the program's own files, that stands for the file open in it. A
lock ends with its process, so a window that died is in nobody's way.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path
from typing import TYPE_CHECKING

import linesim
from gui.document.document import Document

if TYPE_CHECKING:
    from filelock import BaseFileLock


class OpenFileLock:
    """Tells other windows which file *document* is, and knows whether one had it open before.

    The document does not hold on to this: its maker must.
    """

    def __init__(self, document: Document, folder: Path | None = None) -> None:
        self._document = document
        self._folder = folder or linesim.folders.open_folder()
        self._lock: BaseFileLock | None = None
        self.open_elsewhere = False
        """Whether another window had the file open before this one."""
        document.path_changed.connect(self._on_path)
        self._on_path()

    def refresh(self) -> None:
        """Look again: the other window may be closed by now."""
        if self.open_elsewhere:
            self._claim()

    def close(self) -> None:
        """The window closes."""
        self._document.path_changed.disconnect(self._on_path)
        self._release()

    def _on_path(self) -> None:
        self._release()
        self._claim()

    def _claim(self) -> None:
        self.open_elsewhere = False
        document = self._document
        # Nobody writes to a demo, so any number of windows may look at it.
        if document.path is None or document.is_demo:
            return
        from filelock import FileLock, Timeout

        # Where the folder cannot be used nothing can be said; saving still asks.
        with contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            name = hashlib.sha256(
                os.fsencode(linesim.platforms.name_of_file(document.path))
            ).hexdigest()
            lock = FileLock(self._folder / f"{name}.lock", thread_local=False)
            try:
                lock.acquire(timeout=0)
            except Timeout:
                self.open_elsewhere = True
            else:
                self._lock = lock

    def _release(self) -> None:
        self.open_elsewhere = False
        if self._lock is not None:
            lock, self._lock = self._lock, None
            with contextlib.suppress(OSError):
                os.unlink(lock.lock_file)
            lock.release()
