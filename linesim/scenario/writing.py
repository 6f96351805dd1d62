"""Writing scenarios: changing a file without losing its comments, and writing a fresh one."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, MutableMapping
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array, InlineTable, Item, Table

from linesim.scenario.faults import Path, dotted
from linesim.scenario.field_descriptions import FieldDescription, as_written, descriptions
from linesim.scenario.fields import DOUBT, values_of
from linesim.scenario.fields import Table as ScenarioTable
from linesim.scenario.formats import SCENARIO
from linesim.scenario.loading import parse
from linesim.scenario.positions import positions
from linesim.scenario.scenario import MAY_STAND_ALONE, Scenario

_HEADING = re.compile(r"[ \t]*\[\[?[\w. \t-]+\]")
_PART = re.compile(r"([A-Za-z0-9_-]+)|\[(\d+)\]")


def update(text: str, changes: Mapping[str, Any]) -> str:
    """The text of a scenario file with some values changed and all else left as it stands.

    *changes* maps names such as ``bridge.places``, ``unwind.change_min``, ``stop[3].people`` or
    ``wrapper[1]`` to new values (numbers, text, lists, mappings); ``None`` takes the field, the
    table or the list entry out. An entry one beyond the end of a list is added to it. Changes are
    made in the order given. The result is not checked: use :func:`check_text`.

    Raises :class:`ScenarioFaults` where *text* is not TOML, ``KeyError`` where a name leads
    nowhere.
    """
    parse(text, "scenario")
    # The parser wants one kind of line end; the file gets back the kind it had.
    crlf = "\r\n" in text
    before = text.replace("\r\n", "\n").removeprefix("\ufeff")
    before = SCENARIO.rewritten(before, "scenario")
    document = tomlkit.parse(before)
    for name, value in changes.items():
        _change(document, _stands_alone(document, split_name(name)), value)
    out = _spaced(tomlkit.dumps(document), before)
    return out.replace("\n", "\r\n") if crlf else out


def split_name(name: str) -> Path:
    """``stop[3].people`` as ``("stop", 3, "people")``. Raises ``KeyError`` for no such name."""
    path: list[str | int] = []
    at = 0
    while at < len(name):
        if path and name[at] == ".":
            at += 1
        match = _PART.match(name, at)
        if match is None or (match.group(2) is None) != (at == 0 or name[at - 1] == "."):
            raise KeyError(f"{name!r} is not a name such as bridge.places or stop[3].people")
        path.append(match.group(1) if match.group(2) is None else int(match.group(2)))
        at = match.end()
    if not path:
        raise KeyError("the name of a field is empty")
    return tuple(path)


def _stands_alone(document: tomlkit.TOMLDocument, path: Path) -> Path:
    """The path in a file that gives one table in place of a list of it; with two it is a list."""
    there = document.get(str(path[0]))
    is_one = isinstance(there, (Table, InlineTable)) and path[0] in MAY_STAND_ALONE
    if not is_one or len(path) < 2 or not isinstance(path[1], int):
        return path
    if path[1] == 0:
        return (path[0], *path[2:])
    array = tomlkit.array()
    if isinstance(there, InlineTable):
        array.append(there)
    document[str(path[0])] = AoT([there]) if isinstance(there, Table) else array
    return path


def _change(document: tomlkit.TOMLDocument, path: Path, value: Any) -> None:
    owner: Any = document
    for number, part in enumerate(path[:-1]):
        if isinstance(part, str) and isinstance(owner, MutableMapping) and part not in owner:
            if value is None:
                return
            inner = _nested(path[number + 1 :], value, path)
            owner[part] = _item(inner, inline=owner is not document)
            return
        owner = _into(owner, part, path)
    last = path[-1]
    if isinstance(owner, MutableMapping) and isinstance(last, str):
        if value is None:
            owner.pop(last, None)
        elif last not in owner or not _fill(owner[last], value):
            # A heading cannot stand inside a table: what is new there is written inline.
            owner[last] = _item(value, inline=owner is not document)
    elif isinstance(owner, (AoT, Array)) and isinstance(last, int) and last <= len(owner):
        _change_entry(owner, last, value)
    else:
        raise KeyError(f"{dotted(path)} leads nowhere")


def _nested(rest: Path, value: Any, path: Path) -> Any:
    for part in reversed(rest):
        if isinstance(part, int) and part != 0:
            raise KeyError(f"{dotted(path)} leads nowhere")
        value = [value] if isinstance(part, int) else {part: value}
    return value


def _into(owner: Any, part: str | int, path: Path) -> Any:
    try:
        if isinstance(part, int) and isinstance(owner, AoT) and part == len(owner):
            owner.append(tomlkit.table())
        return owner[part]
    except (KeyError, IndexError, TypeError):
        raise KeyError(f"{dotted(path)} leads nowhere") from None


def _change_entry(owner: AoT | Array, index: int, value: Any) -> None:
    if value is None:
        if index < len(owner):
            del owner[index]
    elif isinstance(owner, AoT) and not isinstance(value, Mapping):
        raise KeyError("an entry of a list of tables is a table")
    elif index == len(owner):
        owner.append(_item(value, inline=isinstance(owner, Array)))
    elif not _fill(owner[index], value):
        owner[index] = _item(value, inline=isinstance(owner, Array))


def _spaced(text: str, before: str) -> str:
    """With an empty line before each heading that has a new neighbour above it."""
    old = before.split("\n")
    known = set(pairwise(old))
    rows = text.split("\n")
    headings = {
        line
        for path, line in positions(text).items()
        if len(path) <= 2 and _HEADING.match(rows[line - 1])
    }
    out: list[str] = []
    for number, row in enumerate(rows, 1):
        above = out[-1] if out else ""
        spaced = not above.strip() or above.startswith("#") or (above, row) in known
        if number in headings and not spaced:
            out.append("")
        out.append(row)
    return "\n".join(out)


def _fill(old: Any, value: Any) -> bool:
    """Put a mapping into a table that is there already, so that its comments stay."""
    if not isinstance(value, Mapping) or not isinstance(old, (Table, InlineTable)):
        return False
    for key in [key for key in old if key not in value]:
        del old[key]
    for key, item in value.items():
        if key not in old or not _fill(old[key], item):
            old[key] = _item(item, inline=True)
    return True


def _item(value: Any, *, inline: bool) -> Item:
    if isinstance(value, Mapping):
        table = tomlkit.inline_table() if inline else tomlkit.table()
        for key, inner in value.items():
            if inner is not None:
                table.append(key, _item(inner, inline=True))
        return table
    if isinstance(value, (list, tuple)):
        if not inline and value and all(isinstance(entry, Mapping) for entry in value):
            return AoT([_item(entry, inline=False) for entry in value])  # type: ignore[misc]
        array = tomlkit.array()
        for entry in value:
            array.append(_item(entry, inline=True))
        # Doubts are read one by one, like a table.
        array.multiline(any(isinstance(e, Mapping) and "between" in e for e in value))
        return array
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return tomlkit.item(int(value))
    item: Item = tomlkit.item(value)
    return item


def on_one_line(value: Any) -> str:
    """The value of a field as a file has it, on one line.

    >>> print(on_one_line([{"law": "uniform", "low": 2.0, "high": 0.1}, "a", True]))
    [{ law = "uniform", low = 2, high = 0.1 }, "a", true]
    """
    if isinstance(value, Mapping):
        inner = (f"{key} = {on_one_line(each)}" for key, each in value.items())
        return "{ " + ", ".join(inner) + " }"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(on_one_line, value))}]"
    # Figures and texts are written as JSON has them, too.
    return json.dumps(value, ensure_ascii=False, default=str).removesuffix(".0")


def dump(scenario: Scenario) -> str:
    """A fresh file of *scenario*: every table and field, each with its help text beside it.

    Reading it gives the same scenario again. Fields without a value stand there as comments.
    """
    document = tomlkit.document()
    document.add("format", tomlkit.item(scenario.format))
    values = values_of(scenario)
    for name, field in descriptions().items():
        value = values[name]
        if isinstance(value, ScenarioTable):
            document.add(tomlkit.nl())
            document.add(name, _table(value, help_texts=True).comment(field.help))
        elif isinstance(value, tuple) and value:
            document.add(tomlkit.nl())
            entries = AoT([_table(entry, help_texts=i == 0) for i, entry in enumerate(value)])
            entries[0].comment(field.help)
            document.add(name, entries)
    return tomlkit.dumps(document)


def _table(values: ScenarioTable, *, help_texts: bool) -> Table:
    table = tomlkit.table()
    for name, field in descriptions(type(values)).items():
        value = as_written(getattr(values, name))
        if value is None:
            if help_texts and name != DOUBT:
                table.add(tomlkit.comment(f"{name}: not given - {_help(field)}"))
            continue
        # What was said stays said, even where it is the default: a known stop cause may bring
        # another figure.
        said = name in values.model_fields_set or field.required
        if not help_texts and not said and value == field.default:
            continue
        item = _item(value, inline=True)
        if help_texts:
            item.comment(_help(field))
        table.append(name, item)
    return table


def _help(field: FieldDescription) -> str:
    words = [field.unit] if field.unit else []
    if field.typical is not None:
        words.append(f"usual: {field.typical[0]:g} to {field.typical[1]:g}")
    return field.help + (f" [{'; '.join(words)}]" if words else "")
