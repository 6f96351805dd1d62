"""What the text and the file say, value by value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import linesim
from gui.document.origins import origins

Path = tuple[str | int, ...]


class Values:
    """The values of the text and those of the saved file, side by side."""

    def __init__(self) -> None:
        self._now: dict[str, Any] = {}
        self._file: dict[str, Any] = {}
        self._origins: dict[str, list[int | None]] = {}

    @property
    def now(self) -> dict[str, Any]:
        """The values of the text."""
        return self._now

    @now.setter
    def now(self, values: dict[str, Any]) -> None:
        self._now = values
        self._origins.clear()

    @property
    def file(self) -> dict[str, Any]:
        """The values of the saved file."""
        return self._file

    @file.setter
    def file(self, values: dict[str, Any]) -> None:
        self._file = values
        self._origins.clear()

    def in_text(self, field: str) -> Any:
        """What the text says at a dotted name; None where it says nothing."""
        return at(self._now, linesim.scenario.split_name(field))

    def in_file(self, field: str) -> Any:
        """What the file says there, followed through lists that changed."""
        path = self._path_in_file(field)
        return None if path is None else at(self._file, path)

    def doubts_in_file(self, field: str) -> dict[str, Mapping[str, Any]]:
        """How sure the file says a field is, by the figure, followed like its value."""
        path = self._path_in_file(field)
        if path is None:
            return {}
        return linesim.scenario.doubts_about(self._file, linesim.scenario.dotted(path))

    def _path_in_file(self, field: str) -> Path | None:
        path = linesim.scenario.split_name(field)
        if len(path) > 1 and isinstance(path[1], int):
            origin = self._origin(str(path[0]), path[1])
            return None if origin is None else (path[0], origin, *path[2:])
        return path

    def _origin(self, name: str, index: int) -> int | None:
        if name not in self._origins:
            now, then = self._now.get(name), self._file.get(name)
            both = isinstance(now, list) and isinstance(then, list)
            self._origins[name] = origins(now, then) if both else []  # type: ignore[arg-type]
        found = self._origins[name]
        return found[index] if index < len(found) else None


def at(data: Mapping[str, Any], path: Path) -> Any:
    """The value at *path*; None where there is none."""
    value: Any = data
    for part in path:
        if isinstance(value, Mapping) and isinstance(part, str):
            value = value.get(part)
        elif isinstance(value, list) and isinstance(part, int) and part < len(value):
            value = value[part]
        else:
            return None
    return value
