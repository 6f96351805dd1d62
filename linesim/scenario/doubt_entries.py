"""Doubts as a file writes them: which are about a field, and how one is set or taken out.

They are looked up in unchecked values, so that a form can show and mend those with faults, too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linesim.scenario.faults import Path, dotted, value_at
from linesim.scenario.field_descriptions import FieldDescription, descriptions
from linesim.scenario.fields import DOUBT, Doubt
from linesim.scenario.writing import split_name

Entry = Mapping[str, Any]
"""A doubt as a file writes it."""


def doubt_fields() -> dict[str, FieldDescription]:
    """The fields of a doubt by name."""
    return descriptions(Doubt)


def doubts_about(data: Mapping[str, Any], field: str) -> dict[str, Entry]:
    """The doubts of a field in the values of a file.

    By the figure: empty for the value of the field or the mean of its law, else as ``sd``.
    """
    table, rest = _split(split_name(field))
    found: dict[str, Entry] = {}
    for _, (about, part), entry in _figures_in(value_at(data, (*table, DOUBT))):
        if rest and about == rest[0]:
            found.setdefault(part, entry)
    return found


def doubt_changes(data: Mapping[str, Any], doubts: Mapping[str, Entry | None]) -> dict[str, Any]:
    """What :func:`update` is told so that figures are known as *doubts* says; None: exactly.

    Figures are dotted names such as ``bridge.length_m`` or ``stop[0].restore_min.sd``, *data* the
    values of the file. ``of`` need not stand in a doubt. Comments at other doubts stay.
    """
    tables: dict[Path, dict[tuple[str, str], Entry | None]] = {}
    for figure, doubt in doubts.items():
        table, (field, *part) = _split(split_name(figure))
        about = (str(field), "" if part in ([], ["mean"]) else str(part[0]))
        tables.setdefault(table, {})[about] = doubt
    changes: dict[str, Any] = {}
    for table, wanted in tables.items():
        changes |= _table_changes(dotted((*table, DOUBT)), value_at(data, (*table, DOUBT)), wanted)
    return changes


def _table_changes(
    place: str, entries: Any, wanted: Mapping[tuple[str, str], Entry | None]
) -> dict[str, Any]:
    end = count = len(entries) if isinstance(entries, list) else 0
    changes: dict[str, Any] = {}
    gone: list[int] = []
    for about, doubt in wanted.items():
        old = [number for number, of, _ in _figures_in(entries) if of == about]
        if doubt is not None:
            if not old:
                end += 1
            number = old.pop(0) if old else end - 1
            changes[f"{place}[{number}]"] = {"of": ".".join(filter(None, about))} | dict(doubt)
        gone += old
    if end == count == len(gone) > 0:
        return {place: None}
    # The last first, so that places before it stay what they are.
    return changes | {f"{place}[{number}]": None for number in sorted(gone, reverse=True)}


def doubts_moved(data: Mapping[str, Any], field: str, to: str) -> dict[str, Any]:
    """What :func:`update` is told so that the doubts of a field go to another of its table.

    Both are dotted names.
    """
    table, rest = _split(split_name(field))
    _, (name, *_) = _split(split_name(to))
    entries = value_at(data, (*table, DOUBT))
    return {
        f"{dotted((*table, DOUBT, number))}.of": f"{name}.{part}" if part else name
        for number, (about, part), _ in _figures_in(entries)
        if about == rest[0]
    }


def doubt_at(data: Mapping[str, Any], name: str) -> tuple[str, FieldDescription | None]:
    """The figure that a dotted name inside a doubt is about, and the field of the doubt it names.

    ``stop[0].doubt[1].between`` is about, say, ``stop[0].restore_min.sd``. A name that is in no
    doubt, or in one that names no field, comes back as it is; the field is None outside doubts.
    """
    try:
        table, rest = _split(split_name(name))
    except KeyError:
        return name, None
    if len(rest) < 2 or rest[0] != DOUBT:
        return name, None
    said = doubt_fields().get(str(rest[2])) if len(rest) > 2 else None
    entries = value_at(data, (*table, DOUBT))
    about = next((of for number, of, _ in _figures_in(entries) if number == rest[1]), None)
    if about is None:
        return name, said
    return ".".join(each for each in (dotted(table), *about) if each), said


def _split(path: Path) -> tuple[Path, Path]:
    """The table, or the entry of a list of tables, and the rest of a path."""
    inside = 2 if len(path) > 1 and isinstance(path[1], int) else 1
    return path[:inside], path[inside:]


def _figures_in(entries: Any) -> Iterator[tuple[int, tuple[str, str], Entry]]:
    """Each doubt that names a field: its place in the list, what it is about, and itself."""
    for number, entry in enumerate(entries if isinstance(entries, list) else ()):
        if isinstance(entry, Mapping) and isinstance(of := entry.get("of"), str) and of:
            field, _, part = of.partition(".")
            yield number, (field, "" if part == "mean" else part), entry
