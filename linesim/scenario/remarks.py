"""What is legal in a scenario and still worth a second look: values outside the usual range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from linesim.scenario.faults import Path, dotted, written
from linesim.scenario.fields import Table
from linesim.scenario.laws import AnyLaw, Constant
from linesim.scenario.loading import check_mapping, parse
from linesim.scenario.plain_words import fields_of
from linesim.scenario.positions import line_of


@dataclass(frozen=True)
class Remark:
    """A value that may be meant; ``line`` counts from 1, ``field`` is dotted as in a fault."""

    file: str
    line: int | None
    field: str
    value: str
    words: str

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{place}: remark: {self.field} = {self.value}: {self.words}"


def remarks(text: str, *, file: str = "scenario") -> list[Remark]:
    """Every value of a scenario's text that lies outside what is usual, in file order.

    Of a law its mean is held against the range. What has its default needs no remark: a 0 there
    says that something is not modelled. Raises :class:`ScenarioFaults` as :func:`check_text`.
    """
    data, lines = parse(text, file)
    found = []
    for path, value, typical, unit in _given(check_mapping(data, file=file, lines=lines)):
        low, high = typical
        amount = value.average() if isinstance(value, AnyLaw) else value
        there = _at(data, path)
        if there is None or low <= amount <= high:
            continue
        mean = "" if isinstance(value, Constant) or amount is value else f"a mean of {amount:.4g} "
        words = f"{mean}is outside the usual range of {low:g} to {high:g}{unit}"
        found.append(Remark(file, line_of(path, lines), dotted(path), written(there), words))
    return sorted(found, key=lambda remark: remark.line or 0)


def _given(table: Table, at: Path = ()) -> Iterator[tuple[Path, Any, tuple[float, float], str]]:
    """Path, value, usual range and unit of every field that was given and has such a range."""
    own = {info.alias or name: name for name, info in type(table).model_fields.items()}
    for name, info in fields_of(type(table)).items():
        value, path = getattr(table, own[name]), (*at, name)
        if own[name] not in table.model_fields_set or value == info.default:
            continue
        extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
        typical = extra.get("typical")
        if isinstance(typical, list) and value is not None:
            unit = f" {extra['unit']}" if extra.get("unit") else ""
            low, high = (float(str(end)) for end in typical)
            yield path, value, (low, high), unit
        elif isinstance(value, tuple):
            for n, entry in enumerate(value):
                if isinstance(entry, Table):
                    yield from _given(entry, (*path, n))
        elif isinstance(value, Table) and not isinstance(value, AnyLaw):
            yield from _given(value, path)


def _at(data: Any, path: Path) -> Any:
    """What the file has there; None where a known cause brought it."""
    for part in path:
        data = data.get(part) if isinstance(data, Mapping) else data[part] if data else None
    return data
