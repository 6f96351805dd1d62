"""What a contradiction is: which fields take part in it and what would be right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.scenario.faults import Path, dotted


@dataclass(frozen=True)
class Contradiction:
    """``path`` is the field to point at, ``concerns`` the other fields that take part."""

    path: Path
    value: Any
    problem: str
    would_be_right: str
    concerns: tuple[Path, ...] = ()

    def __str__(self) -> str:
        return f"{dotted(self.path)}: {self.problem}; right would be: {self.would_be_right}"


def at(table: str, *fields: str) -> tuple[Path, ...]:
    """Paths of *fields* of a table."""
    return tuple((table, field) for field in fields)
