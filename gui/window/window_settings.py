"""What the window remembers from one time to the next: its place, recent files, hints seen."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings

import linesim

_MOST_RECENT = 10
_FORMAT = 1


def _kept() -> QSettings | None:
    """A file on every system: one can say where it is, send it, and remove it.

    None where a newer window wrote it: written again by this one it would lose what that knows.
    """
    kept = QSettings(str(linesim.folders.window_file()), QSettings.Format.IniFormat)
    stated = str(kept.value("format", _FORMAT))
    if stated.isdecimal() and int(stated) > _FORMAT:
        return None
    kept.setValue("format", _FORMAT)
    return kept


class WindowSettings:
    """Settings of the window; with ``remember`` False nothing is read or written."""

    def __init__(self, *, remember: bool = True) -> None:
        self._settings = _kept() if remember else None

    @property
    def remembers(self) -> bool:
        """Whether anything is read and kept."""
        return self._settings is not None

    def recent(self) -> list[Path]:
        """Files opened last, newest first; some may be there no more."""
        if self._settings is None:
            return []
        kept = self._settings.value("recent", [], list)
        return [Path(str(each)) for each in kept] if isinstance(kept, list) else []

    def opened(self, path: Path) -> None:
        """A file was opened or saved."""
        if self._settings is not None:
            path = path.absolute()
            rest = [str(each) for each in self.recent() if each != path]
            self._settings.setValue("recent", [str(path), *rest][:_MOST_RECENT])

    def forget(self, *paths: Path) -> None:
        """Files are no longer among those opened last."""
        if self._settings is not None:
            rest = [str(each) for each in self.recent() if each not in paths]
            self._settings.setValue("recent", rest)

    def put(self, name: str, value: QByteArray) -> None:
        """Keep the state of a part."""
        if self._settings is not None:
            self._settings.setValue(name, value)

    def get(self, name: str) -> QByteArray | None:
        """The state of a part, if one was kept."""
        if self._settings is None:
            return None
        value = self._settings.value(name)
        return value if isinstance(value, QByteArray) and not value.isEmpty() else None

    def forget_sizes(self) -> None:
        """Of the window, its parts and its dialogs."""
        if self._settings is not None:
            for name in ("place", "parts", "sizes"):
                self._settings.remove(name)

    def choice(self, name: str, of: Collection[str]) -> str:
        """What was chosen of these the last time; the first of them where nothing was."""
        kept = None if self._settings is None else self._settings.value(name)
        return str(kept) if kept in of else next(iter(of))

    def choose(self, name: str, value: str) -> None:
        """Keep a choice."""
        if self._settings is not None:
            self._settings.setValue(name, value)

    def text(self, name: str) -> str:
        """A text that was kept; empty where none was."""
        return "" if self._settings is None else str(self._settings.value(name) or "")

    def seen(self, hint: str) -> bool:
        """Whether a hint was shown before; from now on it was."""
        if self._settings is None:
            return True
        was = bool(self._settings.value(f"seen/{hint}", False, bool))
        self._settings.setValue(f"seen/{hint}", True)
        return was
