"""What the scenario says, field by field, and where each figure comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from linesim.plant.into_scenario import FITTED
from linesim.report.page.model import Grid
from linesim.report.plain import unit_words
from linesim.scenario import KNOWN_CAUSES, FieldGroup, Scenario, Stop, field_groups, unit_in
from linesim.scenario.comments import comments
from linesim.scenario.fields import DOUBT, Table
from linesim.scenario.help_texts import help_texts
from linesim.scenario.laws import AnyLaw, Constant
from linesim.scenario.stops import METERS

COMMON_PRACTICE = "common practice, no source"
_LABELS = ("name", "note", "invented", "format")


@dataclass(frozen=True)
class Input:
    """One field: what it is, its value, what it would be if left out, and where it comes from."""

    field: str
    """As the file writes it."""
    label: str
    """As the form calls it."""
    what: str
    value: str
    default: str
    stated: bool
    origin: str
    matters: bool = False
    """Whether an answer may hang on it: it is in doubt, or a price that is given."""

    @property
    def differs(self) -> bool:
        """Whether the value is another than the program's default."""
        return self.value != self.default


def inputs_of(scenario: Scenario, text: str | None = None) -> tuple[Input, ...]:
    """All fields but those of stop causes; ``text`` is the scenario file, for its comments."""
    said = comments(text) if text is not None else {}
    found: list[Input] = []
    currency = scenario.money.currency
    groups = {group.name: group for group in field_groups()}
    for attribute, info in Scenario.model_fields.items():
        name, value = info.alias or attribute, getattr(scenario, attribute)
        given = attribute in scenario.model_fields_set
        if name in ("stop", "format"):
            continue
        if value is None:
            what = help_texts(Scenario)[name]
            found.append(Input(name, groups[name].title, what, "none", "none", given, ""))
        elif isinstance(value, Table):
            found += _fields(groups[name], "", (name,), value, given, said, currency)
        else:
            for number, entry in enumerate(value):
                which = "" if len(value) == 1 else f" {number + 1}"
                if (own := getattr(entry, "name", "")) not in ("", name):
                    which = f" “{own}”"
                found += _fields(groups[name], which, (name, number), entry, given, said, currency)
    return tuple(found)


def _fields(
    group: FieldGroup,
    which: str,
    path: tuple[str | int, ...],
    table: Table,
    given: bool,
    said: dict[Any, str],
    currency: str | None,
) -> Iterator[Input]:
    """``which`` of the entries of a list it is."""
    labels = {field.name: field.label for field in group.fields}
    texts = help_texts(type(table))
    for name, info in type(table).model_fields.items():
        if name in _LABELS or name == DOUBT:
            continue
        extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
        unit = unit_in(str(extra.get("unit") or ""), currency)
        stated = given and name in table.model_fields_set
        yield Input(
            f"{group.name}{which}.{name}",
            f"{group.label}{which}: {labels.get(name, name)}",
            texts[info.alias or name],
            value_text(getattr(table, name), unit) + doubt_text(table, name),
            "" if info.is_required() else value_text(info.default, unit),
            stated,
            said.get((*path, name)) or ("the scenario" if stated else "default of the program"),
            bool(doubt_text(table, name)) or (group.name == "money" and stated),
        )


def value_text(value: Any, unit: str = "") -> str:
    """A value of the scenario in words: a law with its figures, a number with its unit."""
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    tail = f" {unit_words(unit)}" if unit else ""
    if isinstance(value, Constant):
        return f"{_number(value.mean)}{tail}"
    if isinstance(value, AnyLaw):
        data = value.model_dump()
        law = data.pop("law")
        parts = [
            f"{len(entry)} values ({unit})"
            if isinstance(entry, (list, tuple))
            else f"{key} {_number(entry)}{'' if key == 'shape' else tail}"
            for key, entry in data.items()
        ]
        return f"{law}: {', '.join(parts)}"
    if isinstance(value, str):
        return value.replace("_", " ")
    if isinstance(value, (int, float)):
        return f"{_number(value)}{tail}"
    return str(value)


def doubt_text(table: Table, field: str) -> str:
    """Between which ends the figures of a field are known, and why; empty where not doubted."""
    said = ""
    for doubt in getattr(table, DOUBT, ()):
        name, _, part = doubt.of.partition(".")
        if name == field:
            low, high = (_number(end) for end in doubt.between)
            why = f" ({doubt.why})" if doubt.why else ""
            said += f"; {part + ' ' if part else ''}known between {low} and {high}{why}"
    return said


