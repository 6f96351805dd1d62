"""The plant's own tables: stop logs and production counts, chosen once for a scenario.

Every page that needs them takes them from here, so that a fit, a comparison and a belief rest on
the same files.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from psygnal import Signal

LOGS, COUNTS = "logs", "counts"
_MOST_KEPT = 40


class PlantTables:
    """Which files are chosen now, by ``LOGS`` and ``COUNTS``, and those of scenarios before.

    A scenario for which nothing was chosen goes on with what is chosen: variants of a line have
    the same plant.

    >>> tables = PlantTables()
    >>> tables.turn_to(Path("line.toml"))
    >>> tables.choose(LOGS, [Path("stops.csv")])
    >>> tables.turn_to(Path("variant.toml"))
    >>> tables.choose(LOGS, [Path("others.csv")])
    >>> tables.turn_to(Path("line.toml"))
    >>> [path.name for path in tables.of(LOGS)]
    ['stops.csv']
    """

    changed = Signal()
    """Other files are chosen."""

    def __init__(self) -> None:
        self._scenario = ""
        self._now: dict[str, tuple[Path, ...]] = {}
        self._kept: dict[str, dict[str, tuple[Path, ...]]] = {}

    def of(self, kind: str) -> tuple[Path, ...]:
        """The files chosen; none where none are."""
        return self._now.get(kind, ())

    def choose(self, kind: str, paths: Sequence[Path]) -> None:
        """Have these, on every page."""
        if tuple(paths) == self.of(kind):
            return
        self._now = {**self._now, kind: tuple(paths)}
        if self._scenario:
            self._kept.pop(self._scenario, None)
            self._kept[self._scenario] = self._now
        self.changed.emit()

    def turn_to(self, scenario: Path | None) -> None:
        """Another scenario is open."""
        self._scenario = "" if scenario is None else str(scenario)
        kept = self._kept.get(self._scenario, self._now)
        if kept != self._now:
            self._now = kept
            self.changed.emit()

    def as_text(self) -> str:
        """What is kept, the scenarios used last."""
        last = list(self._kept.items())[-_MOST_KEPT:]
        return json.dumps(
            {of: {kind: list(map(str, paths)) for kind, paths in now.items()} for of, now in last}
        )

    def restore(self, text: str) -> None:
        """Take up what was kept; what is no such text keeps nothing."""
        try:
            found: Any = json.loads(text or "{}")
            self._kept = {
                str(of): {kind: tuple(map(Path, now.get(kind, ()))) for kind in (LOGS, COUNTS)}
                for of, now in found.items()
            }
        except (ValueError, TypeError, AttributeError):
            self._kept = {}
        self.turn_to(Path(self._scenario) if self._scenario else None)
