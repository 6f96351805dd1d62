"""What fields and tables of a scenario are called in the window."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import linesim


def field_label(field: str, data: Mapping[str, Any]) -> str:
    """A dotted name as people say it.

    >>> field_label("stop[0].people", {"stop": [{"cause": "static"}]})
    'static: people needed'
    >>> field_label("bridge.length_m", {})
    'bridge: usable length'
    >>> doubted = {"bridge": {"doubt": [{"of": "length_m", "between": [14, 12]}]}}
    >>> field_label("bridge.doubt[0].between", doubted)
    'bridge: usable length, known between'
    """
    field, of_doubt = linesim.scenario.doubt_at(data, field)
    try:
        path = linesim.scenario.split_name(field)
    except KeyError:
        # A fault may stand at a name that no field could have.
        return field
    group = next((g for g in linesim.scenario.field_groups() if g.name == path[0]), None)
    if group is None:
        return field
    owner = group.label
    rest = path[1:]
    if rest and isinstance(rest[0], int):
        owner = entry_label(group.label, data.get(group.name), rest[0])
        rest = rest[1:]
    described = next((f for f in group.fields if rest and f.name == rest[0]), None)
    words = f"{owner}: {described.label}" if described is not None else owner
    return f"{words}, {of_doubt.label}" if of_doubt is not None else words


def with_titles(words: str) -> str:
    """Words with parts and fields as the form calls them, for tables and fields of the file.

    >>> with_titles("as in [product] and the [[stop]] tables; [nobody] knows")
    'as in “Product” and the “Stop causes” tables; [nobody] knows'
    >>> with_titles("contribution_per_ream in [money] says it")
    '“contribution of a ream” in “Money” says it'
    """
    groups = {group.name: group for group in linesim.scenario.field_groups()}

    def title(found: re.Match[str]) -> str:
        field, table = found.groups()
        group = groups.get(table)
        if group is None:
            return found[0]
        said = f"“{linesim.report.capital(group.title)}”"
        if not field:
            return said
        label = next((each.label for each in group.fields if each.name == field), "")
        return f"{f'“{label}”' if label else field} in {said}"

    return re.sub(r"(?:(\w+) in )?\[{1,2}(\w+)\]{1,2}", title, words)


def entry_label(label: str, entries: Any, index: int) -> str:
    """What an entry of a list is called: by its cause or name, else by its number from 1.

    >>> entry_label("pair", [{"before": "A4", "after": "A3", "time_min": 50}, {}], 0)
    'A4 to A3'
    >>> entry_label("pair", [{"before": "A4"}], 0)
    'pair 1'
    """
    entry = entries[index] if isinstance(entries, list) and index < len(entries) else None
    if isinstance(entry, dict):
        for key in ("cause", "name"):
            said = entry.get(key)
            if isinstance(said, str) and said:
                return said
        before, after = entry.get("before"), entry.get("after")
        if isinstance(before, str) and isinstance(after, str):
            return f"{before} to {after}"
    return f"{label} {index + 1}"
