"""What is wrong with a scenario file, said so that it can be put right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from linesim.statistics.formatting import counted

Path = tuple[str | int, ...]
"""Where a value stands in a scenario: ``("stop", 3, "people")``, list positions from 0."""

_SHOWN = 50


@dataclass(frozen=True)
class Fault:
    """One fault: where it is, what stands there, what is wrong, and what would be right.

    ``line`` counts from 1 and is ``None`` where there is no text to point at. ``field`` is the
    dotted name of the field, list positions from 0 (``stop[3].people``), empty for the file as a
    whole. ``value`` is what stands there as the file would write it, empty where nothing does.
    ``concerns`` names the other fields that take part where several cannot be true together.
    """

    file: str
    line: int | None
    field: str
    value: str
    problem: str
    would_be_right: str
    concerns: tuple[str, ...] = ()

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        what = self.field + (f" = {self.value}" if self.field and self.value else "")
        right = f"; right would be: {self.would_be_right}" if self.would_be_right else ""
        return f"{place}: {what + ': ' if what else ''}{self.problem}{right}"


@dataclass(frozen=True)
class Contradiction:
    """Fields that cannot be true together: the one to point at, and the others in ``concerns``."""

    path: Path
    problem: str
    would_be_right: str
    concerns: tuple[Path, ...] = ()

    def __str__(self) -> str:
        return f"{dotted(self.path)}: {self.problem}; right would be: {self.would_be_right}"


def at(table: str, *fields: str) -> tuple[Path, ...]:
    """Paths of *fields* of a table."""
    return tuple((table, field) for field in fields)


class ScenarioFaults(ValueError):  # noqa: N818 - it carries faults, it is not one error
    """A scenario that cannot be used; ``faults`` lists everything found, in file order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: list[Fault] = list(faults)
        count = len(self.faults)
        lines = [str(fault) for fault in self.faults[:_SHOWN]]
        if count > _SHOWN:
            lines.append(f"... and {count - _SHOWN} more")
        super().__init__("\n".join([counted(count, "fault"), *lines]))

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.faults,)


def value_at(data: Any, path: Path, missing: Any = None) -> Any:
    """What stands at *path* in mappings and lists, or ``missing``."""
    for part in path:
        if isinstance(part, int):
            there = isinstance(data, (list, tuple)) and 0 <= part < len(data)
        else:
            there = isinstance(data, Mapping) and part in data
        if not there:
            return missing
        data = data[part]
    return data


def dotted(path: Path) -> str:
    """``("stop", 3, "people")`` as people write it: ``stop[3].people``."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += ("." if text else "") + _shortened(part)
    return text


def written(value: Any) -> str:
    """A value as the file would write it, shortened to fit a line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + _shortened(value[:100].encode("unicode_escape").decode()) + '"'
    if isinstance(value, int) and abs(value) > 10**18:
        return "a whole number of more than 18 digits"
    if isinstance(value, dict):
        inner = ", ".join(f"{_shortened(k)} = {written(v)}" for k, v in list(value.items())[:5])
        return _shortened("{ " + inner + (", ..." if len(value) > 5 else "") + " }", 90)
    if isinstance(value, (list, tuple)):
        inner = ", ".join(written(v) for v in value[:5])
        return _shortened("[" + inner + (", ..." if len(value) > 5 else "") + "]", 90)
    return _shortened(str(value))


def _shortened(text: str, most: int = 60) -> str:
    return text if len(text) <= most else text[: most - 3] + "..."
