"""What people call fields and tables of a scenario."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.scenario.faults import Path
from linesim.scenario.field_descriptions import field_groups


def path_label(path: Path, data: Mapping[str, Any]) -> str:
    """A field of the tables ``data``, with what it belongs to; empty where there is no such table.

    >>> path_label(("stop", 0, "people"), {"stop": [{"cause": "static"}]})
    'static: people needed'
    >>> path_label(("bridge", "length_m"), {})
    'bridge: usable length'
    """
    group = next((g for g in field_groups() if g.name == path[0]), None)
    if group is None:
        return ""
    owner = group.label
    rest = path[1:]
    if rest and isinstance(rest[0], int):
        owner = entry_label(group.label, data.get(group.name), rest[0])
        rest = rest[1:]
    described = next((f for f in group.fields if rest and f.name == rest[0]), None)
    return f"{owner}: {described.label}" if described is not None else owner


def entry_label(label: str, entries: Any, index: int) -> str:
    """What the entry at a list's ``index`` (from 0) is called: its cause or name, else its number.

    >>> entry_label("pair", [{"before": "A4", "after": "A3", "time_min": 50}, {}], 0)
    'A4 to A3'
    >>> entry_label("pair", [{"before": "A4"}], 0)
    'pair 1'

    Numbers are from 1.
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
