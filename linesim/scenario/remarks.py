"""What is legal and worth a second look: values outside the usual range, or without effect."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from linesim.scenario.currency import unit_in
from linesim.scenario.faults import Path, dotted, value_at, written
from linesim.scenario.field_descriptions import as_written, descriptions
from linesim.scenario.fields import Table, values_of
from linesim.scenario.laws import AnyLaw, Constant
from linesim.scenario.loading import check_mapping, parse
from linesim.scenario.positions import line_of
from linesim.scenario.scenario import Scenario
from linesim.scenario.stops import WEB_STATIONS


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
    """Every value of a scenario's text that lies outside what is usual or does nothing, in order.

    Of a law its mean is held against the range. What has its default needs no remark: a 0 there
    says that something is not modelled. Raises :class:`ScenarioFaults` as :func:`check_text`.
    """
    data, lines = parse(text, file)
    scenario = check_mapping(data, file=file, lines=lines)
    found = []
    for path, words in _without_effect(scenario):
        there = value_at(data, path)
        if there is not None:
            found.append(Remark(file, line_of(path, lines), dotted(path), written(there), words))
    for path, value, typical, unit in _given(scenario):
        low, high = typical
        unit = unit_in(unit, scenario.money.currency)
        amount = value.average() if isinstance(value, AnyLaw) else value
        there = value_at(data, path)
        if there is None or low <= amount <= high:
            continue
        mean = "" if isinstance(value, Constant) or amount is value else f"a mean of {amount:.4g} "
        words = f"{mean}is outside the usual range of {low:g} to {high:g}{unit}"
        found.append(Remark(file, line_of(path, lines), dotted(path), written(there), words))
    return sorted(found, key=lambda remark: remark.line or 0)


def _without_effect(scenario: Scenario) -> Iterator[tuple[Path, str]]:
    """What stops are said to spoil where they cannot, and a way to slow down without a level."""
    if scenario.bridge.slow_at_reams is None and scenario.bridge.slowing != "at_once":
        yield ("bridge", "slowing"), "has no effect without slow_at_reams"
    wrappers = {"wrapper", *(wrapper.name for wrapper in scenario.wrapper)}
    for n, stop in enumerate(scenario.stop):
        if stop.station not in WEB_STATIONS:
            for name in ("spoils_cuts", "spoils_web_m", "spoils_pockets"):
                if getattr(stop, name):
                    yield ("stop", n, name), f"has no effect: there are no webs at {stop.station!r}"
        if not stop.spoils_reams:
            continue
        if stop.station not in wrappers:
            words = f"has no effect: only a wrapper spoils reams, not {stop.station!r}"
            yield ("stop", n, "spoils_reams"), words
        elif stop.meter == "every_clock_h":
            words = "has no effect: a stop by the clock spoils no reams; give another meter"
            yield ("stop", n, "spoils_reams"), words


def _given(table: Table, at: Path = ()) -> Iterator[tuple[Path, Any, tuple[float, float], str]]:
    """Path, value, usual range and unit of every field that was given and has such a range."""
    given = table.model_dump(by_alias=True, exclude_unset=True)
    values = values_of(table)
    for name, field in descriptions(type(table)).items():
        value, path = values[name], (*at, name)
        if name not in given or as_written(value) == field.default:
            continue
        if field.typical is not None and value is not None:
            yield path, value, field.typical, f" {field.unit}" if field.unit else ""
        elif isinstance(value, tuple):
            for n, entry in enumerate(value):
                if isinstance(entry, Table):
                    yield from _given(entry, (*path, n))
        elif isinstance(value, Table) and not isinstance(value, AnyLaw):
            yield from _given(value, path)
