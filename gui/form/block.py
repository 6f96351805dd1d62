"""A list of tables as a block of cells: taken to a spreadsheet, and brought back from one.

The first row names the fields. A row whose name is that of an entry changes that entry, the k-th
of a name the k-th entry so called; all other rows are new ones. An empty cell is a field that is
not given.
"""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import linesim
from gui.document import Document
from gui.form.entries import entries_of
from gui.form.typed import shown, value_of
from linesim.scenario import FieldDescription, FieldGroup

_NAMES = (("name",), ("cause",), ("before", "after"))
"""Fields by which an entry is known: the first of these that a list has."""
_SWITCH = {"yes": True, "true": True, "no": False, "false": False}


@dataclass
class Pasted:
    """What came of a block: changes by dotted name, how many entries, and what is wrong."""

    changes: dict[str, Any] = field(default_factory=dict)
    changed: int = 0
    added: int = 0
    faults: list[str] = field(default_factory=list)


def block_of(document: Document, group: FieldGroup) -> str:
    """All entries as cells parted by tabs, below the names and units of the fields in use."""
    entries = [each for each in entries_of(document, group) if isinstance(each, Mapping)]
    used = [each for each in group.fields if any(each.name in entry for entry in entries)]
    text = io.StringIO()
    rows = csv.writer(text, dialect="excel-tab", lineterminator="\n")
    rows.writerow([_heading(each) for each in used])
    for entry in entries:
        rows.writerow([_cell(entry.get(each.name)) for each in used])
    return text.getvalue()


def pasted(document: Document, group: FieldGroup, block: str) -> Pasted:
    """What a block of cells means for the list; with faults there are no changes."""
    rows = [row for row in csv.reader(io.StringIO(block), "excel-tab") if any(map(str.strip, row))]
    found = Pasted()
    fields = _fields_of(rows[0] if rows else [], group, found.faults)
    if not found.faults and len(rows) < 2:
        found.faults.append("There is no row below the names of the fields.")
    if found.faults:
        return found
    entries = entries_of(document, group)
    given = isinstance(document.data.get(group.name), list)
    places: dict[str, str] = {}
    new: list[dict[str, Any]] = []
    for number, (at, values) in enumerate(_placed(rows[1:], fields, entries), start=2):
        index = len(entries) + len(new) if at is None else at
        for column, each in enumerate(fields, start=1):
            places[f"{group.name}[{index}].{each.name}"] = f"row {number}, column {column}"
        places[f"{group.name}[{index}]"] = f"row {number}"
        if at is None:
            new.append({name: value for name, value in values.items() if value is not None})
        else:
            old = entries[at]
            other = {name: value for name, value in values.items() if old.get(name) != value}
            found.changed += bool(other)
            for name, value in other.items():
                found.changes[f"{group.name}[{at}].{name}"] = value
    found.added = len(new)
    if len(entries) + len(new) > group.most:
        found.faults.append(f"There may be {group.most} entries; these would make more.")
    elif given or not new:
        found.changes |= {f"{group.name}[{len(entries) + n}]": each for n, each in enumerate(new)}
    else:
        found.changes = {group.name: [*({} for _ in entries), *new]}
    found.faults += _faults(document, found.changes, places)
    return found


def _heading(described: FieldDescription) -> str:
    return f"{described.label} [{described.unit}]" if described.unit else described.label


def _cell(value: Any) -> str:
    tables = value if isinstance(value, list) else [value]
    if any(isinstance(each, Mapping) for each in tables):
        return linesim.scenario.on_one_line(value)
    return shown(value)


def _value(cell: str, described: FieldDescription) -> Any:
    said = cell.strip()
    if said.startswith("{") and described.kind == "law":
        try:
            return tomllib.loads(f"value = {said}")["value"]
        except tomllib.TOMLDecodeError:
            return said
    if described.kind == "switch":
        return _SWITCH.get(said.casefold(), value_of(said, described))
    if described.kind == "choice" and described.choices:
        return next((each for each in described.choices if str(each) == said), said or None)
    return value_of(said, described)


def _fields_of(headings: list[str], group: FieldGroup, faults: list[str]) -> list[FieldDescription]:
    """The fields that the first row names."""
    # What the form calls a field goes before what the file does: "due" is a time there.
    known = {_plain(each.name): each for each in group.fields}
    known |= {_plain(each.label): each for each in group.fields}
    known |= {_plain(_heading(each)): each for each in group.fields}
    found = []
    for column, heading in enumerate(headings, start=1):
        named = known.get(_plain(heading)) or known.get(_plain(re.split(r"[(\[]", heading)[0]))
        if named is None:
            near = linesim.scenario.nearest(_plain(heading), [*known]) or next(iter(known))
            like = _heading(known[near])
            faults.append(
                f"row 1, column {column}: “{heading.strip()}” is no field of this list;"
                f" right would be a name such as “{like}”."
            )
        elif named in found:
            faults.append(f"row 1, column {column}: “{heading.strip()}” stands there twice.")
        else:
            found.append(named)
    return found


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()


def _placed(
    rows: list[list[str]], fields: list[FieldDescription], entries: list[Any]
) -> Iterator[tuple[int | None, dict[str, Any]]]:
    """Each row with the entry that it changes; None where it is a new one."""
    names = {each.name for each in fields}
    key = next((each for each in _NAMES if names.issuperset(each)), ())
    free: dict[tuple[str, ...], list[int]] = {}
    for index, entry in enumerate(entries):
        if isinstance(entry, Mapping) and all(name in entry for name in key):
            free.setdefault(tuple(str(entry[name]) for name in key), []).append(index)
    used: Counter[tuple[str, ...]] = Counter()
    for row in rows:
        cells = [*row, *[""] * (len(fields) - len(row))]
        values = {each.name: _value(cell, each) for each, cell in zip(fields, cells, strict=False)}
        called = tuple(str(values[name]) for name in key)
        those = free.get(called, []) if key else []
        turn = used[called]
        used[called] += 1
        yield (those[turn] if turn < len(those) else None), values


def _faults(
    document: Document, changes: Mapping[str, Any], places: Mapping[str, str]
) -> Iterator[str]:
    """What is wrong with the cells, each with its place; what was wrong before is no fault here."""
    text = linesim.scenario.update(document.text, changes)
    try:
        linesim.scenario.check_text(text)
    except linesim.scenario.ScenarioFaults as found:
        for fault in found.faults:
            name = fault.field
            while name and name not in places:
                name = name.rpartition(".")[0]
            if name:
                right = fault.would_be_right
                what = f"{fault.value}: {fault.problem}" if fault.value else fault.problem
                yield f"{places[name]}: {what}" + (f"; right would be: {right}." if right else ".")