def _number(value: float) -> str:
    return f"{value:,.10g}"


def stop_origin(stop: Stop, comment: str = "") -> str:
    """Where the figures of a stop cause come from, as far as the scenario says."""
    known, own = KNOWN_CAUSES.get(stop.cause), _own_figures(stop)
    words = [f"the scenario ({', '.join(own)})" if known and own else "the scenario"]
    if not own:
        words = [COMMON_PRACTICE]
    elif len(own) < 2:
        words.append(f"the rest {COMMON_PRACTICE}")
    note = stop.note if known is None or stop.note != known.get("note", "") else ""
    return "; ".join(filter(None, (*words, note, comment)))


def is_common_practice(stop: Stop) -> bool:
    """Whether interval and time to restore are both those that a known cause brings."""
    return not _own_figures(stop)


def _own_figures(stop: Stop) -> list[str]:
    """Which of interval and time to restore are not those of a known cause."""
    known = KNOWN_CAUSES.get(stop.cause)
    usual = Stop.model_validate({"cause": stop.cause, **known}) if known else None
    found = {
        "interval": usual and (stop.meter, stop.interval) == (usual.meter, usual.interval),
        "time to restore": usual and stop.restore_min == usual.restore_min,
    }
    return [what for what, as_usual in found.items() if not as_usual]


def stops_grid(scenario: Scenario, text: str | None = None) -> Grid:
    """Every stop cause with its figures and their origin."""
    said = comments(text) if text is not None else {}
    units = dict(zip(METERS, _METER_UNITS, strict=True))
    rows = []
    for number, stop in enumerate(scenario.stop):
        keys: list[tuple[str, ...]] = [(stop.meter,), ("restore_min",), ("note",)]
        if not stop.note.startswith(FITTED):
            # What is said of the cause as a whole was said of the figures before the fit.
            keys.insert(0, ())
        beside = [said.get(("stop", number, *key), "") for key in keys]
        comment = "; ".join(dict.fromkeys(filter(None, beside)))
        rows.append(
            (
                stop.cause + (" (each web)" if stop.per_web else ""),
                stop.station.replace("_", " "),
                value_text(stop.interval, units[stop.meter])
                + doubt_text(stop, stop.meter)
                + _plan_text(stop.changed_every, units[stop.meter]),
                value_text(stop.restore_min, "min")
                + doubt_text(stop, "restore_min")
                + _plan_text(stop.changed_every and stop.change_min, "min"),
                str(stop.people),
                stop_origin(stop, comment),
            )
        )
    return Grid(
        "Stop causes",
        ("cause", "station", "falls due every", "time to restore", "people", "where from"),
        tuple(rows),
        frozenset({0, 1, 2, 3, 5}),
    )


def _plan_text(value: Any, unit: str) -> str:
    return "" if value is None else f"; by plan {value_text(value, unit)}"


_METER_UNITS = ("running h", "km of web", "cuts", "reams", "clock h")


def doubted_grid(scenario: Scenario, text: str | None = None) -> Grid:
    """Prices that are given and figures in doubt, those of stop causes aside."""
    rows = tuple(
        (each.label, each.what, each.value, each.origin)
        for each in inputs_of(scenario, text)
        if each.matters
    )
    columns = ("field", "what it is", "value", "where from")
    title = "Prices, and figures in doubt"
    return Grid(title, columns, rows, frozenset(range(4)), names=frozenset({0}))


def input_grids(scenario: Scenario, text: str | None = None) -> tuple[Grid, Grid]:
    """The fields that differ from the defaults, and those that do not."""
    every = inputs_of(scenario, text)
    differing = tuple(
        (i.label, i.what, i.value, i.default or "must be given", i.origin)
        for i in every
        if i.differs
    )
    same = tuple((i.label, i.what, i.value, i.origin) for i in every if not i.differs)
    titles = (
        "Figures that are not the program's defaults",
        "Figures that are the program's defaults, said or left out",
    )
    field, where, names = ("field", "what it is", "value"), "where from", frozenset({0})
    return (
        Grid(titles[0], (*field, "default", where), differing, frozenset(range(5)), names=names),
        Grid(titles[1], (*field, where), same, frozenset(range(4)), names=names),
    )
