"""Lists of tables: what stands in them, and what a new entry begins with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import linesim
from gui.document import Document, help_words
from linesim.scenario import FieldGroup


def entries_of(document: Document, group: FieldGroup) -> list[Any]:
    """The entries of a list as the text gives them; those that are meant where it gives none."""
    given = document.data.get(group.name)
    if isinstance(given, list) and given:
        return given
    return [{} for _ in range(group.least)]


def name_of(document: Document, group: FieldGroup, index: int) -> str:
    """What an entry is called."""
    return linesim.scenario.entry_label(group.label, entries_of(document, group), index)


def add_entry(document: Document, group: FieldGroup, start: Mapping[str, Any]) -> int:
    """Add an entry that holds *start*; returns its place in the list.

    One more of stations that go by their names begins as a copy of the last one, each under a name
    of its own.
    """
    entries = entries_of(document, group)
    index = len(entries)
    changes: dict[str, Any] = {}
    entry = dict(start)
    usual = next((field.default for field in group.fields if field.name == "name"), None)
    if index > 0 and usual == group.name:
        if index == 1 and str(_named(entries[0], usual)).strip() == usual:
            changes[f"{usual}[0].name"] = f"{group.label} 1"
        if isinstance(entries[-1], dict):
            entry = dict(entries[-1]) | entry
        entry["name"] = _free_name(entries, group.label, index + 1)
    if not isinstance(document.data.get(group.name), list) and index == 0:
        changes[group.name] = [entry]
    else:
        changes[f"{group.name}[{index}]"] = entry
    document.end_step()
    document.set_fields(changes, f"new {group.label}")
    document.end_step()
    return index


def remove_entry(document: Document, group: FieldGroup, index: int) -> None:
    """Take an entry out; with the last one goes the list itself."""
    entries = entries_of(document, group)
    whole = len(entries) == 1
    document.end_step()
    document.set_fields(
        {group.name if whole else f"{group.name}[{index}]": None},
        f"removal of {name_of(document, group, index)}",
    )
    document.end_step()


def move_entry(document: Document, group: FieldGroup, index: int, to: int) -> None:
    """Put an entry at another place of its list."""
    label = f"place of {name_of(document, group, index)}"
    document.move_entry(group.name, index, to, label)


def _named(entry: Any, otherwise: str) -> Any:
    return entry.get("name", otherwise) if isinstance(entry, dict) else otherwise


def _free_name(entries: list[Any], kind: str, number: int) -> str:
    taken = {str(_named(entry, "")) for entry in entries}
    while f"{kind} {number}" in taken:
        number += 1
    return f"{kind} {number}"


def group_words(group: FieldGroup) -> str:
    """What a table of the file is about, for who fills in the form."""
    said = group.help
    if group.one_of:
        # What is said of the fields of which one is chosen goes for who writes the file.
        said = said.split(". ")[0].rstrip(".") + "."
    return help_words(said)
