"""Every field of a scenario file in words, made from its declaration when it is read."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from linesim.manual.markdown import plain, within
from linesim.report.plain import capital, unit_words
from linesim.scenario import (
    FieldDescription,
    FieldGroup,
    LineState,
    field_groups,
    find_scenario,
    law_descriptions,
    on_one_line,
    read_text,
    shipped_scenarios,
)
from linesim.scenario.field_descriptions import descriptions

_PIECE = re.compile(r"^ *```toml\n(.*?)^ *```$", re.MULTILINE | re.DOTALL)
"""A piece of a scenario file as a page shows it."""


def fields_part(_: str) -> str:
    """A heading for each table of a file and one for each of its fields."""
    return "\n\n".join(words for group in field_groups() for words in _group(group))


def laws_part(_: str) -> str:
    """The laws of chance and what each is told by."""
    return "\n\n".join(
        f"**`{law.name}`**. {_sentence(law.help)}" + "".join(map(_in_list, law.fields))
        for law in law_descriptions()
    )


def state_part(_: str) -> str:
    """The fields of a state file: those of no table, then a list for each table."""
    fields = descriptions(LineState)
    alone = "".join(_in_list(field) for field in fields.values() if not field.parts)
    tables = (
        f"`{f'[[{name}]]' if field.kind == 'tables' else f'[{name}]'}`. {_sentence(field.help)}"
        + "".join(map(_in_list, field.parts))
        for name, field in fields.items()
        if field.parts
    )
    return "\n\n".join((alone.strip(), *tables))


def _in_list(field: FieldDescription) -> str:
    limits = " ".join(filter(None, (_range(field), unit_words(field.unit))))
    said = f"{field.help or field.label}{f' ({limits})' if limits else ''}"
    return f"\n- `{field.name}`: {plain(said)}"


def _group(group: FieldGroup) -> Iterator[str]:
    written = f"[[{group.name}]]" if group.is_list else f"[{group.name}]"
    yield f"### {plain(capital(group.title))}"
    said = [f"`{written}`. {_sentence(group.help)}"]
    if group.is_list:
        said.append(f"{group.least} to {group.most} of them.")
    elif group.optional:
        said.append("Left out, the line has none.")
    yield " ".join(said)
    for field in group.fields:
        yield f"#### {plain(f'{group.name}.{field.name}')}"
        yield _field(group, field)


def _field(group: FieldGroup, field: FieldDescription) -> str:
    """Its label, unit, meaning, what it may be, what it is unless given, and an example."""
    unit = unit_words(field.unit)
    said = [f"**{plain(capital(field.label))}**{plain(f', {unit}' if unit else '')}."]
    said.append(_sentence(field.help))
    said += [f"{each}." for each in _limits(field)]
    return " ".join(said) + f" Example: `{example_of(group.name, field)}`"


def _limits(field: FieldDescription) -> Iterator[str]:
    if field.choices:
        yield f"One of {', '.join(f'`{each}`' for each in field.choices)}"
    if field.kind == "law":
        yield "A number or a law"
    limits = _range(field)
    if limits:
        yield capital(limits)
    if field.typical is not None:
        yield f"Usual: {field.typical[0]:,.10g} to {field.typical[1]:,.10g}"
    if field.required:
        yield "Must be given"
    elif field.default not in (None, ""):
        yield f"Standard: `{on_one_line(field.default)}`"


def _range(field: FieldDescription) -> str:
    least = field.low if field.above is None else field.above
    return within("", least, field.high, above=field.above is not None)


def example_of(table: str, field: FieldDescription) -> str:
    """The field as a file may write it.

    As a demo does, or a piece of a file in the manual; or else its standard or a usual value.
    """
    value = _shown().get((table, field.name))
    if value is None:
        usual = field.typical[1] if field.typical else None
        tries = (field.default, field.example, *field.choices[:1], usual)
        value = next((each for each in tries if each not in (None, "")), None)
    return f"{field.name} = {on_one_line(value)}"


@cache
def _shown() -> dict[tuple[str, str], Any]:
    """What the demos, and pieces of files in the manual, give each field; the first counts."""
    files = [read_text(str(find_scenario(name))) for name in shipped_scenarios()]
    for page in sorted(Path(__file__).parent.glob("*.md")):
        files += _PIECE.findall(page.read_text(encoding="utf-8"))
    found: dict[tuple[str, str], Any] = {}
    for text in files:
        for table, given in tomllib.loads(text).items():
            for entry in given if isinstance(given, list) else [given]:
                if isinstance(entry, dict):
                    for field, value in entry.items():
                        found.setdefault((table, field), value)
    return found


def _sentence(text: str) -> str:
    """With a full stop, and a capital where it does not begin with what a file says."""
    said = text.strip().removesuffix(".")
    begins = said.split()[0] if said else ""
    return plain(said if "_" in begins or begins.endswith(":") else capital(said)) + "."
