"""Lines as they are in plants that agree with what is known of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from linesim.scenario.changed_law import with_mean
from linesim.scenario.contradictions import contradictions
from linesim.scenario.doubts import Doubted, Scores, entry_name, tables_of
from linesim.scenario.field_descriptions import as_written, descriptions
from linesim.scenario.fields import DOUBT, Figures, Table, values_of
from linesim.scenario.laws import AnyLaw
from linesim.scenario.scenario import Scenario

_NEAREST = 1e-3


def without_doubt(scenario: Scenario) -> Scenario:
    """The line as it is stated, all its figures taken as known."""
    return _changed(scenario, lambda *at: {DOUBT: ()} if at[2].doubt else {}, checked=False)


def drawn(scenario: Scenario, figures: tuple[Doubted, ...], scores: Scores) -> Scenario:
    """A variant of the line in the plant of these scores; what it does not have is left out.

    Values are kept within what is legal, and whole numbers whole. Where they make no line together,
    the plant is taken half as far from what is stated, again and again, until they do.
    """
    by_entry: dict[tuple[str, str], list[Doubted]] = {}
    for each in figures:
        if each.is_money:
            continue
        by_entry.setdefault((each.table, each.entry), []).append(each)

    doubted_in = {table for table, _ in by_entry}

    def near(part: float) -> Scenario:
        def change(table: str, number: int | None, there: Figures) -> dict[str, Any]:
            mine = by_entry.get((table, entry_name(there, number))) if table in doubted_in else None
            return _moved(there, [(e, part * scores[e.name]) for e in mine]) if mine else {}

        return _changed(scenario, change, checked=True)

    part = 1.0
    while part > _NEAREST:
        try:
            found = near(part)
        except ValidationError:
            pass
        else:
            if not contradictions(found):
                return found
        part /= 2
    return scenario


def with_values(scenario: Scenario, values: Mapping[Doubted, Any]) -> Scenario:
    """The scenario with other values in place of doubted figures, whatever they are: unchecked."""

    def change(table: str, number: int | None, there: Figures) -> dict[str, Any]:
        entry = entry_name(there, number)
        return {e.field: new for e, new in values.items() if (e.table, e.entry) == (table, entry)}

    return _changed(scenario, change, checked=False) if values else scenario


def price_at(scenario: Scenario, figure: Doubted, score: float) -> int | float:
    """A doubted price at a normal score, from what the scenario states, kept within what is legal.

    A study may have been asked with a price of its own: the doubt then goes round that.
    """
    table = table_of(scenario, figure)
    return legal(type(table), figure.field, figure.moved(values_of(table)[figure.field], score))


def table_of(scenario: Scenario, figure: Doubted) -> Figures:
    """The table that a doubted figure of this scenario stands in."""
    return next(
        there
        for table, number, there in tables_of(scenario)
        if (table, entry_name(there, number)) == (figure.table, figure.entry)
    )


def _moved(table: Figures, figures: list[tuple[Doubted, float]]) -> dict[str, Any]:
    """The fields of a table as they are in a plant, as a file would write them."""
    found: dict[str, Any] = {}
    given = values_of(table)
    # The mean first: it takes the spread with it, unless that is doubted by itself.
    for each, score in sorted(figures, key=lambda pair: pair[0].part):
        value = given.get(each.field)
        if value is None:
            continue
        if isinstance(value, AnyLaw):
            law = found.get(each.field, as_written(value))
            if not each.part:
                law = with_mean(law, each.moved(value.average(), score))
            elif isinstance(law, dict) and each.part in law:
                stated = getattr(value, each.part)
                law = law | {each.part: legal(type(value), each.part, each.moved(stated, score))}
            found[each.field] = law
        else:
            found[each.field] = legal(type(table), each.field, each.moved(value, score))
    return found


def legal(table: type[Table], field: str, value: float) -> int | float:
    """The nearest to the value that the field of a table may hold."""
    said = descriptions(table)[field]
    low = said.low if said.low is not None else -math.inf
    high = said.high if said.high is not None else math.inf
    kept = min(max(value, low), high)
    return round(kept) if said.kind == "whole" else kept


def _changed(
    scenario: Scenario,
    change: Callable[[str, int | None, Figures], dict[str, Any]],
    *,
    checked: bool,
) -> Scenario:
    """A copy with fields of its tables changed; ``checked`` holds them against their declarations.

    Raises ``pydantic.ValidationError`` for what is not legal.
    """
    new: dict[str, Any] = {}
    fields = type(scenario).model_fields
    python_name = {info.alias or name: name for name, info in fields.items()}
    for name, number, table in tables_of(scenario):
        moved = change(name, number, table)
        if not moved:
            continue
        if checked:
            given = table.model_dump(by_alias=True, exclude_unset=True)
            there: Any = type(table).model_validate(given | moved)
        else:
            there = table.model_copy(update=moved)
        if number is None:
            new[python_name[name]] = there
        else:
            rows = new.setdefault(python_name[name], list(values_of(scenario)[name]))
            rows[number] = there
    changes = {name: tuple(each) if isinstance(each, list) else each for name, each in new.items()}
    return scenario.model_copy(update=changes) if changes else scenario
