"""Where each field of a record lies in flat memory.

A number takes eight bytes, and so does a reference; a record lies within the one it belongs to; a
row takes four numbers: where its values are, how many, for how many there is room, what they are.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import linesim.line
from linesim.line.typed import ASIDE, REFERENCE, Row

WORD = 8
ROW_AT, ROW_COUNT, ROW_MOST, ROW_CODE = range(4)
ROW_WORDS = 4

WHOLE, FRACTION, REFERENCED, WITHIN, ROW = "whole", "fraction", "referenced", "within", "row"


@dataclass(frozen=True)
class Kind:
    """What a field, or a value of a row, is. ``of``: the record, or what a row has."""

    form: str
    of: Any = None

    @property
    def size(self) -> int:
        """Bytes it takes."""
        if self.form == WITHIN:
            return layout_of(self.of).size
        return ROW_WORDS * WORD if self.form == ROW else WORD


@dataclass(frozen=True)
class Field:
    """One field: its kind, and its distance from the beginning of the record, bytes."""

    name: str
    kind: Kind
    offset: int


@dataclass(frozen=True)
class Layout:
    """A record's fields in their order, those of the record it extends first."""

    by_name: dict[str, Field]
    size: int


def kind_of(said: Any) -> Kind | None:
    """The kind that an annotation says; None: for Python alone, as every text is.

    Raises ``TypeError`` for one that cannot lie in flat memory.
    """
    if get_origin(said) is Annotated:
        inner, *marks = get_args(said)
        if ASIDE in marks:
            return None
        if REFERENCE in marks:
            return Kind(REFERENCED, inner)
        return kind_of(inner)
    if said is str:
        return None
    if said in (int, bool):
        return Kind(WHOLE)
    if said is float:
        return Kind(FRACTION)
    if get_origin(said) is Row:
        value = kind_of(get_args(said)[0])
        assert value is not None
        return Kind(ROW, value)
    if dataclasses.is_dataclass(said):
        return Kind(WITHIN, said)
    raise TypeError(f"{said} cannot lie in flat memory")


@cache
def _records() -> dict[str, type]:
    parts = [part for part in vars(linesim.line).values() if isinstance(part, ModuleType)]
    classes = [each for part in parts for each in vars(part).values() if isinstance(each, type)]
    return {each.__name__: each for each in classes}


def hints_of(said: Any) -> dict[str, Any]:
    """What is said of fields or arguments. Records of the line may be named before they are."""
    return get_type_hints(said, localns=_records(), include_extras=True)


@cache
def layout_of(record: type) -> Layout:
    """The layout of a record."""
    hints = hints_of(record)
    fields: dict[str, Field] = {}
    offset = 0
    for field in dataclasses.fields(record):
        kind = kind_of(hints[field.name])
        if kind is not None:
            fields[field.name] = Field(field.name, kind, offset)
            offset += kind.size
    return Layout(fields, offset)
