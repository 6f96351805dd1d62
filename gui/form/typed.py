"""Between what is typed and what a scenario file holds."""

from __future__ import annotations

import re
from typing import Any

from linesim.scenario import FieldDescription


def value_of(typed: str, field: FieldDescription) -> Any:
    """What *typed* means in *field*; text that is no such value comes back as text.

    An empty field is not in the file: None. What cannot be read goes into the file as it was
    typed, so that it is kept and the check says what is wrong with it.
    """
    said = typed.strip()
    if not said:
        return None
    if field.kind == "numbers":
        parts = [part for part in re.split(r"[\s,;]+", said.strip("[]")) if part]
        return [_number(part) for part in parts]
    if field.kind in ("number", "whole", "law"):
        return _number(said)
    return typed


def shown(value: Any) -> str:
    """A value of a scenario file as a form shows it.

    >>> shown(4.0), shown(0.005), shown(None), shown([3.5, 4])
    ('4', '0.005', '', '3.5, 4')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, dict) and "law" in value:
        figures = [f"{key} {shown(inner)}" for key, inner in value.items() if key != "law"]
        return f"{value['law']}, " + ", ".join(figures)
    if isinstance(value, list):
        return ", ".join(shown(entry) for entry in value)
    return str(value)


def usual(field: FieldDescription) -> str:
    """The range met in practice, in words; empty where none is known."""
    if field.typical is None:
        return ""
    low, high = field.typical
    return f"usual: {low:g} to {high:g}"


def _number(said: str) -> Any:
    plain = said.replace("\u202f", "").replace("\u00a0", "").replace("\u2212", "-")
    for kind in (int, float):
        try:
            return kind(plain)
        except ValueError:
            continue
    return said
